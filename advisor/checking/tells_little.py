"""A finding at nearly the usual rates is asked for next to nothing."""

from __future__ import annotations

import math
from collections.abc import Iterator

from advisor.engine.rules import Finding
from advisor.rulebook import Problem, Rulebook

from .places import Spot
from .reading import facts_read

CODE = "tells-little"
A_TENTH = 1.1  # ratio of a rate to the usual one, or the other way round
SAME = 1e-9  # loading tells of findings whose rates do not differ at all


def check(rulebook: Rulebook) -> Iterator[Problem]:
    """Findings there for their rates alone, all of which lie within a tenth of the usual."""
    read = facts_read(rulebook)
    for finding in rulebook.rules.findings:
        if finding.rates and not finding.stop_driving and finding.id not in read:
            furthest = _furthest(finding)
            if SAME < furthest < math.log(A_TENTH):
                message = (
                    f'the finding "{finding.id}" tells next to nothing: '
                    "each of its rates is within a tenth of the usual one"
                )
                hint = "take it out, or set the rates further apart"
                yield Spot(rulebook, "findings", finding.id).problem(CODE, message, hint)


def _furthest(finding: Finding) -> float:
    """How far any rate is from the usual one, as the logarithm of their ratio."""
    return max(
        abs(math.log(rate / usual))
        for rates in finding.rates.values()
        for rate, usual in zip(rates, finding.usual, strict=True)
    )
