"""Two causes that every finding treats almost the same can hardly be told apart."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.rulebook import Problem, Rulebook

from .likeness import ALIKE, like_causes
from .places import Spot

CODE = "causes-nearly-alike"


def check(rulebook: Rulebook) -> Iterator[Problem]:
    """Pairs of causes whose weights differ by less than a deciban in every finding."""
    for first, second, apart in like_causes(rulebook):
        if apart > ALIKE:
            message = (
                f'evidence can hardly tell "{second}" from "{first}": '
                f"no finding drives them apart by more than {apart:.2g} decibans"
            )
            hint = "add a finding that is seen more often with one of them, or make them one cause"
            where = (rulebook.place_of("causes", first),)
            yield Spot(rulebook, "causes", second).problem(CODE, message, hint, where)
