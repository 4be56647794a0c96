"""The causes by probability, as a belief has them."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from functools import cached_property
from heapq import nlargest
from typing import NamedTuple

from .belief import Belief

SHOWN_PAIRS = 3


class RankedCause(NamedTuple):
    """A cause and its probability, over singles and pairs."""

    cause: str
    probability: float


class RankedPair(NamedTuple):
    """Two causes at once, and the probability of exactly that."""

    causes: tuple[str, str]
    probability: float


@dataclass(frozen=True)
class Ranking:
    """Causes, most probable first; causes that cannot exist on this vehicle are left out.

    `none_probability` is that of *none of the listed*. The causes' probabilities may add up to
    more than 1 together with it, since two can be there at once. `belief` is over all causes,
    whose ids are `names`.
    """

    causes: tuple[RankedCause, ...]
    none_probability: float
    names: tuple[str, ...]
    belief: Belief

    @property
    def none_leads(self) -> bool:
        """Whether *none of the listed* is more probable than every listed cause."""
        return not self.causes or self.none_probability >= self.causes[0].probability

    @cached_property
    def pairs(self) -> tuple[RankedPair, ...]:
        """The most probable pairs; ties keep the order of the files."""
        likeliest = nlargest(SHOWN_PAIRS, self._masses())
        return tuple(RankedPair((self.names[-i], self.names[-j]), mass) for mass, i, j in likeliest)

    @cached_property
    def two_probability(self) -> float:
        """The probability of any two being there at once."""
        return sum(mass for mass, _, _ in self._masses())

    def _masses(self) -> Iterator[tuple[float, int, int]]:
        """The pairs that can be, their places negated so that of equals the first is largest."""
        for i, row in enumerate(self.belief.pair):
            for j in range(i + 1, len(row)):
                if row[j] > 0.0:
                    yield row[j], -i, -j


def ranked(belief: Belief, names: tuple[str, ...], mended: Collection[str]) -> Ranking:
    """The ranking of a belief about the causes of these names; mended ones are left out."""
    causes = [
        RankedCause(cause, mass)
        for cause, mass in zip(names, belief.marginals(), strict=True)
        if mass > 0.0 and cause not in mended
    ]
    by_probability = tuple(sorted(causes, key=lambda item: -item.probability))
    return Ranking(by_probability, belief.none, names, belief)
