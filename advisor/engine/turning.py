"""What would change the order: findings whose other outcomes would put another cause first.

A finding's other outcome is tried as if the answers behind it could be had alone.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from operator import itemgetter

from .belief import Belief
from .chain import Chain
from .effects import Effect, Effects
from .evidence import Evidence
from .hypotheses import flat, times, weighted, without
from .rules import Rules
from .smallest import Change, Search

MOST_TURNS = 20  # more would not be read
MOST_CHANGES = 4  # findings that would have to be otherwise; more are no near miss
CLEAR_LEAD = 1.5  # times as probable as the one that led, or it is only a tie
SCREENED_AT = 0.8  # of a clear lead, by the quick estimate; nearer ones are worked out exactly


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


@dataclass(frozen=True, slots=True)
class Upset:
    """Few findings that, with these outcomes, would put a cause first; none when it leads.

    All sets of up to `ruled_out` findings were ruled out. `turns` is None when no set was found;
    each turn's chance is the one after those before it.
    """

    turns: tuple[Turn, ...] | None
    ruled_out: int

    @property
    def is_smallest(self) -> bool:
        """Whether no smaller set would do."""
        return self.turns is not None and len(self.turns) <= self.ruled_out + 1


class Turning:
    """Tries other outcomes of the findings of a case.

    Trying all exactly takes long, so they are screened on the flat list of hypotheses, which
    keeps the likeliest pairs only; what passes is worked out exactly.
    """

    def __init__(self, rules: Rules, effects: Effects, chain: Chain, evidence: Evidence) -> None:
        self._rules = rules
        self._effects = effects
        self._chain = chain
        self._evidence = evidence
        self._causes = tuple(cause.id for cause in rules.causes)

    def turns(
        self, posterior: Belief, unknown: Sequence[str], mended: Collection[int]
    ) -> tuple[Turn, ...]:
        """The likeliest single findings that would clearly put another cause first.

        At most MOST_TURNS, likeliest first. Mended causes are out of the race.
        """
        race = self._race(posterior.none, posterior.marginals(), mended)
        first = max(range(len(race)), key=race.__getitem__)
        near = [
            (chance, name, k)
            for chance, name, k, rough in self._rough_changes(posterior, unknown, mended)
            if max(rough) >= SCREENED_AT * CLEAR_LEAD * rough[first]
        ]
        found: list[Turn] = []
        for _, name, k in sorted(near, key=itemgetter(0), reverse=True):
            turn, after = self._change(posterior, name, k, mended)
            race = self._race(after.none, after.marginals(), mended)
            if max(race) >= CLEAR_LEAD * race[first]:
                found.append(turn)
            if len(found) == MOST_TURNS:
                break
        return tuple(sorted(found, key=lambda turn: (-turn.probability, turn.finding)))

    def upset_by(
        self, cause: str, posterior: Belief, unknown: Sequence[str], mended: Collection[int]
    ) -> Upset:
        """The smallest set of findings that would put a cause first, and of those the likeliest.

        Where the search for it has to be given up, some small set, found step by step.
        """
        place = self._effects.index_of[cause]
        if self._lead(posterior, 1 + place, mended) > 0.0:
            return Upset((), 0)
        found = Search(posterior, self._all_changes(mended), mended).smallest(place)
        if found.sets:
            likeliest = max(found.sets, key=lambda changes: _chance(posterior, changes))
            return Upset(self._turns_of(likeliest, posterior, mended), found.ruled_out)
        turns = self._step_by_step(1 + place, posterior, unknown, mended)
        return Upset(turns, found.ruled_out)

    def _all_changes(self, mended: Collection[int]) -> list[Change]:
        """Each other outcome of each finding that would change what counts."""
        changes = []
        for name, finding in self._effects.findings.items():
            beside = self._evidence.counted_beside(name)
            now = None if beside is None else beside[1]
            group = self._evidence.observation_of(name)
            for k in range(len(finding.outcomes)):
                then = self._if_it_were(name, k, mended)
                if then != now:
                    changes.append(Change(name, k, group, then, now))
        return changes

    def _if_it_were(self, finding: str, outcome: int, mended: Collection[int]) -> Effect:
        """What would count for a finding's observation if it had this outcome.

        A finding that is known was seen when it was, another once all that is mended was.
        """
        count = len(self._effects.findings[finding].outcomes)
        weights = tuple(float(k == outcome) for k in range(count))
        if self._chain.weights(finding) is not None:
            mended = self._evidence.mended_before(finding)
        return self._evidence.counted_if(finding, weights, mended)

    def _turns_of(
        self, changes: Sequence[Change], belief: Belief, mended: Collection[int]
    ) -> tuple[Turn, ...]:
        turns = []
        for change in changes:
            turn, belief = self._change(belief, change.finding, change.outcome, mended)
            turns.append(turn)
        return tuple(turns)

    def _step_by_step(
        self, place: int, belief: Belief, unknown: Sequence[str], mended: Collection[int]
    ) -> tuple[Turn, ...] | None:
        """Each next finding is the one that lifts the cause most against its strongest rival."""
        chosen: list[Turn] = []
        while (lead := self._lead(belief, place, mended)) <= 0.0 and len(chosen) < MOST_CHANGES:
            used = {self._evidence.observation_of(turn.finding) for turn in chosen}
            best, name, k = max(
                (
                    (_lead_of(place, rough), name, k)
                    for _, name, k, rough in self._rough_changes(belief, unknown, mended)
                    if self._evidence.observation_of(name) not in used
                ),
                default=(-math.inf, "", 0),
            )
            if math.isinf(best):
                return None
            turn, belief = self._change(belief, name, k, mended)
            chosen.append(turn)
        return tuple(chosen) if lead > 0.0 else None

    def _lead(self, belief: Belief, place: int, mended: Collection[int]) -> float:
        return _lead_of(place, self._race(belief.none, belief.marginals(), mended))

    def _race(
        self, none: float, marginals: Iterable[float], mended: Collection[int]
    ) -> list[float]:
        """The mass of none, then of each cause; of mended ones nothing."""
        return [
            none,
            *(0.0 if cause in mended else mass for cause, mass in enumerate(marginals)),
        ]

    def _rough_changes(
        self, belief: Belief, unknown: Sequence[str], mended: Collection[int]
    ) -> Iterator[tuple[float, str, int, list[float]]]:
        """Each other outcome that a finding might have: its chance, and the race it leads to."""
        hypotheses, masses = flat(self._rules, belief.left(mended))
        counted = dict(self._evidence.counted())
        for name in (*counted, *unknown):
            if name not in counted and self._evidence.counted_beside(name) is not None:
                continue
            outcomes = hypotheses.likelihoods(self._effects.rates(name))
            weights = self._chain.weights(name)
            base, whole = masses, 1.0
            if weights is not None:
                base = without(masses, weighted(outcomes, weights))
                whole = sum(base)
            for k, likelihood in enumerate(outcomes):
                if weights is None or weights[k] < 1.0:
                    after = times(base, likelihood)
                    race = self._race(after[0], hypotheses.marginals(after), mended)
                    yield sum(after) / whole, name, k, race

    def _change(
        self, belief: Belief, name: str, k: int, mended: Collection[int]
    ) -> tuple[Turn, Belief]:
        """One changed outcome, exactly: what it would mean, and the belief it would lead to."""
        beside = self._evidence.counted_beside(name)
        base = belief if beside is None else _without(belief, [beside[1]])
        effect = self._if_it_were(name, k, mended)
        after = base.after(effect)
        race = self._race(after.none, after.marginals(), mended)
        best = max(range(len(race)), key=race.__getitem__)
        outcome = self._effects.findings[name].outcomes[k]
        leading = None if best == 0 else self._causes[best - 1]
        chance = effect.usual * after.total
        is_known = self._chain.weights(name) is not None
        return Turn(name, outcome, leading, chance, is_known), after


def _without(belief: Belief, effects: Iterable[Effect]) -> Belief:
    """The belief without what these effects have done to it."""
    for effect in effects:
        belief = belief.after(effect.undone())
    return belief.scaled(1.0 / belief.total)


def _chance(belief: Belief, changes: Sequence[Change]) -> float:
    """The chance of these outcomes together, on all the other evidence."""
    belief = _without(belief, (change.now for change in changes if change.now is not None))
    chance = 1.0
    for change in changes:
        belief = belief.after(change.then)
        chance *= change.then.usual
    return chance * belief.total


def _lead_of(place: int, race: Sequence[float]) -> float:
    """How far a runner leads its strongest rival, in nepers; below 0 when it doesn't."""
    rival = max(mass for at, mass in enumerate(race) if at != place)
    if race[place] <= 0.0:
        return -math.inf
    return math.log(race[place]) - math.log(rival) if rival > 0.0 else math.inf
