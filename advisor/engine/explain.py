"""Why: the trail from a cause to findings, facts and answers, and what would change the order."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from operator import itemgetter

from .belief import Belief
from .chain import UNKNOWN_TRUTH, Chain
from .credit import bounded, credit_of, log_odds
from .effects import Effects
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

SECOND_LOOK_BELOW = 0.05  # an outcome less likely than this, given all the rest, is pointed out
MOST_CHANGES = 4  # findings that would have to be otherwise; more are no near miss
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
        self._credits_for: Belief | None = None  # the posterior that the credits belong to

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
        lines = [
            TrailLine(
                name,
                self._chain.weights(name) or (),
                weights[index],
                self.basis_of(self._findings[name]),
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
        for turn, after in self._changes(posterior, unknown, mended):
            masses = self._masses(after, mended)
            if masses[turn.leading] >= CLEAR_LEAD * masses[leading]:
                found.append(turn)
        return tuple(sorted(found, key=lambda turn: (-turn.probability, turn.finding)))

    def way_to(
        self, cause: str, posterior: Belief, unknown: Sequence[str], mended: Collection[str]
    ) -> tuple[Turn, ...] | None:
        """Few findings that, with these outcomes, would put a cause first; None if there are none.

        Each next one is the finding that lifts the cause most against its strongest rival. The
        first alone is the best single one; a set of several is not proved the smallest.
        """
        chosen: list[Turn] = []
        belief = posterior
        while self._lead_of(cause, belief, mended) <= 0.0 and len(chosen) < MOST_CHANGES:
            used = {turn.finding for turn in chosen}
            open_changes = (
                (self._lead_of(cause, after, mended), turn, after)
                for turn, after in self._changes(belief, unknown, mended)
                if turn.finding not in used
            )
            lead, turn, belief = max(
                open_changes, key=itemgetter(0), default=(-math.inf, None, belief)
            )
            if turn is None or math.isinf(lead):
                return None
            chosen.append(turn)
        return tuple(chosen) if self._lead_of(cause, belief, mended) > 0.0 else None

    def _lead_of(self, cause: str, belief: Belief, mended: Collection[str]) -> float:
        """How far a cause leads its strongest rival, in nepers; below 0 when it doesn't."""
        masses = self._masses(belief, mended)
        own = masses.pop(cause, 0.0)
        if own <= 0.0:
            return -math.inf
        return math.log(own) - math.log(max(masses.values())) if any(masses.values()) else math.inf

    def _changes(
        self, belief: Belief, unknown: Sequence[str], mended: Collection[str]
    ) -> Iterator[tuple[Turn, Belief]]:
        """Every outcome that a finding might have instead, or might turn out to have."""
        counted = dict(self._evidence.counted())
        for name in (*counted, *unknown):
            base = belief
            if name in counted:
                base = belief.after(counted[name].undone())
                base = base.scaled(1.0 / base.total)
            elif self._evidence.counted_beside(name) is not None:
                continue
            effects = self._effects.outcomes(name)
            weights = self._chain.weights(name)
            for k, (outcome, effect) in enumerate(
                zip(self._findings[name].outcomes, effects, strict=True)
            ):
                if weights is not None and weights[k] == 1.0:
                    continue
                after = base.after(effect)
                masses = self._masses(after, mended)
                leading = max(masses, key=masses.__getitem__)
                chance = effect.usual * after.total
                yield Turn(name, outcome, leading, chance, name in counted), after

    def _masses(self, belief: Belief, mended: Collection[str]) -> dict[str | None, float]:
        """The mass of *none of the listed* (None) and of each cause still in the race."""
        masses: dict[str | None, float] = {None: belief.none}
        masses.update(
            (cause, mass)
            for cause, mass in zip(self._causes, belief.marginals(), strict=True)
            if cause not in mended
        )
        return masses
