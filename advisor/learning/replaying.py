"""Closed cases ranked again: how often the rulebook was right, and how well it knew."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import asdict, dataclass, field
from functools import partial
from pathlib import Path
from typing import Any

from advisor.proof.judging import forecasts, hits, is_within_three, probability_of_right
from advisor.proof.running import leading
from advisor.proof.scores import (
    BINS,
    Z_95,
    Bin,
    Parts,
    bin_of,
    brier_parts,
    calibration_error,
    log_score,
    wilson_interval,
)
from advisor.proof.walk import walk
from advisor.rulebook import Rulebook

from .closed import MOST_CAUSES, ClosedCase
from .exact import error_of_mean, mean, steps
from .folding import Progress, fold
from .intake import Intake
from .source import Source
from .workers import Workers

FORMAT = 1


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


@dataclass(frozen=True, slots=True)
class Scores:
    """Means over the scored cases.

    `log_score` is in nats, on the probability given to what is right (of two causes: to both at
    once), with its standard error; `brier` the sum over all causes and none-of-the-listed.
    """

    log_score: float
    log_score_error: float
    brier: float
    calibration: tuple[Bin, ...]
    calibration_error: float
    parts: Parts


@dataclass(frozen=True, slots=True)
class Replay:
    """What became of the rankings of a folder of closed cases; no scores without a case."""

    rulebook: str
    rulebook_version: str
    intake: Intake
    tally: ReplayTally
    whole: Places
    scores: Scores | None

    def as_data(self) -> dict[str, Any]:
        """The replay as plain data for JSON."""
        tally = self.tally
        return {
            "format": FORMAT,
            "rulebook": self.rulebook,
            "rulebook_version": self.rulebook_version,
            **self.intake.as_data(),
            "more_causes": tally.more_causes,
            "all": self.whole.as_data() if self.whole.cases else None,
            "by_outcome": {kind: tally.places[kind].as_data() for kind in sorted(tally.places)},
            "scores": _scores_data(self.scores) if self.scores else None,
            "confusion": [
                {"true": list(true), "leading": leads, "cases": count}
                for (true, leads), count in sorted(tally.confusion.items())
            ],
            "minutes": {
                "spent": {"cases": tally.spent.cases, "mean": tally.spent.mean},
                "planned_for_the_same": {"cases": tally.planned.cases, "mean": tally.planned.mean},
                "planned": {"cases": tally.walked.cases, "mean": tally.walked.mean},
                "first_after_walk": tally.first_after_walk if tally.with_walks else None,
            },
        }


def replay_cases(
    folder: Path,
    source: Source,
    *,
    with_walks: bool = False,
    workers: Workers,
    progress: Progress,
) -> Replay:
    """Rank every closed case of a folder again. Raises LearningError and LoadError.

    `with_walks` lets the planner lead through each case too, which takes far longer.
    """
    meta = source.load().meta
    folded = fold(
        folder, source, partial(ReplayTally, with_walks), workers=workers, progress=progress
    )
    whole = Places()
    for places in folded.tally.places.values():
        whole.merge(places)
    scores = scores_of(folded.tally, whole.cases)
    return Replay(meta.id, meta.version, folded.intake, folded.tally, whole, scores)


def scores_of(tally: ReplayTally, cases: int) -> Scores | None:
    """The scores of a tally of so many scored cases; None without a case."""
    if not cases:
        return None
    rows = zip(tally.counts, tally.foretold, tally.came_true, strict=True)
    bins = tuple(Bin(count, mean(total, count), hits) for count, total, hits in rows if count)
    return Scores(
        log_score=mean(tally.surprise, cases),
        log_score_error=error_of_mean(tally.surprise, tally.squared_surprise, cases),
        brier=mean(tally.brier, cases),
        calibration=bins,
        calibration_error=calibration_error(bins),
        parts=brier_parts(bins),
    )


def _scores_data(scores: Scores) -> dict[str, Any]:
    error = scores.log_score_error
    half = Z_95 * error
    return {
        "log_score": scores.log_score,
        "log_score_low": scores.log_score - half if math.isfinite(error) else None,
        "log_score_high": scores.log_score + half if math.isfinite(error) else None,
        "brier": scores.brier,
        "calibration_error": scores.calibration_error,
        "parts": asdict(scores.parts),
        "calibration": [one.as_data() for one in scores.calibration],
    }
