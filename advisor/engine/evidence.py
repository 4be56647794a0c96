"""Evidence: how findings shift belief over none, one or two of the listed causes.

Likelihoods are kept as logarithms in fixed point, in whole steps of 2**-44. Whole numbers add up
the same in any order, so taking an answer back leaves exactly the belief without it.

A finding names few causes, so a hypothesis' log-likelihood, relative to *none of the listed*,
is kept factorised: one number for each single cause, one for each cause in the company of a
silent one, and one for each pair of causes that some finding both speaks to.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator, Mapping
from itertools import combinations

from .belief import Belief
from .effects import STEP, Effect, Effects, Weights
from .rules import Rules

SAFE_NEPERS = 200.0  # three such likelihoods multiply to at most exp(600), which a float holds


class Evidence:
    """The log-likelihoods of the findings that count, kept up to date one finding at a time."""

    def __init__(self, rules: Rules, effects: Effects) -> None:
        self._effects = effects
        self._order = {finding.id: i for i, finding in enumerate(rules.findings)}
        self._group_of = {f.id: f.observation or f"finding {f.id}" for f in rules.findings}
        self._known: dict[str, dict[str, Effect]] = {}
        self._counted: dict[str, tuple[str, Effect]] = {}
        self._mended: dict[str, Collection[int]] = {}
        self._single = [0] * len(rules.causes)
        self._silent = [0] * len(rules.causes)
        self._both = [[0] * len(rules.causes) for _ in rules.causes]  # above the diagonal

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

    def _add(self, effect: Effect, sign: int) -> None:
        log = effect.steps
        for i, steps in log.single:
            self._single[i] += sign * steps
        for i, steps in log.silent:
            self._silent[i] += sign * steps
        rows = self._both
        for i, j, steps in log.both:
            rows[i][j] += sign * steps

    def _pairs(self) -> Iterator[tuple[int, int, int]]:
        """The pairs of causes of which findings speak together, with their log-likelihoods."""
        for i, row in enumerate(self._both):
            for j, steps in enumerate(row):
                if steps:
                    yield i, j, steps

    def posterior(self, prior: Belief) -> Belief:
        """Bayes' rule: the prior masses times the likelihoods, normalised to a total of 1."""
        parts = (*self._single, *self._silent, *(steps for _, _, steps in self._pairs()))
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
        for i, j, steps in self._pairs():
            pair[i][j] *= math.exp(steps * STEP)
            pair[j][i] = pair[i][j]
        return Belief(prior.none, single, pair)

    def _times_extreme(self, prior: Belief) -> Belief:
        """As `_times`, relative to the most likely hypothesis, so that no number overflows."""
        live = [i for i, mass in enumerate(prior.single) if mass > 0.0]
        pairs = {
            (i, j): self._silent[i] + self._silent[j] + self._both[i][j]
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
