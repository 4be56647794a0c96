"""Belief over none, each one and each two of the listed causes, and the prior it starts from."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from functools import lru_cache
from operator import mul

from .effects import Effect
from .rules import Rules

Rows = list[list[float]]


class Belief:
    """Probabilities of the hypotheses: none, each single cause, each pair (symmetric rows).

    Masses need not add up to 1 while an update is under way; `total` is their sum.
    """

    def __init__(self, none: float, single: list[float], pair: Rows) -> None:
        self.none = none
        self.single = single
        self._pair: Rows | None = pair

    @property
    def pair(self) -> Rows:
        """The mass of each pair of causes, in symmetric rows."""
        assert self._pair is not None
        return self._pair

    def __eq__(self, other: object) -> bool:
        masses = (self.none, self.single, self.pair)
        return isinstance(other, Belief) and masses == (other.none, other.single, other.pair)

    __hash__ = None  # type: ignore[assignment]

    def __repr__(self) -> str:
        return f"Belief({self.none!r}, {self.single!r}, {self.pair!r})"

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


class Factored(Belief):
    """A belief whose pairs are products: `ratios[i][j] * beside[i] * beside[j]`; adds up to 1.

    So most uses of it need no mass of a pair by itself. `ratios` are symmetric rows with 0 on
    the diagonal, not changed by anybody; `gone` are causes whose pairs with each other are out.
    """

    def __init__(
        self,
        none: float,
        single: Sequence[float],
        beside: Sequence[float],
        ratios: Rows,
        gone: Collection[int] = (),
    ) -> None:
        rows = [
            own * _product(row, beside) if own else 0.0
            for own, row in zip(beside, ratios, strict=True)
        ]
        total = none + sum(single) + 0.5 * sum(rows)
        if total <= 0.0:  # nothing else is left
            none = total = 1.0
        factor = 1.0 / total
        root = math.sqrt(factor)
        self.none = none * factor
        self.single = [mass * factor for mass in single]
        self.beside = [mass * root for mass in beside]
        self.ratios = ratios
        self.gone = gone
        self._pair = None
        self._marginals = [
            alone + row * factor for alone, row in zip(self.single, rows, strict=True)
        ]

    @property
    def pair(self) -> Rows:
        """The mass of each pair of causes, in symmetric rows; worked out when first wanted."""
        if self._pair is None:
            beside = self.beside
            self._pair = [
                list(map(mul, row, map(own.__mul__, beside)))
                for row, own in zip(self.ratios, beside, strict=True)
            ]
        return self._pair

    def marginals(self) -> list[float]:
        """The mass of each cause, over singles and pairs."""
        return self._marginals.copy()

    def without(self, mended: Collection[int]) -> Factored:
        """The belief once these causes, mended, have not brought a cure; see `Belief.without`."""
        gone = frozenset((*self.gone, *mended))
        single = [0.0 if i in gone else mass for i, mass in enumerate(self.single)]
        ratios = [row.copy() for row in self.ratios]
        rule_out_pairs(ratios, gone)
        return Factored(self.none, single, self.beside, ratios, gone)


@lru_cache(maxsize=16)
def level_ratios(count: int) -> Rows:
    """The ratios of so many causes when nothing has moved their pairs; not to be changed."""
    return [[float(i != j) for j in range(count)] for i in range(count)]


def rule_out_pairs(ratios: Rows, gone: Collection[int]) -> None:
    """Take out the pairs of these causes with each other."""
    for i in gone:
        for j in gone:
            ratios[i][j] = 0.0


def _product(row: Sequence[float], other: Sequence[float]) -> float:
    whole: float = sum(map(mul, row, other))
    return whole


class Priors:
    """Prior belief: commonness, pairs, and *none of the listed*, with causes that can't exist out.

    A cause's share is its commonness over the sum of all that apply; a pair weighs `pair_factor`
    times the product of its two shares; singles and pairs together have `1 - none_share`.
    """

    def __init__(self, rules: Rules) -> None:
        self._rules = rules
        self._ratios = level_ratios(len(rules.causes))
        self._last: tuple[tuple[float, ...], Factored] | None = None

    def belief(self, applies: Sequence[float]) -> Factored:
        """The prior when cause k can exist on this vehicle with probability `applies[k]`."""
        key = tuple(applies)
        if self._last is None or self._last[0] != key:
            self._last = (key, self._belief(key))
        return self._last[1]

    def _belief(self, applies: Sequence[float]) -> Factored:
        weights = [
            cause.commonness * share
            for cause, share in zip(self._rules.causes, applies, strict=True)
        ]
        whole = sum(weights)
        if whole <= 0.0:
            nothing = [0.0] * len(weights)
            return Factored(1.0, nothing, nothing, self._ratios)
        shares = [weight / whole for weight in weights]
        factor = self._rules.pair_factor
        in_pairs = factor * sum(share * (1.0 - share) for share in shares)
        scale = (1.0 - self._rules.none_share) / (sum(shares) + 0.5 * in_pairs)
        root = math.sqrt(scale * factor)
        return Factored(
            self._rules.none_share,
            [share * scale for share in shares],
            [share * root for share in shares],
            self._ratios,
        )
