"""A cause that nothing confirms and nothing strongly speaks for stays a guess."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.engine.effects import decibans
from advisor.rulebook import Problem, Rulebook

from .places import Spot
from .weights import support

CODE = "cannot-be-proved"
TWICE = decibans(2.0)


def check(rulebook: Rulebook) -> Iterator[Problem]:
    """Causes without a confirming test that are spoken for, but never by a factor of two."""
    for cause in rulebook.rules.causes:
        strongest = max((support(one, cause.id) for one in rulebook.rules.findings), default=0.0)
        if cause.confirm is None and 0.0 < strongest < TWICE:
            message = (
                f'nothing can prove the cause "{cause.id}": it has no confirming test, '
                f"and the most telling finding weighs {strongest:.2g} decibans"
            )
            hint = 'add "confirm: ..." with a test, or a finding that is typical of the cause'
            yield Spot(rulebook, "causes", cause.id).problem(CODE, message, hint)
