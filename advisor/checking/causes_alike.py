"""Two causes with the same rates in every finding stay level whatever is answered."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.rulebook import Problem, Rulebook

from .likeness import ALIKE, like_causes
from .places import Spot

CODE = "causes-alike"


def check(rulebook: Rulebook) -> Iterator[Problem]:
    """Pairs of causes that no finding tells apart; shown at the second."""
    for first, second, apart in like_causes(rulebook):
        if apart <= ALIKE:
            message = f'no evidence can tell "{second}" from "{first}": their rates are the same'
            hint = "add a finding that is seen more often with one of them, or make them one cause"
            where = (rulebook.place_of("causes", first),)
            yield Spot(rulebook, "causes", second).problem(CODE, message, hint, where)
