"""Cases of the small rulebook, made for the tests of the library."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from advisor.cases import CaseFile, Closing, Comeback, Record, Repair, Result, RulebookRef
from advisor.cases.store import case_text
from advisor.library import Library, consult
from advisor.library.weighing import Light

T = TypeVar("T")
LONG_AGO_NS = 1_600_000_000_000_000_000
LOOSE = {"play": "0.4 mm", "began-after-work": "yes", "layout": "one-piece"}
UNBALANCED = {"play": "0.05 mm", "shudder-in-neutral": "yes", "layout": "one-piece"}


def made(
    name: str,
    answers: Mapping[str, str] = LOOSE,
    *,
    at: str | None = "2024-05-01T09:30:00Z",
    vehicle: str = "A van",
    complaint: str = "It shudders",
    causes: Sequence[str] = (),
    none: bool = False,
    note: str | None = None,
    repairs: Sequence[str] = (),
    closing: Closing | None = None,
    comeback_of: str | None = None,
    minutes_spent: float = 0.0,
) -> CaseFile:
    """A case; it is closed when it has causes or is none of the listed."""
    is_closed = bool(causes) or none
    result = Result(causes=tuple(causes), none_of_the_listed=none, note=note)
    return CaseFile(
        format=1,
        id=name,
        rulebook=RulebookRef(id="shop", version="1.0.0"),
        vehicle=vehicle,
        complaint=complaint,
        answers=tuple(Record(question=q, answer=text, at=at) for q, text in answers.items()),
        repairs=tuple(Repair(cause=cause) for cause in repairs),
        outcome=result if is_closed else None,
        closing=closing,
        comeback_of=Comeback(case=comeback_of) if comeback_of else None,
        minutes_spent=minutes_spent,
    )


@dataclass(frozen=True)
class Shelf:
    """A folder of cases for a test, with its index and rulebook."""

    folder: Path
    index: Path
    light: Light

    def put(self, case: CaseFile) -> Path:
        """Write a case whose time of change has long settled."""
        return self.put_text(f"{case.id}.yaml", case_text(case))

    def put_text(self, name: str, text: str, at_ns: int = LONG_AGO_NS) -> Path:
        """Write any file, as if it had been written at this time."""
        path = self.folder / name
        path.write_text(text, encoding="utf-8")
        os.utime(path, ns=(at_ns, at_ns))
        return path

    def ask(self, work: Callable[[Library], T]) -> T:
        """What the work finds in the folder."""
        return consult(self.folder, self.index, self.light, work)

    def filed(self) -> tuple[int, int, int]:
        """How many files were read, found to be the same, and dropped just now."""
        filed = self.ask(lambda library: library.filed)
        return filed.read, filed.same, filed.gone

    def names(self) -> tuple[str, ...]:
        """The names of all readable cases."""
        return self.ask(lambda library: library.select())
