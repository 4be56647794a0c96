"""How like two cases are, by what their findings tell about causes.

A finding of a case turns the probability of each hypothesis (*none of the listed*, or one cause)
by a factor: its likelihood over the mean likelihood, weighed by the prior. Two cases agree in an
observation as far as it turns the same hypotheses the same way: the agreement is the covariance,
under the prior, of the two rows of factors. It is high for the same rare and telling outcome, small
for what nearly every vehicle shows, and negative where one finding speaks for what the other
speaks against.

The likeness is the sum of the agreements over the observations known in both, divided by the
geometric mean of what each case would have with itself, and 0 where that is negative. So it is
symmetric, within 0 to 1, and no case is more like a case than that case itself (Cauchy and
Schwarz). What is known in one case alone lessens it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from advisor.engine.rules import Finding, Rules

from .weighing import Known, Weighed


@dataclass(frozen=True, slots=True)
class Agreement:
    """One observation known in two cases, and its share of their likeness, -1 to 1."""

    here: Known
    there: Known
    share: float


class Likeness:
    """Compares cases that were weighed with one rulebook."""

    def __init__(self, rules: Rules) -> None:
        self._rules = rules
        self._factors: dict[tuple[str, tuple[float, ...]], tuple[float, ...]] = {}
        self._agreement: dict[tuple[Known, Known], float] = {}

    def between(self, first: Weighed, second: Weighed) -> float:
        """The likeness of two cases, 0 to 1; 0 when nothing known tells anything."""
        norm = math.sqrt(self._own(first) * self._own(second))
        if norm == 0.0:
            return 0.0
        total = math.fsum(self._agree(a, b) for a, b in _shared(first, second))
        return min(max(total / norm, 0.0), 1.0)

    def agreements(self, first: Weighed, second: Weighed) -> tuple[Agreement, ...]:
        """The observations known in both, those of the greatest weight first."""
        norm = math.sqrt(self._own(first) * self._own(second)) or 1.0
        found = [Agreement(a, b, self._agree(a, b) / norm) for a, b in _shared(first, second)]
        return tuple(sorted(found, key=lambda one: -abs(one.share)))

    def _own(self, case: Weighed) -> float:
        return math.fsum(self._agree(known, known) for known in case.known)

    def _agree(self, first: Known, second: Known) -> float:
        value = self._agreement.get((first, second))
        if value is None:
            here, there = self._turned(first), self._turned(second)
            value = math.fsum(p * a * b for p, a, b in zip(self._prior, here, there, strict=True))
            self._agreement[first, second] = self._agreement[second, first] = value
        return value

    def _turned(self, known: Known) -> tuple[float, ...]:
        """By how much more or less than 1 the finding multiplies each hypothesis."""
        key = known.finding, known.weights
        if key not in self._factors:
            finding = self._findings[known.finding]
            usual = _dot(known.weights, finding.usual)
            likelihoods = [usual] * len(self._prior)
            for cause, rates in finding.rates.items():
                likelihoods[self._place[cause]] = _dot(known.weights, rates)
            mean = _dot(self._prior, likelihoods)
            self._factors[key] = tuple(one / mean - 1.0 for one in likelihoods)
        return self._factors[key]

    @cached_property
    def _findings(self) -> dict[str, Finding]:
        return {finding.id: finding for finding in self._rules.findings}

    @cached_property
    def _place(self) -> dict[str, int]:
        return {cause.id: place for place, cause in enumerate(self._rules.causes, 1)}

    @cached_property
    def _prior(self) -> tuple[float, ...]:
        """*None of the listed*, then each cause on its own, by commonness."""
        none, total = self._rules.none_share, sum(c.commonness for c in self._rules.causes)
        return (none, *((1.0 - none) * c.commonness / total for c in self._rules.causes))


def _dot(first: Iterable[float], second: Iterable[float]) -> float:
    return math.fsum(a * b for a, b in zip(first, second, strict=True))


def _shared(first: Weighed, second: Weighed) -> Iterable[tuple[Known, Known]]:
    there = {known.observation: known for known in second.known}
    return ((one, there[one.observation]) for one in first.known if one.observation in there)
