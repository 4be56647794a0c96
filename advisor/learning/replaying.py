"""Closed cases ranked again: how often the rulebook was right, and how well it knew."""

from __future__ import annotations

import math
from dataclasses import asdict, dataclass
from functools import partial
from pathlib import Path
from typing import Any, Final

from advisor.proof.scores import Z_95, Bin, Parts, brier_parts, calibration_error

from .exact import error_of_mean, mean
from .folding import Progress, fold
from .intake import Intake
from .replaytally import Places, ReplayTally
from .source import Source
from .workers import Workers

FORMAT: Final = 1


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
    """What became of the rankings of closed cases; no scores without a case."""

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
    cases: Path,
    source: Source,
    *,
    with_walks: bool = False,
    workers: Workers,
    progress: Progress,
) -> Replay:
    """Rank every closed case of a folder, or of a file of JSON lines, again.

    Raises LearningError and LoadError.
    `with_walks` lets the planner lead through each case too, which takes far longer.
    """
    meta = source.load().meta
    folded = fold(
        cases, source, partial(ReplayTally, with_walks), workers=workers, progress=progress
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
