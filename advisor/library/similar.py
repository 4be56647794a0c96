"""Cases like this one, and what cured them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from advisor.cases import CaseSession
from advisor.report.wording import weighed_outcome
from advisor.rulebook import Problem, Rulebook

from .library import Library
from .likeness import Agreement, Likeness
from .search import Found, in_short
from .weighing import Known, Weighed, weighed_session

FORMAT: Final = 1
MOST_FINDINGS: Final = 5  # shown of those that agree, and of those that differ
SLIGHT: Final = 0.005  # a share of the likeness below this is not worth a line
LEAST: Final = 0.1  # below this two cases have nothing in common worth telling


@dataclass(frozen=True, slots=True)
class Alike:
    """A case of the library, how like the one in question it is, 0 to 1, and in what."""

    found: Found
    likeness: float
    agreements: tuple[Agreement, ...]

    @property
    def shared(self) -> tuple[Agreement, ...]:
        """The findings that make the cases alike, the most telling first."""
        return tuple(one for one in self.agreements if one.share > SLIGHT)

    @property
    def differing(self) -> tuple[Agreement, ...]:
        """The findings that came out differently, the most telling first."""
        return tuple(one for one in self.agreements if not _same(one) and one.share <= SLIGHT)


@dataclass(frozen=True, slots=True)
class AlikeCases:
    """The cases most like one, closed ones and open ones apart, each the most alike first.

    `compared` is how many there were to compare with, `impossible` how many closed ones were left
    out since their cause can't be on this vehicle.
    """

    closed: tuple[Alike, ...]
    open: tuple[Alike, ...]
    compared: int
    impossible: int
    unreadable: tuple[Problem, ...]
    rulebook: Rulebook

    def as_data(self) -> dict[str, Any]:
        """As plain data for JSON."""
        return {
            "format": FORMAT,
            "closed": [_as_data(one, self.rulebook) for one in self.closed],
            "open": [_as_data(one, self.rulebook) for one in self.open],
            "compared": self.compared,
            "left_out_as_impossible": self.impossible,
            "unreadable": [problem.as_dict() for problem in self.unreadable],
        }


def similar(library: Library, session: CaseSession, most: int) -> AlikeCases:
    """The cases most like an open one, at most so many closed and so many open ones."""
    rulebook = library.rulebook
    this = weighed_session(session)
    likeness = Likeness(rulebook.rules)
    own = _name_in(library, session.path)
    names = [name for name in library.select() if name != own]
    weighed = library.weighed(names)
    problems = [problem for entry in library.unreadable() for problem in entry.problems]
    problems += [problem for name in names for problem in weighed[name].problems]
    readable = [name for name in names if not weighed[name].problems]
    scored = {name: likeness.between(this, weighed[name]) for name in readable}
    near = [name for name in readable if scored[name] >= LEAST]
    near.sort(key=lambda name: (-scored[name], name))
    closed, open_, impossible = _sorted_out(library, near, weighed, this)

    def told(names: Sequence[str]) -> tuple[Alike, ...]:
        return tuple(
            Alike(one, scored[one.name], likeness.agreements(this, weighed[one.name]))
            for one in in_short(library, names[:most])
        )

    return AlikeCases(
        told(closed), told(open_), len(readable), impossible, tuple(problems), rulebook
    )


def _sorted_out(
    library: Library, names: Sequence[str], weighed: Mapping[str, Weighed], this: Weighed
) -> tuple[list[str], list[str], int]:
    """Closed and open cases, and how many of those closed can't have had this vehicle's cause."""
    closed: list[str] = []
    open_: list[str] = []
    impossible = 0
    for name, case in library.cases(names):
        if case.outcome is None:
            open_.append(name)
        elif (causes := weighed[name].confirmed) and this.impossible.issuperset(causes):
            impossible += 1
        else:
            closed.append(name)
    return closed, open_, impossible


def _name_in(library: Library, case: Path) -> str | None:
    """The name of the case's file when it lies in the library itself."""
    inside = case.resolve().parent == library.folder.resolve()
    return case.name if inside else None


def _same(one: Agreement) -> bool:
    return (one.here.finding, one.here.weights) == (one.there.finding, one.there.weights)


def _as_data(one: Alike, rulebook: Rulebook) -> dict[str, Any]:
    case = one.found.case
    outcome, closing = case.outcome, case.closing
    return {
        **one.found.as_data(),
        "likeness": round(one.likeness, 4),
        "none_of_the_listed": outcome is not None and not one.found.confirmed,
        "cures": [_cure_data(cause, rulebook) for cause in one.found.confirmed],
        "work": None if closing is None else closing.work,
        "note": None if outcome is None else outcome.note,
        "minutes_of_work": None if closing is None else closing.minutes,
        "shared": [_agreement_data(item, rulebook) for item in one.shared],
        "differing": [_agreement_data(item, rulebook) for item in one.differing],
    }


def _cure_data(cause: str, rulebook: Rulebook) -> dict[str, Any]:
    model = rulebook.causes[cause]
    return {
        "cause": cause,
        "name": model.name,
        "cautions": cautions_of([cause], rulebook),
        "steps": list(model.remedy.steps),
        "minutes": model.remedy.minutes,
    }


def cautions_of(causes: Iterable[str], rulebook: Rulebook) -> list[str]:
    """The texts of the cautions before the repair of these causes, each once."""
    ids = dict.fromkeys(one for cause in causes for one in rulebook.causes[cause].remedy.cautions)
    return [rulebook.cautions[one].text for one in ids]


def _agreement_data(one: Agreement, rulebook: Rulebook) -> dict[str, Any]:
    return {
        "share": round(one.share, 4),
        "here": _known_data(one.here, rulebook),
        "there": _known_data(one.there, rulebook),
    }


def _known_data(known: Known, rulebook: Rulebook) -> dict[str, Any]:
    return {
        "finding": known.finding,
        "says": rulebook.findings[known.finding].says,
        "outcome": weighed_outcome(rulebook, known.finding, known.weights),
    }
