"""Takes a folder of cases in, chunk by chunk, and adds up what each of them tells.

Only counts and exact sums are kept, so the memory does not grow with the number of cases, and
the result does not depend on who added up which chunk.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import islice
from pathlib import Path
from typing import Generic, Protocol, Self, TypeVar

from advisor.cases.folder import case_paths
from advisor.rulebook import LoadError, Rulebook

from .closed import ClosedCase, read_case
from .errors import LearningError
from .intake import Intake
from .source import Source, fingerprint, loaded_once
from .workers import Workers

MOST_AT_ONCE = 16  # cases; few, so that a stop is soon obeyed
LEAST_PARTS = 64  # of the work where there are cases enough, so that all workers end together
Progress = Callable[[int, int], None]  # cases done, of so many


class Tally(Protocol):
    """What is added up over closed cases."""

    def add(self, closed: ClosedCase, rulebook: Rulebook) -> None:
        """Take in one case."""

    def merge(self, other: Self) -> None:
        """Take in another tally."""


T = TypeVar("T", bound=Tally)


@dataclass(slots=True)
class Folded(Generic[T]):
    """What a folder, or a part of it, adds up to."""

    tally: T
    intake: Intake = field(default_factory=Intake)


@dataclass(frozen=True, slots=True)
class _Job(Generic[T]):
    """What a worker needs to know; `shown` is the folder as the user typed it."""

    source: Source
    expected: str
    new_tally: Callable[[], T]
    folder: Path
    shown: Path

    def fold(self, names: Sequence[str]) -> Folded[T]:
        """Take in the cases with these file names."""
        rulebook = loaded_once(self.source, self.expected)
        folded = Folded(self.new_tally())
        for name in names:
            self._take(folded, name, rulebook)
        return folded

    def _take(self, folded: Folded[T], name: str, rulebook: Rulebook) -> None:
        intake = folded.intake
        intake.files += 1
        try:
            case, closed = read_case(self.folder / name, rulebook)
        except LoadError as error:
            shown = (self.shown / name).as_posix()
            intake.refuse(tuple(replace(one, path=shown) for one in error.problems))
            return
        if closed is None:
            intake.open += 1
            return
        intake.closed += 1
        intake.versions[f"{case.rulebook.id} {case.rulebook.version}"] += 1
        folded.tally.add(closed, rulebook)


def fold(
    folder: Path,
    source: Source,
    new_tally: Callable[[], T],
    *,
    workers: Workers,
    progress: Progress,
) -> Folded[T]:
    """Take in every case of the folder. LearningError when it cannot be listed, or a worker fails.

    `new_tally` makes an empty tally; it and the tallies must be able to travel to the workers.
    """
    try:
        names = [path.name for path in case_paths(folder)]
    except OSError as error:
        reason = (error.strerror or "the system gave no reason").lower()
        raise LearningError(f"{folder}: the cases cannot be listed: {reason}") from error
    job = _Job(
        source.absolute(),
        fingerprint(source.load()),
        new_tally,
        folder.resolve(),
        folder,
    )
    whole = Folded(new_tally())
    progress(0, len(names))
    for part in workers.in_order(job.fold, _chunks(names)):
        whole.intake.merge(part.intake)
        whole.tally.merge(part.tally)
        progress(whole.intake.files, len(names))
    return whole


def _chunks(names: Sequence[str]) -> Iterator[tuple[str, ...]]:
    rest = iter(names)
    size = max(1, min(MOST_AT_ONCE, len(names) // LEAST_PARTS))
    while chunk := tuple(islice(rest, size)):
        yield chunk
