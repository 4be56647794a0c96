"""Evidence: how findings shift belief over none, one or two of the listed causes.

Likelihoods are kept as logarithms in fixed point, in whole steps of 2**-44. Whole numbers add up
the same in any order, so taking an answer back leaves exactly the belief without it.

A hypothesis' log-likelihood, relative to *none of the listed*, is kept factorised: one number for
each single cause, one for each cause in the company of a silent one, and one for each pair of
causes that some finding both speaks to. Many of them stand side by side in one (see `lanes`), since
a finding that speaks to thirty causes moves hundreds of pairs.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping
from itertools import combinations

from .belief import Belief, Factored, Rows, rule_out_pairs
from .effects import STEP, Effect, Effects, Weights
from .lanes import unpacked
from .rules import Rules

SAFE_NEPERS = 200.0  # three such likelihoods multiply to at most exp(600), which a float holds


class Evidence:
    """The log-likelihoods of the findings that count, kept up to date one finding at a time."""

    def __init__(self, rules: Rules, effects: Effects) -> None:
        self._effects = effects
        self._order = effects.order
        self._group_of = effects.observation_of
        self._known: dict[str, dict[str, Effect]] = {}
        self._counted: dict[str, tuple[str, Effect]] = {}
        self._mended: dict[str, Collection[int]] = {}
        self._count = len(rules.causes)
        self._single = self._silent = 0  # in lanes
        self._both = [0] * self._count  # of the pairs with each cause and one before it
        self._far = 0  # no sum of steps is larger
        self._below: Rows = [[1.0] * j for j in range(self._count)]  # the ratios of these pairs
        self._stale: set[int] = set()  # the rows of them that have changed since

    def set(self, finding: str, weights: Weights | None, mended: Collection[int] = ()) -> None:
        """Make known, change or forget (None) the outcome of a finding.

        `mended` are the causes mended before it was seen, which have no part in it.
        """
        group = self._group_of[finding]
        members = self._known.setdefault(group, {})
        members.pop(finding, None)
        if weights is not None:
            self._mended[finding] = mended
            members[finding] = self._effects.weighted(finding, weights, mended)
        best = self._most_telling(members)
        before = self._counted.pop(group, None)
        if before is not None:
            self._take_off(before[1])
        if best is not None:
            self._counted[group] = (best, members[best])
            self._add(members[best])

    def _most_telling(self, members: Mapping[str, Effect]) -> str | None:
        """Of findings that restate one observation, the one that drives causes furthest apart."""
        if len(members) == 1:
            return next(iter(members))
        return max(
            members, key=lambda name: (members[name].spread, -self._order[name]), default=None
        )

    def counted(self) -> tuple[tuple[str, Effect], ...]:
        """The findings that count, with their effects, in the order of the files."""
        return tuple(sorted(self._counted.values(), key=lambda item: self._order[item[0]]))

    def mended_before(self, finding: str) -> Collection[int]:
        """The causes that were mended before a known finding was seen."""
        return self._mended[finding]

    def counted_beside(self, finding: str) -> tuple[str, Effect] | None:
        """What now counts for the observation that this finding restates, if anything does."""
        return self._counted.get(self._group_of[finding])

    def counted_if(self, finding: str, weights: Weights, mended: Collection[int] = ()) -> Effect:
        """What would count for the observation of a finding if its outcomes had these weights.

        `mended` are the causes mended before it was seen.
        """
        members = dict(self._known.get(self._group_of[finding], {}))
        members[finding] = self._effects.weighted(finding, weights, mended)
        best = self._most_telling(members)
        assert best is not None
        return members[best]

    def observation_of(self, finding: str) -> str:
        """What the finding restates; one of its own for a finding that restates nothing."""
        return self._group_of[finding]

    def same_observation(self, findings: Iterable[str]) -> dict[str, list[str]]:
        """The findings by observation, in the order given."""
        groups: dict[str, list[str]] = {}
        for finding in findings:
            groups.setdefault(self._group_of[finding], []).append(finding)
        return groups

    def _add(self, effect: Effect) -> None:
        single, silent, both, far = effect.steps
        self._single += single
        self._silent += silent
        self._far += far
        for j, row in both:
            self._both[j] += row
            self._stale.add(j)

    def _take_off(self, effect: Effect) -> None:
        single, silent, both, far = effect.steps
        self._single -= single
        self._silent -= silent
        self._far -= far
        for j, row in both:
            self._both[j] -= row
            self._stale.add(j)

    def posterior(self, prior: Factored) -> Belief:
        """Bayes' rule: the prior masses times the likelihoods, normalised to a total of 1."""
        if self._is_safe():
            return self._times(prior)
        belief = self._times_extreme(prior)
        return belief.scaled(1.0 / belief.total)

    def _is_safe(self) -> bool:
        if self._far * STEP < SAFE_NEPERS:
            return True
        parts = (self._lanes(self._single), self._lanes(self._silent), *self._both_steps())
        return max(max(map(abs, part), default=0) for part in parts) * STEP < SAFE_NEPERS

    def _lanes(self, whole: int) -> tuple[int, ...]:
        return unpacked(whole, self._count)

    def _both_steps(self) -> list[tuple[int, ...]]:
        return [unpacked(row, j) for j, row in enumerate(self._both)]

    def _times(self, prior: Factored) -> Factored:
        for j in self._stale:
            steps = unpacked(self._both[j], j)
            self._below[j] = [math.exp(one * STEP) if one else 1.0 for one in steps]
        self._stale.clear()
        ratios = _mirrored(self._below)
        rule_out_pairs(ratios, prior.gone)
        return Factored(
            prior.none,
            _grown(prior.single, self._lanes(self._single)),
            _grown(prior.beside, self._lanes(self._silent)),
            ratios,
            prior.gone,
        )

    def _times_extreme(self, prior: Belief) -> Belief:
        """As `_times`, relative to the most likely hypothesis, so that no number overflows."""
        own, silent = self._lanes(self._single), self._lanes(self._silent)
        both = self._both_steps()
        live = [i for i, mass in enumerate(prior.single) if mass > 0.0]
        pairs = {
            (i, j): silent[i] + silent[j] + both[j][i]
            for i, j in combinations(live, 2)
            if prior.pair[i][j] > 0.0
        }
        top = max([0, *(own[i] for i in live), *pairs.values()])
        belief = Belief(
            prior.none * math.exp(-top * STEP),
            [0.0] * len(prior.single),
            [[0.0] * len(prior.single) for _ in prior.single],
        )
        for i in live:
            belief.single[i] = prior.single[i] * math.exp((own[i] - top) * STEP)
        for (i, j), steps in pairs.items():
            mass = prior.pair[i][j] * math.exp((steps - top) * STEP)
            belief.pair[i][j] = belief.pair[j][i] = mass
        return belief


def _grown(masses: Iterable[float], steps: Iterable[int]) -> list[float]:
    return [mass * math.exp(one * STEP) for mass, one in zip(masses, steps, strict=True)]


def _mirrored(below: Rows) -> Rows:
    """The symmetric rows, with 0 on the diagonal, that have these parts left of it."""
    count = len(below)
    padded = [row + [0.0] * (count - len(row)) for row in below]
    columns = list(zip(*padded, strict=True))
    return [[*row, 0.0, *columns[place][place + 1 :]] for place, row in enumerate(below)]
