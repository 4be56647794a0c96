"""What a diagnosis foretold, held against what the trouble turned out to be.

`right` is one cause, two causes at once, or none-of-the-listed alone.
"""

from __future__ import annotations

from collections.abc import Set

from advisor.engine.diagnosis import Diagnosis
from advisor.engine.ranking import Ranking
from advisor.rulebook import Rulebook

from .naming import NONE
from .running import first_three


def forecasts(diagnosis: Diagnosis) -> list[float]:
    """The probability of none-of-the-listed and of each cause, held within 0 to 1."""
    belief = diagnosis.belief()
    return [min(1.0, max(0.0, p)) for p in (belief.none, *belief.marginals())]


def hits(rulebook: Rulebook, right: Set[str]) -> list[bool]:
    """Which of the forecasts came true, in the same order."""
    names = (NONE, *(cause.id for cause in rulebook.rules.causes))
    return [name in right for name in names]


def is_within_three(ranking: Ranking, right: Set[str]) -> bool:
    """Whether all that is right stands among the first three, none-of-the-listed in its place."""
    if right == {NONE}:
        better = [one for one in ranking.causes if one.probability > ranking.none_probability]
        return len(better) < 3
    return right <= set(first_three(ranking))


def probability_of_right(rulebook: Rulebook, diagnosis: Diagnosis, right: Set[str]) -> float:
    """The probability given to what is right; of two causes, to both at once."""
    belief = diagnosis.belief()
    if right == {NONE}:
        return belief.none
    index_of = rulebook.engine.effects.index_of
    places = sorted(index_of[name] for name in right)
    if len(places) == 2:
        return belief.pair[places[0]][places[1]]
    return belief.marginals()[places[0]]
