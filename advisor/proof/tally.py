"""Scores of a rulebook over its examples, those held back apart from the others."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean

from advisor.rulebook import Rulebook

from .naming import NONE
from .running import Result, first_three, leading
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
    forecasts = [_forecasts(rulebook, result) for result in results]
    probabilities = [p for one in forecasts for p in one]
    hits = [hit for result in results for hit in _hits(rulebook, result)]
    bins = binned(probabilities, hits)
    walks = [walk(rulebook, result.example.values) for result in results]
    return Tally(
        examples=len(results),
        first=fmean(result.leading in result.example.right for result in results),
        first_three=fmean(_is_within_three(result) for result in results),
        log_score=fmean(log_score(_probability_of_right(rulebook, one)) for one in results),
        brier=brier(probabilities, hits) * len(forecasts[0]),
        minutes=fmean(one.minutes for one in walks),
        questions=fmean(one.questions for one in walks),
        first_after_walk=fmean(map(_led_right, walks, results)),
        calibration=bins,
        calibration_error=calibration_error(bins),
        parts=brier_parts(bins),
    )


def _forecasts(rulebook: Rulebook, result: Result) -> list[float]:
    """The probability of none-of-the-listed and of each cause, held within 0 to 1."""
    belief = result.diagnosis.belief()
    return [min(1.0, max(0.0, p)) for p in (belief.none, *belief.marginals())]


def _hits(rulebook: Rulebook, result: Result) -> list[bool]:
    names = (NONE, *(cause.id for cause in rulebook.rules.causes))
    return [name in result.example.right for name in names]


def _is_within_three(result: Result) -> bool:
    right = result.example.right
    if right == {NONE}:
        better = [
            one
            for one in result.ranking.causes
            if one.probability > result.ranking.none_probability
        ]
        return len(better) < 3
    return right <= set(first_three(result.ranking))


def _probability_of_right(rulebook: Rulebook, result: Result) -> float:
    ids = [cause.id for cause in rulebook.rules.causes]
    belief = result.diagnosis.belief()
    if result.example.right == {NONE}:
        return belief.none
    places = sorted(ids.index(name) for name in result.example.right)
    if len(places) == 2:
        return belief.pair[places[0]][places[1]]
    return belief.marginals()[places[0]]


def _led_right(one: Walk, result: Result) -> bool:
    return leading(one.diagnosis.ranking()) in result.example.right
