"""What a finding does to belief: its rates with none, one or two of the causes, as likelihoods."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from operator import itemgetter, mul

from .rules import Finding, Rules

DECIBANS_PER_NEPER = 10.0 / math.log(10.0)
Weights = tuple[float, ...]


def noisy_or(usual: float, first: float, second: float) -> float:
    """Rate of a yes/no finding when both of two causes are there.

    `usual` is its rate on other vehicles, `first` and `second` its rates with each cause alone;
    all within (0, 1). Source: noisy-OR with a leak, Pearl 1988; here the leak is the least of
    the three, since a cause that makes the finding rarer cannot take away another's effect.
    """
    leak = min(usual, first, second)
    return 1.0 - (1.0 - first) * (1.0 - second) / (1.0 - leak)


def decibans(ratio: float) -> float:
    """Weight of evidence of a likelihood ratio. Source: I. J. Good, 1985: 10 log10(ratio)."""
    return 10.0 * math.log10(ratio)


@dataclass(frozen=True, slots=True)
class Effect:
    """What one finding, with given outcome weights, does to belief.

    `usual` is the likelihood under *none of the listed*; all else is relative to it, by index
    of the cause: `single` on its own, `silent` beside a cause of which the finding says nothing,
    `both` beside another of which it does, relative to the product of the two `silent` ones.
    """

    usual: float
    single: tuple[tuple[int, float], ...]
    silent: tuple[tuple[int, float], ...]
    both: tuple[tuple[int, int, float], ...]

    def undone(self) -> Effect:
        """The effect that takes this one off again."""
        return Effect(
            1.0 / self.usual,
            tuple((i, 1.0 / ratio) for i, ratio in self.single),
            tuple((i, 1.0 / ratio) for i, ratio in self.silent),
            tuple((i, j, 1.0 / ratio) for i, j, ratio in self.both),
        )

    @property
    def spread(self) -> float:
        """How far it drives causes apart: range of the log-likelihoods, in nepers."""
        logs = [math.log(ratio) for _, ratio in self.single]
        return max([0.0, *logs]) - min([0.0, *logs])


def pair_rates(finding: Finding, first: Weights, second: Weights) -> Weights:
    """Outcome rates of a finding when two causes are there: noisy-OR, or the mean if several."""
    if len(finding.outcomes) == 2 and finding.outcomes[0] == "true":
        rate = noisy_or(finding.usual[0], first[0], second[0])
        return (rate, 1.0 - rate)
    return tuple(0.5 * (a + b) for a, b in zip(first, second, strict=True))


@dataclass(frozen=True, slots=True)
class Rates:
    """The outcome rates of one finding, by index of the causes of which it speaks."""

    usual: Weights
    single: tuple[tuple[int, Weights], ...]
    silent: tuple[tuple[int, Weights], ...]
    both: tuple[tuple[int, int, Weights], ...]

    def effect(self, weights: Weights) -> Effect:
        """The effect when the outcomes have these weights (virtual evidence; Pearl 1988)."""
        if 1.0 in weights:
            likelihood: Callable[[Weights], float] = itemgetter(weights.index(1.0))
        else:

            def likelihood(rates: Weights) -> float:
                return math.fsum(map(mul, weights, rates))

        usual = likelihood(self.usual)
        single = tuple((i, likelihood(rates) / usual) for i, rates in self.single)
        silent = tuple((i, likelihood(rates) / usual) for i, rates in self.silent)
        beside = dict(silent)
        both = tuple(
            (i, j, likelihood(rates) / (usual * beside.get(i, 1.0) * beside.get(j, 1.0)))
            for i, j, rates in self.both
        )
        return Effect(usual, single, silent, both)

    def once_mended(self, mended: Collection[int]) -> Rates:
        """The rates once these causes are mended: of a pair with one, the other alone acts."""
        single = tuple((i, rates) for i, rates in self.single if i not in mended)
        return Rates(
            self.usual,
            single,
            tuple((i, rates) for i, rates in self.silent if i not in mended),
            (
                *(pair for pair in self.both if pair[0] not in mended and pair[1] not in mended),
                *((min(i, j), max(i, j), rates) for i in mended for j, rates in single),
            ),
        )


def rates_of(finding: Finding, index_of: Mapping[str, int]) -> Rates:
    """Work out the rates of a finding under each hypothesis of which it speaks."""
    speaks = sorted((index_of[cause], rates) for cause, rates in finding.rates.items())
    return Rates(
        finding.usual,
        tuple(speaks),
        tuple((i, pair_rates(finding, rates, finding.usual)) for i, rates in speaks),
        tuple(
            (i, j, pair_rates(finding, a, b))
            for place, (i, a) in enumerate(speaks)
            for j, b in speaks[place + 1 :]
        ),
    )


class Effects:
    """The effects of the findings of a rulebook, each worked out when it is first needed.

    `reach` is how far a finding can drive causes apart, in nepers, by its most telling outcome.
    """

    def __init__(self, rules: Rules) -> None:
        self.index_of: Mapping[str, int] = {cause.id: i for i, cause in enumerate(rules.causes)}
        self.findings: Mapping[str, Finding] = {finding.id: finding for finding in rules.findings}
        self.reach: Mapping[str, float] = {f.id: _reach(f) for f in rules.findings}
        self._rates: dict[str, Rates] = {}
        self._certain: dict[tuple[str, int], Effect] = {}

    def outcomes(self, finding: str, mended: Collection[int] = ()) -> tuple[Effect, ...]:
        """The effect of each outcome of a finding, seen once these causes were mended."""
        count = len(self.findings[finding].outcomes)
        return tuple(
            self.weighted(finding, tuple(float(k == outcome) for k in range(count)), mended)
            for outcome in range(count)
        )

    def weighted(self, finding: str, weights: Weights, mended: Collection[int] = ()) -> Effect:
        """The effect of a finding whose outcomes have these probabilities.

        `mended` are the causes mended before it was seen, which have no part in it.
        """
        if mended:
            return self._rates_of(finding).once_mended(mended).effect(weights)
        if 1.0 not in weights:
            return self._rates_of(finding).effect(weights)
        key = (finding, weights.index(1.0))
        if key not in self._certain:
            self._certain[key] = self._rates_of(finding).effect(weights)
        return self._certain[key]

    def _rates_of(self, finding: str) -> Rates:
        if finding not in self._rates:
            self._rates[finding] = rates_of(self.findings[finding], self.index_of)
        return self._rates[finding]


def _reach(finding: Finding) -> float:
    return max(
        max(0.0, *logs) - min(0.0, *logs)
        for k, usual in enumerate(finding.usual)
        if (logs := [0.0, *(math.log(rates[k] / usual) for rates in finding.rates.values())])
    )
