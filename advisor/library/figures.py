"""Figures for the shop: what was confirmed, what came back, how good the first guess was."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from statistics import median
from typing import Any, Final

from advisor.cases import CaseFile
from advisor.proof.scores import wilson_interval
from advisor.rulebook import Problem, Rulebook

from .library import Library
from .weighing import Weighed, confirmed_in

FORMAT: Final = 1
Confirmed = Mapping[str, Sequence[str]]  # name of a closed case: its causes, none if of none


@dataclass(frozen=True, slots=True)
class Share:
    """So many of so many, with the 95 % interval of the share (Wilson)."""

    hits: int
    count: int

    @property
    def interval(self) -> tuple[float, float]:
        """Between what the share lies; 0 to 1 when there is nothing to go by."""
        return wilson_interval(self.hits, self.count) if self.count else (0.0, 1.0)

    def as_data(self) -> dict[str, Any]:
        """As plain data for JSON."""
        low, high = self.interval
        share = self.hits / self.count if self.count else None
        return {
            "hits": self.hits,
            "count": self.count,
            "share": None if share is None else round(share, 4),
            "low": round(low, 4),
            "high": round(high, 4),
        }


@dataclass(frozen=True, slots=True)
class CauseFigures:
    """One cause over all cases: confirmed among the closed, come back among those confirmed."""

    cause: str
    name: str
    confirmed: Share
    came_back: Share


@dataclass(frozen=True, slots=True)
class MinutesFigures:
    """Minutes of work and proof as they were, beside the rulebook's estimate for the same work."""

    cases: int
    spent: float
    estimated: float
    median_ratio: float | None


@dataclass(frozen=True, slots=True)
class Figures:
    """All figures of a library. Cases that can't be weighed with the rulebook are only counted.

    `led` tells in how many closed cases a confirmed cause leads by the answers; of `weighed`
    cases alone. `first_repair` tells in how many no repair without a cure went before.
    """

    closed: int
    open: int
    none_of_the_listed: Share
    causes: tuple[CauseFigures, ...]
    comebacks: Share
    led: Share
    first_repair: Share
    diagnosis_minutes: float | None
    work: MinutesFigures
    unreadable: tuple[Problem, ...]

    def as_data(self) -> dict[str, Any]:
        """As plain data for JSON."""
        work = self.work
        return {
            "format": FORMAT,
            "closed": self.closed,
            "open": self.open,
            "none_of_the_listed": self.none_of_the_listed.as_data(),
            "causes": [
                {
                    "cause": one.cause,
                    "name": one.name,
                    "confirmed": one.confirmed.as_data(),
                    "came_back": one.came_back.as_data(),
                }
                for one in self.causes
            ],
            "came_back": self.comebacks.as_data(),
            "leading_was_confirmed": self.led.as_data(),
            "first_repair_cured": self.first_repair.as_data(),
            "median_minutes_of_diagnosis": self.diagnosis_minutes,
            "work": {
                "cases": work.cases,
                "minutes_spent": round(work.spent, 1),
                "minutes_estimated": round(work.estimated, 1),
                "median_ratio": None if work.median_ratio is None else round(work.median_ratio, 3),
            },
            "unreadable": [problem.as_dict() for problem in self.unreadable],
        }


def figures(library: Library) -> Figures:
    """The figures of a library in the light of its rulebook."""
    names = library.select()
    cases = dict(library.cases(names))
    closed = {name: case for name, case in cases.items() if case.outcome is not None}
    weighed = library.weighed(list(closed))
    problems = [problem for entry in library.unreadable() for problem in entry.problems]
    problems += [problem for one in weighed.values() for problem in one.problems]
    confirmed = {name: confirmed_in(case, weighed[name]) for name, case in closed.items()}
    back = _came_back(cases.values(), closed)
    rulebook = library.rulebook
    spent = [case.minutes_spent for case in closed.values() if case.minutes_spent]
    return Figures(
        len(closed),
        len(cases) - len(closed),
        Share(sum(not causes for causes in confirmed.values()), len(closed)),
        _causes(confirmed, back, rulebook),
        Share(len(back), len(closed)),
        _led(confirmed, weighed),
        Share(sum(not case.repairs for case in closed.values()), len(closed)),
        median(spent) if spent else None,
        _work(closed, confirmed, rulebook),
        tuple(problems),
    )


def _came_back(cases: Iterable[CaseFile], closed: Mapping[str, CaseFile]) -> frozenset[str]:
    """The files of closed cases that a later case names as the one that came back."""
    named = {case.comeback_of.case for case in cases if case.comeback_of is not None}
    return frozenset(name for name, case in closed.items() if case.id in named)


def _causes(
    confirmed: Confirmed, back: frozenset[str], rulebook: Rulebook
) -> tuple[CauseFigures, ...]:
    """The confirmed causes, the most frequent first, then in the order of their ids."""
    counts: Counter[str] = Counter()
    returned: Counter[str] = Counter()
    for name, causes in confirmed.items():
        counts.update(causes)
        returned.update(causes if name in back else ())
    return tuple(
        CauseFigures(
            cause,
            rulebook.causes[cause].name if cause in rulebook.causes else cause,
            Share(count, len(confirmed)),
            Share(returned[cause], count),
        )
        for cause, count in sorted(counts.items(), key=lambda item: (-item[1], item[0]))
    )


def _led(confirmed: Confirmed, weighed: Mapping[str, Weighed]) -> Share:
    """How often what leads by the answers was confirmed; *none of the listed* can lead too."""
    usable = {name: causes for name, causes in confirmed.items() if not weighed[name].problems}
    right = 0
    for name, causes in usable.items():
        leading = weighed[name].leading
        right += not causes if leading is None else leading in causes
    return Share(right, len(usable))


def _work(
    closed: Mapping[str, CaseFile], confirmed: Confirmed, rulebook: Rulebook
) -> MinutesFigures:
    """Of the closed cases that tell the minutes of their work."""
    pairs = [
        (case.closing.minutes, estimate)
        for name, case in closed.items()
        if case.closing is not None
        and case.closing.minutes is not None
        and (estimate := _estimate(confirmed[name], rulebook)) is not None
    ]
    ratios = [spent / estimate for spent, estimate in pairs if estimate > 0.0]
    return MinutesFigures(
        len(pairs),
        sum(spent for spent, _ in pairs),
        sum(estimate for _, estimate in pairs),
        median(ratios) if ratios else None,
    )


def _estimate(causes: Sequence[str], rulebook: Rulebook) -> float | None:
    """The minutes that the rulebook expects for the repair and its proof; None if it can't say."""
    if not causes or not rulebook.causes.keys() >= set(causes):
        return None
    models = [rulebook.causes[cause] for cause in causes]
    return sum(model.remedy.minutes + model.verify.minutes for model in models)
