"""Evidence: how findings shift belief over none, one or two of the listed causes.

Likelihoods are kept as logarithms in fixed point, in whole steps of 2**-44. Whole numbers add up
the same in any order, so taking an answer back leaves exactly the belief without it.

A finding names few causes, so a hypothesis' log-likelihood, relative to *none of the listed*,
is kept factorised: one number for each single cause, one for each cause in the company of a
silent one, and one for each pair of causes that some finding both speaks to.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from operator import itemgetter, mul

from .rules import Finding, Rules

STEP = 2.0**-44
SAFE_NEPERS = 200.0  # three such likelihoods multiply to at most exp(600), which a float holds
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


def _steps(ratio: float) -> int:
    return round(math.log(ratio) / STEP)


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
            (i, j, likelihood(rates) / (usual * beside[i] * beside[j])) for i, j, rates in self.both
        )
        return Effect(usual, single, silent, both)


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

    def outcomes(self, finding: str) -> tuple[Effect, ...]:
        """The effect of each outcome of a finding."""
        count = len(self.findings[finding].outcomes)
        return tuple(
            self.weighted(finding, tuple(float(k == outcome) for k in range(count)))
            for outcome in range(count)
        )

    def weighted(self, finding: str, weights: Weights) -> Effect:
        """The effect of a finding whose outcomes have these probabilities."""
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


class Evidence:
    """The log-likelihoods of the findings that count, kept up to date one finding at a time."""

    def __init__(self, rules: Rules, effects: Effects) -> None:
        self._effects = effects
        self._order = {finding.id: i for i, finding in enumerate(rules.findings)}
        self._group_of = {f.id: f.observation or f"finding {f.id}" for f in rules.findings}
        self._known: dict[str, dict[str, Effect]] = {}
        self._counted: dict[str, tuple[str, Effect]] = {}
        self._single = [0] * len(rules.causes)
        self._silent = [0] * len(rules.causes)
        self._both: dict[tuple[int, int], int] = {}

    def set(self, finding: str, weights: Weights | None) -> None:
        """Make known, change or forget (None) the outcome of a finding."""
        group = self._group_of[finding]
        members = self._known.setdefault(group, {})
        members.pop(finding, None)
        if weights is not None:
            members[finding] = self._effects.weighted(finding, weights)
        best = self._most_telling(members)
        before = self._counted.pop(group, None)
        if before is not None:
            self._add(before[1], -1)
        if best is not None:
            self._counted[group] = (best, members[best])
            self._add(members[best], 1)

    def _most_telling(self, members: Mapping[str, Effect]) -> str | None:
        """Of findings that restate one observation, the one that drives causes furthest apart."""
        return max(
            members, key=lambda name: (members[name].spread, -self._order[name]), default=None
        )

    def counted(self) -> tuple[tuple[str, Effect], ...]:
        """The findings that count, with their effects, in the order of the files."""
        return tuple(sorted(self._counted.values(), key=lambda item: self._order[item[0]]))

    def counted_beside(self, finding: str) -> tuple[str, Effect] | None:
        """What now counts for the observation that this finding restates, if anything does."""
        return self._counted.get(self._group_of[finding])

    def same_observation(self, findings: Iterable[str]) -> dict[str, list[str]]:
        """The findings by observation, in the order given."""
        groups: dict[str, list[str]] = {}
        for finding in findings:
            groups.setdefault(self._group_of[finding], []).append(finding)
        return groups

    def _add(self, effect: Effect, sign: int) -> None:
        for i, ratio in effect.single:
            self._single[i] += sign * _steps(ratio)
        for i, ratio in effect.silent:
            self._silent[i] += sign * _steps(ratio)
        for i, j, ratio in effect.both:
            steps = self._both.get((i, j), 0) + sign * _steps(ratio)
            self._both[i, j] = steps
            if not steps:
                del self._both[i, j]

    def posterior(self, prior: Belief) -> Belief:
        """Bayes' rule: the prior masses times the likelihoods, normalised to a total of 1."""
        parts = (*self._single, *self._silent, *self._both.values())
        far = max(map(abs, parts), default=0) * STEP
        belief = self._times(prior) if far < SAFE_NEPERS else self._times_extreme(prior)
        return belief.scaled(1.0 / belief.total)

    def _times(self, prior: Belief) -> Belief:
        single = [
            mass * math.exp(steps * STEP)
            for mass, steps in zip(prior.single, self._single, strict=True)
        ]
        beside = [math.exp(steps * STEP) for steps in self._silent]
        pair = [
            [mass * own * other for mass, other in zip(row, beside, strict=True)]
            for row, own in zip(prior.pair, beside, strict=True)
        ]
        for (i, j), steps in self._both.items():
            pair[i][j] *= math.exp(steps * STEP)
            pair[j][i] = pair[i][j]
        return Belief(prior.none, single, pair)

    def _times_extreme(self, prior: Belief) -> Belief:
        """As `_times`, relative to the most likely hypothesis, so that no number overflows."""
        live = [i for i, mass in enumerate(prior.single) if mass > 0.0]
        pairs = {
            (i, j): self._silent[i] + self._silent[j] + self._both.get((i, j), 0)
            for i, j in combinations(live, 2)
            if prior.pair[i][j] > 0.0
        }
        top = max([0, *(self._single[i] for i in live), *pairs.values()])
        belief = Belief(
            prior.none * math.exp(-top * STEP),
            [0.0] * len(prior.single),
            [[0.0] * len(prior.single) for _ in prior.single],
        )
        for i in live:
            belief.single[i] = prior.single[i] * math.exp((self._single[i] - top) * STEP)
        for (i, j), steps in pairs.items():
            mass = prior.pair[i][j] * math.exp((steps - top) * STEP)
            belief.pair[i][j] = belief.pair[j][i] = mass
        return belief
