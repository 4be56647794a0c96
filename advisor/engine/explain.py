"""Why: the trail from a cause to findings, facts and answers, and what would change the order."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass

from .belief import Belief
from .chain import UNKNOWN_TRUTH, Chain
from .effects import DECIBANS_PER_NEPER, Effect, Effects
from .evidence import Evidence
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

FARTHEST = 3000.0  # decibans; odds further out than 10**300 no longer fit a float
SECOND_LOOK_BELOW = 0.05  # an outcome less likely than this, given all the rest, is pointed out
CLEAR_LEAD = 1.5  # times as probable as the one that led, or it is only a tie


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


@dataclass(frozen=True, slots=True)
class Turn:
    """One finding whose outcome, if it were this one, would put another cause first.

    `probability` is that of the outcome on all the other evidence; `is_known` says whether the
    finding has another outcome now. `leading` is None for *none of the listed*.
    """

    finding: str
    outcome: str
    leading: str | None
    probability: float
    is_known: bool


def log_odds(belief: Belief, cause: int) -> float:
    """Odds of a cause, over singles and pairs, against everything else; in decibans."""
    held = belief.single[cause] + sum(belief.pair[cause])
    others = belief.none
    for i, (mass, row) in enumerate(zip(belief.single, belief.pair, strict=True)):
        if i != cause:
            others += mass + 0.5 * (sum(row[:cause]) + sum(row[cause + 1 :]))
    if held <= 0.0 or others <= 0.0:
        return math.inf if others <= 0.0 else -math.inf
    return DECIBANS_PER_NEPER * math.log(held / others)


def _bounded(log_odds_decibans: float) -> float:
    return max(-FARTHEST, min(FARTHEST, log_odds_decibans))


def contributions(
    prior: Belief, counted: Sequence[tuple[str, Effect]], cause: int
) -> dict[str, float]:
    """Decibans that each finding adds to the log-odds of a cause; they add up exactly.

    A finding's weight against a mixture of other causes depends on what is known already
    (I. J. Good: W(H:EF) = W(H:E) + W(H:F|E)). So each is weighed twice, coming in the order of
    the files and in the reverse, and the mean is taken: of two findings that say much the same,
    neither takes all the credit.
    """
    mean = dict.fromkeys((name for name, _ in counted), 0.0)
    for order in (counted, tuple(reversed(counted))):
        belief = prior
        before = _bounded(log_odds(belief, cause))
        for name, effect in order:
            belief = belief.after(effect)
            belief = belief.scaled(1.0 / belief.total)
            after = _bounded(log_odds(belief, cause))
            mean[name] += 0.5 * (after - before)
            before = after
    return mean


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

    def trail(self, cause: str, prior: Belief, posterior: Belief) -> Trail:
        """The trail of a cause; its lines are sorted by weight, strongest first."""
        index = self._effects.index_of[cause]
        applies_if = self._causes[cause].applies_if
        applies = None if applies_if is None else self._basis(applies_if)
        start = log_odds(prior, index)
        if math.isinf(start):
            return Trail(cause, start, (), start, applies)
        weight_of = contributions(prior, self._evidence.counted(), index)
        lines = [
            TrailLine(
                name,
                self._chain.weights(name) or (),
                weight,
                self.basis_of(self._findings[name]),
            )
            for name, weight in weight_of.items()
        ]
        lines.sort(key=lambda line: -abs(line.decibans))
        end = _bounded(log_odds(posterior, index))
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
        if self._chain.answers.get(fact, UNKNOWN) is not UNKNOWN or fact not in self._computed:
            return FactBasis(fact, value, "answered")
        inputs = self._computed[fact].inputs.values()
        return FactBasis(fact, value, "computed", tuple(map(self.fact_basis, inputs)))

    def second_looks(self, posterior: Belief) -> tuple[SecondLook, ...]:
        """Findings that the rest makes very unlikely (leave-one-out), least likely first."""
        looks = []
        for name, effect in self._evidence.counted():
            without = posterior.after(effect.undone())
            probability = effect.usual * posterior.total / without.total
            if probability < SECOND_LOOK_BELOW:
                looks.append(SecondLook(name, probability))
        return tuple(sorted(looks, key=lambda look: (look.probability, look.finding)))

    def turns(
        self, posterior: Belief, unknown: Sequence[str], mended: Collection[str]
    ) -> tuple[Turn, ...]:
        """Single findings that would clearly put another cause first, likeliest first.

        Mended causes are out of the race.
        """
        masses = self._masses(posterior, mended)
        leading = max(masses, key=masses.__getitem__)
        found: list[Turn] = []
        counted = dict(self._evidence.counted())
        for name in (*counted, *unknown):
            base = posterior
            if name in counted:
                base = posterior.after(counted[name].undone())
                base = base.scaled(1.0 / base.total)
            elif self._evidence.counted_beside(name) is not None:
                continue
            effects = self._effects.outcomes(name)
            for outcome, effect in zip(self._findings[name].outcomes, effects, strict=True):
                after = base.after(effect)
                masses = self._masses(after, mended)
                other = max(masses, key=masses.__getitem__)
                if masses[other] >= CLEAR_LEAD * masses[leading]:
                    chance = effect.usual * after.total
                    found.append(Turn(name, outcome, other, chance, name in counted))
        return tuple(sorted(found, key=lambda turn: (-turn.probability, turn.finding)))

    def _masses(self, belief: Belief, mended: Collection[str]) -> dict[str | None, float]:
        """The mass of *none of the listed* (None) and of each cause still in the race."""
        masses: dict[str | None, float] = {None: belief.none}
        masses.update(
            (cause, mass)
            for cause, mass in zip(self._causes, belief.marginals(), strict=True)
            if cause not in mended
        )
        return masses
