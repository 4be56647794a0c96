"""Surprise: what a just given answer settles, against what all the other answers lead to expect."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from .belief import Belief
from .effects import Effects

UNLIKELY_BELOW = 0.05  # probability of the outcome, given the rest
WEAVER_FROM = 10.0  # an outcome among many is seldom likely; below this it is no surprise
LESSENED_TO = 0.5  # of its probability before any evidence; else it is rare, not at odds


def expected(
    effects: Effects, belief: Belief, finding: str, mended: Collection[int] = ()
) -> list[float]:
    """The probability of each outcome of a finding that does not count yet; they add up to 1.

    `mended` are the causes mended before it was seen.
    """
    return [
        effect.usual * belief.after(effect).total / belief.total
        for effect in effects.outcomes(finding, mended)
    ]


def weaver_index(chances: Sequence[float], outcome: int) -> float:
    """How surprising an outcome is: the expected probability over that of the outcome, from 0 up.

    Source: W. Weaver, "Probability, rarity, interest, and surprise", The Scientific Monthly 67,
    1948 (M): sum of p^2 over p of the outcome.
    """
    return sum(chance * chance for chance in chances) / chances[outcome]


def is_surprising(given_rest: Sequence[float], before: Sequence[float], outcome: int) -> bool:
    """Whether the rest of the evidence makes this outcome unlikely, so that a second look pays.

    `before` are the chances before any evidence: what is only rare does not contradict the rest.
    """
    chance = given_rest[outcome]
    return (
        chance < UNLIKELY_BELOW
        and weaver_index(given_rest, outcome) >= WEAVER_FROM
        and chance < LESSENED_TO * before[outcome]
    )
