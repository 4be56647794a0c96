"""Belief over none, each one and each two of the listed causes, and the prior it starts from."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from .effects import Effect
from .rules import Rules


@dataclass(slots=True)
class Belief:
    """Probabilities of the hypotheses: none, each single cause, each pair (symmetric rows).

    Masses need not add up to 1 while an update is under way; `total` is their sum.
    """

    none: float
    single: list[float]
    pair: list[list[float]]

    def marginals(self) -> list[float]:
        """The mass of each cause, over singles and pairs."""
        return [alone + sum(row) for alone, row in zip(self.single, self.pair, strict=True)]

    @property
    def total(self) -> float:
        """The mass of all hypotheses."""
        return self.none + sum(self.single) + 0.5 * sum(map(sum, self.pair))

    def scaled(self, factor: float) -> Belief:
        """The same belief with every mass times `factor`."""
        return Belief(
            self.none * factor,
            [mass * factor for mass in self.single],
            [[mass * factor for mass in row] for row in self.pair],
        )

    def after(self, effect: Effect) -> Belief:
        """The masses times the likelihoods of an effect, without normalising.

        The common factor `effect.usual` is left out: multiply `total` by it for a probability.
        """
        single = self.single.copy()
        for i, ratio in effect.single:
            single[i] *= ratio
        pair = [row.copy() for row in self.pair]
        for i, ratio in effect.silent:
            row = [mass * ratio for mass in pair[i]]
            pair[i] = row
            for j, mass in enumerate(row):
                pair[j][i] = mass
        for i, j, ratio in effect.both:
            pair[i][j] *= ratio
            pair[j][i] = pair[i][j]
        return Belief(self.none, single, pair)

    def without(self, mended: Collection[int]) -> Belief:
        """The belief once these causes, mended, have not brought a cure; adds up to 1.

        What lies in them alone is disproved. When nothing else is left, it must be something
        that is not listed.
        """
        single = [0.0 if i in mended else mass for i, mass in enumerate(self.single)]
        pair = [
            [0.0 if i in mended and j in mended else mass for j, mass in enumerate(row)]
            for i, row in enumerate(self.pair)
        ]
        belief = Belief(self.none, single, pair)
        total = belief.total
        return belief.scaled(1.0 / total) if total > 0.0 else Belief(1.0, single, pair)

    def left(self, mended: Collection[int]) -> Belief:
        """What is still to be mended: a pair with one mended cause is the other one alone."""
        if not mended:
            return self
        single = self.single.copy()
        pair = [row.copy() for row in self.pair]
        for i in mended:
            for j, mass in enumerate(pair[i]):
                single[j] += mass
                pair[i][j] = pair[j][i] = 0.0
        return Belief(self.none, single, pair)


class Priors:
    """Prior belief: commonness, pairs, and *none of the listed*, with causes that can't exist out.

    A cause's share is its commonness over the sum of all that apply; a pair weighs `pair_factor`
    times the product of its two shares; singles and pairs together have `1 - none_share`.
    """

    def __init__(self, rules: Rules) -> None:
        self._rules = rules

    def belief(self, applies: Sequence[float]) -> Belief:
        """The prior when cause k can exist on this vehicle with probability `applies[k]`."""
        weights = [
            cause.commonness * share
            for cause, share in zip(self._rules.causes, applies, strict=True)
        ]
        whole = sum(weights)
        count = len(weights)
        if whole <= 0.0:
            return Belief(1.0, [0.0] * count, [[0.0] * count for _ in range(count)])
        shares = [weight / whole for weight in weights]
        factor = self._rules.pair_factor
        pair = [
            [0.0 if i == j else factor * a * b for j, b in enumerate(shares)]
            for i, a in enumerate(shares)
        ]
        listed = sum(shares) + 0.5 * sum(map(sum, pair))
        scale = (1.0 - self._rules.none_share) / listed
        return Belief(
            self._rules.none_share,
            [share * scale for share in shares],
            [[mass * scale for mass in row] for row in pair],
        )
