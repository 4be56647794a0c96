"""What a case amounts to in a rulebook: the leading cause, and the findings that count."""

from __future__ import annotations

import contextlib
import hashlib
import json
import sqlite3
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any, Final

from advisor.cases import CaseFile, CaseSession, open_case
from advisor.report.wording import cause_name
from advisor.rulebook import (
    GaugeChange,
    Item,
    LoadError,
    Overlay,
    Problem,
    Rulebook,
    file_problem,
    open_ordinary,
)

from .entry import problems_as_text, problems_from_text
from .filing import Tell
from .tables import sealed, unsealed

AT_ONCE: Final = 500  # cases that are looked up, and kept, in one go
_DIGITS: Final = 4  # of a probability kept in the index


@dataclass(frozen=True, slots=True)
class Known:
    """A finding that counts: the observation that it restates, and its outcomes' probabilities."""

    observation: str
    finding: str
    weights: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Weighed:
    """A case in the light of one rulebook, or the problems that keep it out of that light.

    `leading` is None when *none of the listed* leads. `impossible` are the causes that can't be
    on this vehicle. `confirmed` are the outcome's causes by the ids of this rulebook.
    """

    leading: str | None = None
    leading_name: str = ""
    probability: float = 0.0
    known: tuple[Known, ...] = ()
    impossible: frozenset[str] = frozenset()
    confirmed: tuple[str, ...] = ()
    confirmed_names: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()


@dataclass(frozen=True)
class Light:
    """A rulebook to weigh cases with, loaded when first needed; its mark names its content."""

    mark: str
    load: Callable[[], Rulebook]

    @cached_property
    def rulebook(self) -> Rulebook:
        """The rulebook. Raises LoadError."""
        return self.load()


def light_of(
    folder: Path,
    gauges: Iterable[Item[GaugeChange]],
    overlay: Overlay | None,
    load: Callable[[], Rulebook],
) -> Light:
    """The rulebook in this folder with the user's gauges and the overlay, named by their texts."""
    mark = hashlib.sha256()
    try:
        paths = sorted(path for path in folder.iterdir() if path.suffix == ".yaml")
    except OSError as error:
        message = "the rulebook folder cannot be read"
        problem = file_problem(folder.as_posix(), "unreadable-file", message)
        raise LoadError([problem]) from error
    for path in paths:
        mark.update(path.name.encode("utf-8", "surrogatepass") + b"\0")
        with contextlib.suppress(OSError), open_ordinary(path) as file:  # loading says why not
            mark.update(hashlib.file_digest(file, "sha256").digest())
    for gauge in gauges:
        mark.update(f"{gauge.id} {gauge.model.model_dump_json()}\n".encode())
    if overlay is not None:
        mark.update(f"overlay {overlay.document.text}".encode())
    return Light(mark.hexdigest(), load)


def weigh(path: Path, rulebook: Rulebook) -> Weighed:
    """The case at this path in the light of the rulebook."""
    try:
        return weighed_session(open_case(path, rulebook))
    except LoadError as error:
        return Weighed(problems=error.problems)


def weighed_session(session: CaseSession) -> Weighed:
    """An open case as the library compares it with others."""
    diagnosis, rulebook, outcome = session.diagnosis, session.rulebook, session.case.outcome
    ranking = diagnosis.ranking()
    leading = None if ranking.none_leads else ranking.causes[0].cause
    chance = ranking.none_probability if leading is None else ranking.causes[0].probability
    confirmed = outcome.causes if outcome else ()
    return Weighed(
        leading,
        cause_name(rulebook, leading),
        round(chance, _DIGITS),
        tuple(
            Known(observation, finding, tuple(round(w, _DIGITS) for w in weights))
            for observation, finding in diagnosis.counted()
            if (weights := diagnosis.weights(finding)) is not None
        ),
        frozenset(one for one in rulebook.causes if diagnosis.applies(one) == 0.0),
        confirmed,
        tuple(cause_name(rulebook, cause) for cause in confirmed),
    )


def confirmed_in(case: CaseFile, weighed: Weighed) -> tuple[str, ...]:
    """The confirmed causes; by the ids of the case itself where it doesn't fit the rulebook."""
    return (
        weighed.confirmed if not weighed.problems or case.outcome is None else case.outcome.causes
    )


def weighed_cases(
    connection: sqlite3.Connection, folder: Path, names: Sequence[str], light: Light, tell: Tell
) -> dict[str, Weighed]:
    """These cases of the folder by file name, from the index where it has them.

    The others are kept part by part, so that whoever is stopped loses little.
    """
    found: dict[str, Weighed] = {}
    for part in _parts(names):
        found |= _recalled(connection, folder, part, light)
    missing = [name for name in names if name not in found]
    if missing:
        tell("weighing", len(missing))
    for part in _parts(missing):
        new = {name: weigh(folder / name, light.rulebook) for name in part}
        _keep(connection, new, light)
        found |= new
    return found


def _parts(names: Sequence[str]) -> Iterator[Sequence[str]]:
    return (names[start : start + AT_ONCE] for start in range(0, len(names), AT_ONCE))


def _recalled(
    connection: sqlite3.Connection, folder: Path, names: Sequence[str], light: Light
) -> dict[str, Weighed]:
    marks = ", ".join("?" * len(names))
    rows = connection.execute(
        f"SELECT name, data FROM weighed WHERE rulebook = ? AND name IN ({marks})",
        (light.mark, *names),
    )
    return {name: _from_data(json.loads(unsealed(data)), folder / name) for name, data in rows}


def _keep(connection: sqlite3.Connection, new: dict[str, Weighed], light: Light) -> None:
    rows = [(name, light.mark, sealed(json.dumps(_as_data(one)))) for name, one in new.items()]
    with connection:
        connection.execute("DELETE FROM weighed WHERE rulebook <> ?", (light.mark,))
        connection.executemany("INSERT OR REPLACE INTO weighed VALUES (?, ?, ?)", rows)


def _as_data(one: Weighed) -> list[Any]:
    known = [(item.observation, item.finding, item.weights) for item in one.known]
    problems = problems_as_text(one.problems)
    start = [one.leading, one.leading_name, one.probability, known]
    return [*start, sorted(one.impossible), one.confirmed, one.confirmed_names, problems]


def _from_data(data: list[Any], path: Path) -> Weighed:
    leading, name, probability, known, impossible, confirmed, names, problems = data
    return Weighed(
        leading,
        name,
        probability,
        tuple(Known(observation, finding, tuple(w)) for observation, finding, w in known),
        frozenset(impossible),
        tuple(confirmed),
        tuple(names),
        problems_from_text(problems, path),
    )
