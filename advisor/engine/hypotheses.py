"""The hypotheses in one flat list, for weighing many what-ifs quickly.

Places in the list: *none of the listed*, each cause alone, then pairs. Pairs are many and mostly
unlikely: beyond the likeliest ones, a pair's mass goes half to each of its two causes alone. That
is exact while there are no more pairs than are kept.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from .belief import Belief
from .effects import pair_rates
from .rules import Finding, Rules

KEPT_PAIRS = 24
Masses = list[float]


@dataclass(frozen=True, slots=True)
class Hypotheses:
    """What the places of a list of masses mean: `causes` of them after none, then `pairs`."""

    causes: tuple[str, ...]
    pairs: tuple[tuple[int, int], ...]

    def marginals(self, masses: Masses) -> list[float]:
        """The mass of each cause, alone and in pairs."""
        count = len(self.causes)
        marginals = masses[1 : count + 1]
        for (i, j), mass in zip(self.pairs, masses[count + 1 :], strict=True):
            marginals[i] += mass
            marginals[j] += mass
        return marginals

    def leading(self, masses: Masses) -> tuple[str | None, float]:
        """The cause that leads and its share; None when *none of the listed* does."""
        marginals = self.marginals(masses)
        best = max(range(len(marginals)), key=marginals.__getitem__, default=None)
        total = sum(masses)
        if best is None or masses[0] >= marginals[best]:
            return None, masses[0] / total
        return self.causes[best], marginals[best] / total

    def likelihoods(self, finding: Finding) -> list[list[float]]:
        """For each outcome of a finding, its rate under each hypothesis."""
        usual = finding.usual
        speaks = {
            i: rates for i, cause in enumerate(self.causes) if (rates := finding.rates.get(cause))
        }
        by_hypothesis = [usual]
        by_hypothesis += [speaks.get(i, usual) for i in range(len(self.causes))]
        by_hypothesis += [
            pair_rates(finding, speaks.get(i, usual), speaks.get(j, usual))
            if i in speaks or j in speaks
            else usual
            for i, j in self.pairs
        ]
        return [list(column) for column in zip(*by_hypothesis, strict=True)]


def flat(rules: Rules, belief: Belief, kept: int | None = KEPT_PAIRS) -> tuple[Hypotheses, Masses]:
    """A belief as a flat list, with at most `kept` pairs of their own (None: all)."""
    alone = belief.single.copy()
    pairs = [
        (mass, i, j)
        for i, row in enumerate(belief.pair)
        for j, mass in enumerate(row[i + 1 :], i + 1)
        if mass > 0.0
    ]
    if kept is not None and len(pairs) > kept:
        pairs.sort(reverse=True)
        for mass, i, j in pairs[kept:]:
            alone[i] += 0.5 * mass
            alone[j] += 0.5 * mass
        del pairs[kept:]
    hypotheses = Hypotheses(
        tuple(cause.id for cause in rules.causes), tuple((i, j) for _, i, j in pairs)
    )
    return hypotheses, [belief.none, *alone, *(mass for mass, _, _ in pairs)]


def times(masses: Masses, likelihood: Sequence[float]) -> Masses:
    """The masses after an outcome, times its chance (not normalised)."""
    return [mass * rate for mass, rate in zip(masses, likelihood, strict=True)]


def information(masses: Masses, outcomes: Sequence[Sequence[float]]) -> float:
    """What a finding tells about the hypotheses: their mutual information, in nats."""
    total = 0.0
    for likelihood in outcomes:
        joint = times(masses, likelihood)
        chance = sum(joint)
        total += sum(
            mass * math.log(rate / chance)
            for mass, rate in zip(joint, likelihood, strict=True)
            if mass > 0.0
        )
    return max(0.0, total)
