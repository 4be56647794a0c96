"""Why: the trail from a cause to findings, facts and answers, and what deserves a second look."""

from __future__ import annotations

import math
from dataclasses import dataclass

from .belief import Belief
from .chain import Chain
from .credit import bounded, credit_of, log_odds
from .effects import Effects
from .evidence import Evidence
from .leaves import UNKNOWN_TRUTH
from .network import Network, facts_read
from .rules import (
    All,
    AnyOf,
    ByCondition,
    ComputedFact,
    Condition,
    Finding,
    Not,
    Rules,
)
from .values import UNKNOWN, Value

SECOND_LOOK_BELOW = 0.05  # an outcome less likely than this, given all the rest, is pointed out


@dataclass(frozen=True, slots=True)
class FactBasis:
    """A fact as it entered a conclusion: answered, computed from others, or unknown."""

    fact: str
    value: Value
    origin: str
    inputs: tuple[FactBasis, ...] = ()


@dataclass(frozen=True, slots=True)
class Basis:
    """A condition with its truth (a probability, or None while unknown) and what it rests on."""

    condition: Condition
    truth: float | None
    items: tuple[Basis, ...]
    facts: tuple[FactBasis, ...]


@dataclass(frozen=True, slots=True)
class TrailLine:
    """What one finding adds to the log-odds of a cause, and what the finding rests on.

    `weights` are the probabilities of the finding's outcomes, in their order.
    """

    finding: str
    weights: tuple[float, ...]
    decibans: float
    basis: Basis | FactBasis


@dataclass(frozen=True, slots=True)
class Trail:
    """How the odds of a cause came about: prior + lines = posterior, all in decibans.

    `applies` is None when nothing limits where the cause can exist.
    """

    cause: str
    prior_decibans: float
    lines: tuple[TrailLine, ...]
    posterior_decibans: float
    applies: Basis | None


@dataclass(frozen=True, slots=True)
class SecondLook:
    """A finding whose outcome is very unlikely given all the others."""

    finding: str
    probability: float


class Explainer:
    """Answers "why", from the state that the chain and the evidence have kept."""

    def __init__(
        self, rules: Rules, network: Network, effects: Effects, chain: Chain, evidence: Evidence
    ) -> None:
        self._network = network
        self._effects = effects
        self._chain = chain
        self._evidence = evidence
        self._findings = effects.findings
        self._computed: dict[str, ComputedFact] = {fact.id: fact for fact in rules.computed}
        self._causes = {cause.id: cause for cause in rules.causes}
        self._credits: dict[str, list[float]] = {}
        self._bases: dict[str, Basis | FactBasis] = {}
        self._credits_for: Belief | None = None  # the posterior that both belong to

    def trail(self, cause: str, prior: Belief, posterior: Belief) -> Trail:
        """The trail of a cause; its lines are sorted by weight, strongest first."""
        index = self._effects.index_of[cause]
        applies_if = self._causes[cause].applies_if
        applies = None if applies_if is None else self._basis(applies_if)
        start = log_odds(prior, index)
        if math.isinf(start):
            return Trail(cause, start, (), start, applies)
        if self._credits_for is not posterior:
            self._credits_for = posterior
            self._credits = credit_of(prior, self._evidence.counted())
            self._bases = {name: self.basis_of(self._findings[name]) for name in self._credits}
        lines = [
            TrailLine(
                name,
                self._chain.weights(name) or (),
                weights[index],
                self._bases[name],
            )
            for name, weights in self._credits.items()
        ]
        lines.sort(key=lambda line: -abs(line.decibans))
        end = bounded(log_odds(posterior, index))
        return Trail(cause, start, tuple(lines), end, applies)

    def basis_of(self, finding: Finding) -> Basis | FactBasis:
        """What a finding rests on now."""
        source = finding.source
        if isinstance(source, ByCondition):
            return self._basis(source.when)
        return self.fact_basis(source.fact)

    def _basis(self, condition: Condition) -> Basis:
        truth = self._chain.truth(self._network.node_of(condition))
        known = None if truth == UNKNOWN_TRUTH else truth
        match condition:
            case All(items) | AnyOf(items):
                return Basis(condition, known, tuple(map(self._basis, items)), ())
            case Not(item):
                return Basis(condition, known, (self._basis(item),), ())
        (fact,) = facts_read(condition)
        basis = self.basis_of(self._findings[fact]) if fact in self._findings else None
        if isinstance(basis, Basis):
            return Basis(condition, known, (basis,), ())
        return Basis(condition, known, (), (basis or self.fact_basis(fact),))

    def fact_basis(self, fact: str) -> FactBasis:
        """Where a fact's value came from."""
        value = self._chain.value(fact)
        if value is UNKNOWN:
            return FactBasis(fact, value, "unknown")
        if self._chain.answers.get(fact, UNKNOWN) is not UNKNOWN:
            return FactBasis(fact, value, "answered")
        inputs = self._computed[fact].inputs.values()
        return FactBasis(fact, value, "computed", tuple(map(self.fact_basis, inputs)))

    def second_looks(self, posterior: Belief) -> tuple[SecondLook, ...]:
        """Findings that the rest makes very unlikely (leave-one-out), least likely first."""
        looks = []
        for name, effect in self._evidence.counted():
            probability = effect.usual / posterior.after(effect.undone()).total
            if probability < SECOND_LOOK_BELOW:
                looks.append(SecondLook(name, probability))
        return tuple(sorted(looks, key=lambda look: (look.probability, look.finding)))
