"""What would change the order: findings whose other outcomes would put another cause first."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from operator import itemgetter

from .belief import Belief
from .chain import Chain
from .effects import Effects
from .evidence import Evidence
from .hypotheses import flat, times, weighted, without
from .rules import Rules

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
        self, posterior: Belief, unknown: Sequence[str], mended: Collection[str]
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

    def way_to(
        self, cause: str, posterior: Belief, unknown: Sequence[str], mended: Collection[str]
    ) -> tuple[Turn, ...] | None:
        """Few findings that, with these outcomes, would put a cause first; None if there are none.

        Each next one is the finding that lifts the cause most against its strongest rival. The
        set is not proved the smallest.
        """
        if cause in mended:
            return None
        place = 1 + self._effects.index_of[cause]
        chosen: list[Turn] = []
        belief = posterior
        while (lead := self._lead(belief, place, mended)) <= 0.0 and len(chosen) < MOST_CHANGES:
            used = {turn.finding for turn in chosen}
            best, name, k = max(
                (
                    (_lead_of(place, rough), name, k)
                    for _, name, k, rough in self._rough_changes(belief, unknown, mended)
                    if name not in used
                ),
                default=(-math.inf, "", 0),
            )
            if math.isinf(best):
                return None
            turn, belief = self._change(belief, name, k, mended)
            chosen.append(turn)
        return tuple(chosen) if lead > 0.0 else None

    def _lead(self, belief: Belief, place: int, mended: Collection[str]) -> float:
        return _lead_of(place, self._race(belief.none, belief.marginals(), mended))

    def _race(
        self, none: float, marginals: Iterable[float], mended: Collection[str]
    ) -> list[float]:
        """The mass of none, then of each cause; of mended ones nothing."""
        return [
            none,
            *(
                0.0 if cause in mended else mass
                for cause, mass in zip(self._causes, marginals, strict=True)
            ),
        ]

    def _rough_changes(
        self, belief: Belief, unknown: Sequence[str], mended: Collection[str]
    ) -> Iterator[tuple[float, str, int, list[float]]]:
        """Each other outcome that a finding might have: its chance, and the race it leads to."""
        hypotheses, masses = flat(self._rules, belief)
        counted = dict(self._evidence.counted())
        for name in (*counted, *unknown):
            if name not in counted and self._evidence.counted_beside(name) is not None:
                continue
            outcomes = hypotheses.likelihoods(self._effects.findings[name])
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
        self, belief: Belief, name: str, k: int, mended: Collection[str]
    ) -> tuple[Turn, Belief]:
        """One changed outcome, exactly: what it would mean, and the belief it would lead to."""
        counted = dict(self._evidence.counted())
        base = belief
        if name in counted:
            base = belief.after(counted[name].undone())
            base = base.scaled(1.0 / base.total)
        effect = self._effects.outcomes(name)[k]
        after = base.after(effect)
        race = self._race(after.none, after.marginals(), mended)
        best = max(range(len(race)), key=race.__getitem__)
        outcome = self._effects.findings[name].outcomes[k]
        leading = None if best == 0 else self._causes[best - 1]
        chance = effect.usual * after.total
        return Turn(name, outcome, leading, chance, name in counted), after


def _lead_of(place: int, race: Sequence[float]) -> float:
    """How far a runner leads its strongest rival, in nepers; below 0 when it doesn't."""
    rival = max((mass for at, mass in enumerate(race) if at != place), default=0.0)
    if race[place] <= 0.0:
        return -math.inf
    return math.log(race[place]) - math.log(rival) if rival > 0.0 else math.inf
