"""The hypotheses in one flat list, for weighing many what-ifs quickly.

Places in the list: *none of the listed*, each cause alone, then pairs. Pairs are many and mostly
unlikely: beyond the likeliest ones, a pair's mass goes half to each of its two causes alone. That
is exact while there are no more pairs than are kept.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from heapq import nlargest
from operator import mul

from .belief import Belief
from .effects import Rates, Weights
from .rules import Rules

KEPT_PAIRS = 24
Masses = list[float]
Rows = Mapping[int, Weights]  # rates of a finding's outcomes, by the place of the hypothesis


@dataclass(frozen=True, slots=True)
class Hypotheses:
    """What the places of a list of masses mean: `causes` of them after none, then `pairs`.

    `minutes` is what it takes to mend each cause and to verify the cure; `are_all` says whether
    there are no other pairs.
    """

    causes: tuple[str, ...]
    minutes: tuple[float, ...]
    pairs: tuple[tuple[int, int], ...]
    are_all: bool

    def masses(self, belief: Belief) -> Masses:
        """The masses of a belief about the same causes."""
        alone = belief.single.copy()
        pairs = [belief.pair[i][j] for i, j in self.pairs]
        if not self.are_all:
            alone = [mass + 0.5 * sum(row) for mass, row in zip(alone, belief.pair, strict=True)]
            for (i, j), mass in zip(self.pairs, pairs, strict=True):
                alone[i] = max(0.0, alone[i] - 0.5 * mass)
                alone[j] = max(0.0, alone[j] - 0.5 * mass)
        return [belief.none, *alone, *pairs]

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

    def spoken_of(self, rates: Rates) -> Rows:
        """The rates of a finding's outcomes by place, where they are not the usual ones."""
        single, silent = rates.single, rates.silent
        rows = {1 + i: row for i, row in single.items()}
        for place, (i, j) in enumerate(self.pairs, 1 + len(self.causes)):
            if i in single:
                rows[place] = rates.both(i, j) if j in single else silent[i]
            elif j in single:
                rows[place] = silent[j]
        return rows

    def likelihoods(self, rates: Rates) -> list[list[float]]:
        """For each outcome of a finding, its rate under each hypothesis."""
        count = 1 + len(self.causes) + len(self.pairs)
        outcomes = [[rate] * count for rate in rates.usual]
        for place, row in self.spoken_of(rates).items():
            for likelihood, rate in zip(outcomes, row, strict=True):
                likelihood[place] = rate
        return outcomes

    def told(self, masses: Masses, rates: Rates) -> float:
        """What a finding tells, in nats; see `information`.

        Hypotheses with the usual rates are taken together, which does not change it.
        """
        rows = self.spoken_of(rates)
        if not rows:
            return 0.0
        spoken_of = [masses[place] for place in rows]
        others = sum(masses) - sum(spoken_of)
        chances = (
            others * rate + sum(map(mul, spoken_of, column))
            for rate, column in zip(rates.usual, zip(*rows.values(), strict=True), strict=True)
        )
        within = others * _sum_of_logs(rates.usual)
        within += sum(map(mul, spoken_of, map(_sum_of_logs, rows.values())))
        return float(max(0.0, within - _sum_of_logs(tuple(chances))))

    def narrowed(self, causes: Iterable[int]) -> tuple[Hypotheses, list[int]]:
        """These causes and the partners they have in pairs, and the place of each hypothesis here.

        The first place, of none, is to take the mass of all that is left out.
        """
        chosen = set(causes)
        paired = [place for place, (i, j) in enumerate(self.pairs) if i in chosen or j in chosen]
        kept = sorted(chosen.union(*(self.pairs[place] for place in paired)))
        index = {i: place for place, i in enumerate(kept)}
        first_pair = 1 + len(self.causes)
        return (
            Hypotheses(
                tuple(self.causes[i] for i in kept),
                tuple(self.minutes[i] for i in kept),
                tuple((index[i], index[j]) for i, j in (self.pairs[place] for place in paired)),
                self.are_all,
            ),
            [0, *(1 + i for i in kept), *(first_pair + place for place in paired)],
        )


def flat(rules: Rules, belief: Belief, kept: int | None = KEPT_PAIRS) -> tuple[Hypotheses, Masses]:
    """A belief as a flat list, with at most `kept` pairs of their own (None: all)."""
    pairs = [
        (mass, i, j)
        for i, row in enumerate(belief.pair)
        for j, mass in enumerate(row[i + 1 :], i + 1)
        if mass > 0.0
    ]
    are_all = kept is None or len(pairs) <= kept
    hypotheses = Hypotheses(
        tuple(cause.id for cause in rules.causes),
        tuple(cause.repair_minutes + cause.verify_minutes for cause in rules.causes),
        tuple((i, j) for _, i, j in (pairs if are_all else nlargest(kept or 0, pairs))),
        are_all,
    )
    return hypotheses, hypotheses.masses(belief)


def times(masses: Masses, likelihood: Sequence[float]) -> Masses:
    """The masses after an outcome, times its chance (not normalised)."""
    return list(map(mul, masses, likelihood))


def without(masses: Masses, likelihood: Sequence[float]) -> Masses:
    """The masses as they would be without evidence of this likelihood (not normalised)."""
    return [mass / rate for mass, rate in zip(masses, likelihood, strict=True)]


def weighted(outcomes: Sequence[Sequence[float]], weights: Sequence[float]) -> list[float]:
    """The likelihood of outcomes with these weights under each hypothesis."""
    return [
        sum(weight * rate for weight, rate in zip(weights, rates, strict=True))
        for rates in zip(*outcomes, strict=True)
    ]


def information(masses: Masses, outcomes: Sequence[Sequence[float]]) -> float:
    """What a finding tells about the hypotheses: their mutual information, in nats."""
    total = 0.0
    for likelihood in outcomes:
        joint = times(masses, likelihood)
        chance = sum(joint)
        if chance > 0.0:
            logs = [math.log(rate) if rate > 0.0 else 0.0 for rate in likelihood]
            total += sum(map(mul, joint, logs)) - chance * math.log(chance)
    return max(0.0, total)


@lru_cache(maxsize=1 << 16)
def _sum_of_logs(shares: Weights) -> float:
    """The sum of p log p over some shares: less than 0, and 0 when one of them is 1."""
    return math.fsum(share * math.log(share) for share in shares if share > 0.0)
