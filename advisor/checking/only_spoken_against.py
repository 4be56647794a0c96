"""A cause that nothing speaks for can only win by what is missing."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.rulebook import Problem, Rulebook

from .places import Spot
from .weights import support

CODE = "only-spoken-against"


def check(rulebook: Rulebook) -> Iterator[Problem]:
    """Causes that findings name, but none at more than its usual rate."""
    for cause in rulebook.causes:
        speaking = [finding for finding in rulebook.rules.findings if cause in finding.rates]
        if speaking and all(support(finding, cause) <= 0.0 for finding in speaking):
            message = f'no finding speaks for the cause "{cause}": none is seen more with it'
            hint = "add a finding whose rate with this cause is above the usual one"
            yield Spot(rulebook, "causes", cause).problem(CODE, message, hint)
