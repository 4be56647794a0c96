"""What a finding does to belief: its rates with none, one or two of the causes, as likelihoods."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations
from operator import itemgetter, mul
from typing import NamedTuple

from .lanes import packed
from .rules import ByCondition, Finding, Rules

DECIBANS_PER_NEPER = 10.0 / math.log(10.0)
STEP = 2.0**-44  # nepers
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


class Steps(NamedTuple):
    """An effect as log-likelihoods in whole steps, many in the lanes of one number.

    `both` has the pairs by their second cause, each with all causes before it; `far` is the
    largest of all the steps.
    """

    single: int
    silent: int
    both: tuple[tuple[int, int], ...]
    far: int


@dataclass(frozen=True)
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

    @cached_property
    def spread(self) -> float:
        """How far it drives causes apart: range of the log-likelihoods, in nepers."""
        return _range_of_logs(ratio for _, ratio in self.single)

    @cached_property
    def steps(self) -> Steps:
        """The same as log-likelihoods in whole steps, for adding up."""
        rows: dict[int, list[tuple[int, float]]] = {}
        for i, j, ratio in self.both:
            rows.setdefault(j, []).append((i, ratio))
        single, silent = _by_place(self.single), _by_place(self.silent)
        both = [(j, steps) for j, row in rows.items() if any(steps := _by_place(row))]
        every = (single, silent, *(steps for _, steps in both))
        return Steps(
            packed(single),
            packed(silent),
            tuple((j, packed(steps)) for j, steps in both),
            max(max(map(abs, steps), default=0) for steps in every),
        )


def _by_place(ratios: Sequence[tuple[int, float]]) -> list[int]:
    """The logarithms in whole steps, by place; 0 between them."""
    steps = [0] * (1 + max((place for place, _ in ratios), default=-1))
    for place, ratio in ratios:
        steps[place] = round(math.log(ratio) / STEP)
    return steps


def is_yes_or_no(finding: Finding) -> bool:
    """Whether the finding is true or false, not one of several values."""
    return isinstance(finding.source, ByCondition)


def pair_rates(finding: Finding, first: Weights, second: Weights) -> Weights:
    """Outcome rates of a finding when two causes are there: noisy-OR, or the mean if several."""
    if is_yes_or_no(finding):
        rate = noisy_or(finding.usual[0], first[0], second[0])
        return (rate, 1.0 - rate)
    return tuple(0.5 * (a + b) for a, b in zip(first, second, strict=True))


class Rates:
    """The outcome rates of one finding, by index of the causes of which it speaks.

    `single` are those with a cause alone, `silent` beside a cause of which it says nothing.
    """

    def __init__(self, finding: Finding, index_of: Mapping[str, int]) -> None:
        speaks = sorted((index_of[cause], rates) for cause, rates in finding.rates.items())
        self._finding = finding
        self._is_yes_or_no = is_yes_or_no(finding)
        self._both: dict[tuple[int, int], Weights] = {}
        self.usual = finding.usual
        self.single: Mapping[int, Weights] = dict(speaks)
        self.silent: Mapping[int, Weights] = {
            i: pair_rates(finding, rates, finding.usual) for i, rates in speaks
        }

    def both(self, i: int, j: int) -> Weights:
        """The rates with two causes of which the finding speaks, i < j."""
        if (i, j) not in self._both:
            self._both[i, j] = pair_rates(self._finding, self.single[i], self.single[j])
        return self._both[i, j]

    def effect(self, weights: Weights, mended: Collection[int] = ()) -> Effect:
        """The effect when the outcomes have these weights (virtual evidence; Pearl 1988).

        `mended` are the causes that are gone: of a pair with one of them the other alone acts.
        """
        if 1.0 in weights:
            likelihood: Callable[[Weights], float] = itemgetter(weights.index(1.0))
        else:

            def likelihood(rates: Weights) -> float:
                return math.fsum(map(mul, weights, rates))

        usual = likelihood(self.usual)
        speaks = [i for i in self.single if i not in mended]
        single = {i: likelihood(self.single[i]) / usual for i in speaks}
        silent = {i: likelihood(self.silent[i]) / usual for i in speaks}
        if self._is_yes_or_no:
            pairs = {(i, j): likelihood(self.both(i, j)) for i, j in combinations(speaks, 2)}
        else:  # the mean of two, as `pair_rates` has it
            half = {i: 0.5 * usual * ratio for i, ratio in single.items()}
            pairs = {(i, j): half[i] + half[j] for i, j in combinations(speaks, 2)}
        both = ((i, j, rate / (usual * silent[i] * silent[j])) for (i, j), rate in pairs.items())
        alone = ((min(i, j), max(i, j), single[j] / silent[j]) for i in mended for j in speaks)
        return Effect(usual, tuple(single.items()), tuple(silent.items()), (*both, *alone))


class Effects:
    """The effects of the findings of a rulebook, each worked out when it is first needed.

    `order` is that of the files, `observation_of` what a finding restates (one of its own when
    it restates nothing), `reach` how far a finding can drive causes apart, in nepers, by its
    most telling outcome.
    """

    def __init__(self, rules: Rules) -> None:
        self.index_of: Mapping[str, int] = {cause.id: i for i, cause in enumerate(rules.causes)}
        self.findings: Mapping[str, Finding] = {finding.id: finding for finding in rules.findings}
        self.order: Mapping[str, int] = {one.id: i for i, one in enumerate(rules.findings)}
        self.observation_of: Mapping[str, str] = {
            one.id: one.observation or f"finding {one.id}" for one in rules.findings
        }
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
        if mended or 1.0 not in weights:
            return self.rates(finding).effect(weights, mended)
        key = (finding, weights.index(1.0))
        if key not in self._certain:
            self._certain[key] = self.rates(finding).effect(weights)
        return self._certain[key]

    def rates(self, finding: str) -> Rates:
        """The outcome rates of a finding under each hypothesis of which it speaks."""
        if finding not in self._rates:
            self._rates[finding] = Rates(self.findings[finding], self.index_of)
        return self._rates[finding]


def _reach(finding: Finding) -> float:
    return max(
        _range_of_logs(rates[k] / usual for rates in finding.rates.values())
        for k, usual in enumerate(finding.usual)
    )


def _range_of_logs(ratios: Iterable[float]) -> float:
    """How far likelihood ratios lie apart, that of *none of the listed*, 1, among them."""
    logs = [0.0, *map(math.log, ratios)]
    return max(logs) - min(logs)
