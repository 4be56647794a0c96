"""Rulebooks half-way between two: some records as they were, the others as they are now.

The odds of two hypotheses are followed from the older rulebook to the newer one, a record at a
time. The steps add up exactly to the whole change. Since a step's size depends a little on the
steps before it, they are taken in the order of the files and in reverse, and averaged, as the
trail of a cause does.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from advisor.engine.belief import Belief, Factored, Priors
from advisor.engine.diagnosis import Diagnosis
from advisor.engine.effects import DECIBANS_PER_NEPER, Effects, Weights
from advisor.engine.evidence import Evidence
from advisor.engine.rules import Cause, Finding, Rules
from advisor.proof.naming import NONE
from advisor.rulebook import Rulebook

from .differences import RULEBOOK, Key

OLD, NEW = 0, 1
Odds = tuple[str, str]  # of one hypothesis over another; over "" of all the rest
THE_REST = ""


class Blend:
    """Two rulebooks' findings side by side over the causes of both."""

    def __init__(self, old: Rulebook, new: Rulebook) -> None:
        self._books = (old, new)
        self._causes: tuple[dict[str, Cause], ...] = tuple(
            {cause.id: cause for cause in book.rules.causes} for book in self._books
        )
        self.causes = list(dict.fromkeys((*self._causes[OLD], *self._causes[NEW])))
        self._findings: tuple[dict[str, Finding], ...] = tuple(
            {one.id: one for one in book.rules.findings} for book in self._books
        )
        self._names = list(dict.fromkeys((*self._findings[OLD], *self._findings[NEW])))
        causes = tuple(self._cause(name, NEW) for name in self.causes)
        both = (
            replace(self._findings[side][name], id=_variant(name, side))
            for name in self._names
            for side in (OLD, NEW)
            if name in self._findings[side]
        )
        self.rules: Rules = replace(new.rules, causes=causes, findings=tuple(both))
        self.effects = Effects(self.rules)

    def _cause(self, name: str, side: int) -> Cause:
        """The cause as this rulebook has it, or else the other one."""
        return self._causes[side].get(name) or self._causes[1 - side][name]

    def steps(self, old: Diagnosis, new: Diagnosis, odds: Odds) -> dict[Key, float]:
        """What each record that weighs otherwise now adds to the odds, in decibans.

        Infinite where a record makes one of the two possible or impossible at all.
        """
        path = _Path(self, (old, new))
        keys = [*self._prior_keys(path), *self._finding_keys(path)]
        forward, backward = path.walked(keys, odds), path.walked(keys[::-1], odds)
        return {key: 0.5 * (forward[key] + backward[key]) for key in keys}

    def _prior_keys(self, path: _Path) -> Iterator[Key]:
        """The rulebook's own record and the causes whose prior weight differs on this vehicle."""
        old, new = (book.rules for book in self._books)
        if (old.none_share, old.pair_factor) != (new.none_share, new.pair_factor):
            yield RULEBOOK, self._books[NEW].meta.id
        for name in self.causes:
            if path.share(name, OLD) != path.share(name, NEW):
                yield "causes", name

    def _finding_keys(self, path: _Path) -> Iterator[Key]:
        for name in self._names:
            if self.told(path.diagnoses, name, OLD) != self.told(path.diagnoses, name, NEW):
                yield "findings", name

    def told(self, diagnoses: Sequence[Diagnosis], name: str, side: int) -> object:
        """All that a finding says of this vehicle in one of the rulebooks; None if nothing."""
        finding = self._findings[side].get(name)
        weights = weights_of(diagnoses[side], finding)
        if finding is None or weights is None:
            return None
        return weights, finding.usual, finding.rates, finding.observation

    def finding(self, name: str, side: int) -> Finding | None:
        """The finding as this rulebook has it."""
        return self._findings[side].get(name)

    def prior(self, path: _Path, sides: Mapping[Key, int]) -> Factored:
        """The prior when these records are on these sides; those not named are alike on both."""
        meta = self._books[sides.get((RULEBOOK, self._books[NEW].meta.id), NEW)].rules
        causes, applies = [], []
        for name in self.causes:
            side = sides.get(("causes", name), NEW)
            causes.append(self._cause(name, side))
            applies.append(path.applies(name, side))
        rules = replace(
            self.rules,
            causes=tuple(causes),
            none_share=meta.none_share,
            pair_factor=meta.pair_factor,
        )
        prior = Priors(rules).belief(applies)
        mended = [self.causes.index(name) for name in sorted(path.diagnoses[NEW].mended)]
        return prior.without(mended) if mended else prior

    def has(self, cause: str, side: int) -> bool:
        """Whether this rulebook lists the cause."""
        return cause in self._causes[side]

    def commonness(self, cause: str, side: int) -> float:
        """The commonness of a cause that this rulebook lists."""
        return self._causes[side][cause].commonness

    def names(self) -> Sequence[str]:
        """The findings of both."""
        return self._names


class _Path:
    """The way of one vehicle from one rulebook to the other."""

    def __init__(self, blend: Blend, diagnoses: tuple[Diagnosis, Diagnosis]) -> None:
        self._blend = blend
        self.diagnoses = diagnoses

    def applies(self, cause: str, side: int) -> float:
        """The probability that the cause can exist, 0 where it is not listed."""
        return self.diagnoses[side].applies(cause) if self._blend.has(cause, side) else 0.0

    def share(self, cause: str, side: int) -> float:
        """What the cause weighs in the prior before all are made to add up to 1."""
        applies = self.applies(cause, side)
        return applies * self._blend.commonness(cause, side) if applies else 0.0

    def walked(self, keys: Sequence[Key], odds: Odds) -> dict[Key, float]:
        """What each record adds when they are changed one after another, in this order."""
        sides = dict.fromkeys(keys, OLD)
        evidence = Evidence(self._blend.rules, self._blend.effects)
        for name in self._blend.names():
            self._set(evidence, name, sides.get(("findings", name), NEW))
        prior = self._blend.prior(self, sides)
        before = self._odds(evidence.posterior(prior), odds)
        added = {}
        for key in keys:
            sides[key] = NEW
            if key[0] == "findings":
                self._set(evidence, key[1], NEW)
            else:
                prior = self._blend.prior(self, sides)
            now = self._odds(evidence.posterior(prior), odds)
            added[key] = now - before if now != before else 0.0
            before = now
        return added

    def _set(self, evidence: Evidence, name: str, side: int) -> None:
        for one in (OLD, NEW):
            finding = self._blend.finding(name, one)
            if finding is not None:
                weights = weights_of(self.diagnoses[one], finding) if one == side else None
                evidence.set(_variant(name, one), weights)

    def _odds(self, belief: Belief, odds: Odds) -> float:
        """Odds of the first over the second, in decibans."""
        first, second = (self._mass(belief, name) for name in odds)
        if odds[1] == THE_REST:
            second = 1.0 - first
        if first <= 0.0 or second <= 0.0:
            return math.inf if first > second else -math.inf
        return DECIBANS_PER_NEPER * math.log(first / second)

    def _mass(self, belief: Belief, name: str) -> float:
        if name in (NONE, THE_REST):
            return belief.none
        return belief.marginals()[self._blend.causes.index(name)]


def weights_of(diagnosis: Diagnosis, finding: Finding | None) -> Weights | None:
    """The probabilities of a finding's outcomes; None if it is unknown, or not there at all."""
    return None if finding is None else diagnosis.weights(finding.id)


def _variant(name: str, side: int) -> str:
    return f"{name} {'new' if side == NEW else 'old'}"
