"""Scores of a rulebook over its examples, those held back apart from the others."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean

from advisor.rulebook import Rulebook

from .judging import forecasts, hits, is_within_three, probability_of_right
from .running import Result, leading
from .scores import Bin, Parts, binned, brier, brier_parts, calibration_error, log_score
from .walk import Walk, walk


@dataclass(frozen=True, slots=True)
class Tally:
    """Means over the examples of one group that say what the trouble really is.

    `first` and `first_three` are shares; with two causes at once, one of them has to lead, and
    both be within the first three. `log_score` is in nats, on the probability given to what is
    right (of two causes: to both at once). `brier` is the sum over all causes and
    none-of-the-listed. The last three are those of the planner's walks, which see only what
    they ask for.
    """

    examples: int
    first: float
    first_three: float
    log_score: float
    brier: float
    minutes: float
    questions: float
    first_after_walk: float
    calibration: tuple[Bin, ...]
    calibration_error: float
    parts: Parts


@dataclass(frozen=True, slots=True)
class Scores:
    """The tally of each group; None for a group in which no example says what is right."""

    seen: Tally | None
    held_back: Tally | None


def scores(rulebook: Rulebook, results: Sequence[Result]) -> Scores:
    """Score the examples, and let the planner walk through each."""
    telling = [result for result in results if result.example.right]
    held_back = [result for result in telling if result.example.model.held_back]
    seen = [result for result in telling if not result.example.model.held_back]
    return Scores(_tally(rulebook, seen), _tally(rulebook, held_back))


def _tally(rulebook: Rulebook, results: Sequence[Result]) -> Tally | None:
    if not results:
        return None
    foretold = [forecasts(result.diagnosis) for result in results]
    probabilities = [p for one in foretold for p in one]
    came_true = [hit for result in results for hit in hits(rulebook, result.example.right)]
    bins = binned(probabilities, came_true)
    walks = [walk(rulebook, result.example.values) for result in results]
    return Tally(
        examples=len(results),
        first=fmean(result.leading in result.example.right for result in results),
        first_three=fmean(is_within_three(one.ranking, one.example.right) for one in results),
        log_score=fmean(log_score(_probability(rulebook, one)) for one in results),
        brier=brier(probabilities, came_true) * len(foretold[0]),
        minutes=fmean(one.minutes for one in walks),
        questions=fmean(one.questions for one in walks),
        first_after_walk=fmean(map(_led_right, walks, results)),
        calibration=bins,
        calibration_error=calibration_error(bins),
        parts=brier_parts(bins),
    )


def _probability(rulebook: Rulebook, result: Result) -> float:
    return probability_of_right(rulebook, result.diagnosis, result.example.right)


def _led_right(one: Walk, result: Result) -> bool:
    return leading(one.diagnosis.ranking()) in result.example.right
