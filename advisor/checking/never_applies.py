"""A cause whose `applies_if` can never be true is never considered."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.rulebook import Problem, Rulebook

from .places import Spot
from .possible import Possibilities

CODE = "never-applies"


def check(rulebook: Rulebook) -> Iterator[Problem]:
    """Causes whose condition no answers can make true."""
    possible = Possibilities(rulebook)
    for cause in rulebook.rules.causes:
        if cause.applies_if is not None and not possible.true(cause.applies_if):
            message = f'the cause "{cause.id}" never applies: its "applies_if" can never be true'
            hint = "compare the parts of the condition, and the ranges and options they read"
            yield Spot(rulebook, "causes", cause.id, ("applies_if",)).problem(CODE, message, hint)
