"""What ranking closed cases again adds up to: places, scores, minutes, and what led instead."""

from __future__ import annotations

from collections import Counter
from dataclasses import asdict, dataclass, field
from typing import Any

from advisor.proof.judging import forecasts, hits, is_within_three, probability_of_right
from advisor.proof.running import leading
from advisor.proof.scores import BINS, bin_of, log_score, wilson_interval
from advisor.proof.walk import walk
from advisor.rulebook import Rulebook

from .closed import MOST_CAUSES, ClosedCase
from .exact import mean, steps


@dataclass(slots=True)
class Places:
    """How many cases, and in how many the right cause led or stood within the first three.

    Of two causes at once, one has to lead, and both be within the first three.
    """

    cases: int = 0
    first: int = 0
    first_three: int = 0

    def merge(self, other: Places) -> None:
        """Take in other cases."""
        self.cases += other.cases
        self.first += other.first
        self.first_three += other.first_three

    def as_data(self) -> dict[str, Any]:
        """The counts with their shares and intervals, for JSON."""
        data: dict[str, Any] = asdict(self)
        for name, count in (("first", self.first), ("first_three", self.first_three)):
            low, high = wilson_interval(count, self.cases)
            data[f"{name}_share"] = count / self.cases
            data[f"{name}_low"], data[f"{name}_high"] = low, high
        return data


@dataclass(slots=True)
class Minutes:
    """Minutes that the cases took, and those of the planner's own walks, for the same cases."""

    cases: int = 0
    steps: int = 0

    def add(self, minutes: float) -> None:
        """Take in one case."""
        self.cases += 1
        self.steps += steps(minutes)

    def merge(self, other: Minutes) -> None:
        """Take in other cases."""
        self.cases += other.cases
        self.steps += other.steps

    @property
    def mean(self) -> float | None:
        """Mean minutes a case; None without a case."""
        return mean(self.steps, self.cases) if self.cases else None


@dataclass(slots=True)
class ReplayTally:
    """What is added up over closed cases; sums are whole counts of steps (see `exact`).

    `places` are by kind of outcome, `confusion` counts cases by what was true and what led.
    `spent` are the minutes that the files name; `planned` those of the planner's walks over the
    same cases, `walked` those over all cases.
    """

    with_walks: bool = False
    places: dict[str, Places] = field(default_factory=dict)
    more_causes: int = 0
    surprise: int = 0
    squared_surprise: int = 0
    brier: int = 0
    counts: list[int] = field(default_factory=lambda: [0] * BINS)
    foretold: list[int] = field(default_factory=lambda: [0] * BINS)
    came_true: list[int] = field(default_factory=lambda: [0] * BINS)
    confusion: Counter[tuple[tuple[str, ...], str]] = field(default_factory=Counter)
    spent: Minutes = field(default_factory=Minutes)
    planned: Minutes = field(default_factory=Minutes)
    walked: Minutes = field(default_factory=Minutes)
    first_after_walk: int = 0

    def add(self, closed: ClosedCase, rulebook: Rulebook) -> None:
        """Rank one case and see what was foretold of it."""
        if len(closed.right) > MOST_CAUSES:
            self.more_causes += 1
            return
        ranking = closed.diagnosis.ranking()
        leads = leading(ranking)
        places = self.places.setdefault(closed.kind, Places())
        places.cases += 1
        places.first += leads in closed.right
        places.first_three += is_within_three(ranking, closed.left)
        probability = probability_of_right(rulebook, closed.diagnosis, closed.right)
        surprise = steps(log_score(probability))
        self.surprise += surprise
        self.squared_surprise += surprise * surprise
        self.confusion[tuple(sorted(closed.right)), leads] += 1
        pairs = zip(forecasts(closed.diagnosis), hits(rulebook, closed.right), strict=True)
        for foretold, hit in pairs:
            self.brier += steps((foretold - hit) ** 2)
            place = bin_of(foretold)
            self.counts[place] += 1
            self.foretold[place] += steps(foretold)
            self.came_true[place] += hit
        self._time(closed, rulebook)

    def _time(self, closed: ClosedCase, rulebook: Rulebook) -> None:
        spent = closed.case.minutes_spent  # 0 when nobody counted
        if spent > 0.0:
            self.spent.add(spent)
        if self.with_walks:
            one = walk(rulebook, closed.diagnosis.answers)
            self.walked.add(one.minutes)
            self.first_after_walk += leading(one.diagnosis.ranking()) in closed.right
            if spent > 0.0:
                self.planned.add(one.minutes)

    def merge(self, other: ReplayTally) -> None:
        """Take in the tally of other cases."""
        for kind, places in other.places.items():
            self.places.setdefault(kind, Places()).merge(places)
        for name in ("more_causes", "surprise", "squared_surprise", "brier", "first_after_walk"):
            setattr(self, name, getattr(self, name) + getattr(other, name))
        for name in ("counts", "foretold", "came_true"):
            both = zip(getattr(self, name), getattr(other, name), strict=True)
            setattr(self, name, [a + b for a, b in both])
        self.confusion.update(other.confusion)
        for name in ("spent", "planned", "walked"):
            getattr(self, name).merge(getattr(other, name))
