"""Findings that depend on one another by logic restate one observation, which then counts twice.

Evidence of findings is multiplied as if they were independent. Two of which some outcomes can
never be together are not: two limits on one number, two options of one choice. A shared
`observation` lets only the more telling one count. Findings that read other facts besides each add
something of their own; `counted_twice_in_part` looks at those.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from advisor.engine.rules import Finding
from advisor.rulebook import Problem, Rulebook

from .places import Spot
from .possible import Boxes, Possibilities, can_meet
from .reading import answers_behind, causes_of_both

CODE = "counted-twice"


def check(rulebook: Rulebook) -> Iterator[Problem]:
    """Findings that depend on an earlier one and speak of a common cause with it.

    Each is told once, with the first that it depends on: of many alike there are far more pairs.
    """
    possible = Possibilities(rulebook, heed_asking=False)
    read = answers_behind(rulebook.rules)
    outcomes: dict[str, tuple[Boxes, ...]] = {
        one.id: tuple(possible.outcome(one, k) for k in range(len(one.outcomes)))
        for one in rulebook.rules.findings
    }
    findings = rulebook.rules.findings
    for place, second in enumerate(findings):
        for first in findings[:place]:
            if read[first.id] != read[second.id]:
                continue
            causes = causes_of_both(rulebook, first, second)
            if causes and _depend(outcomes[first.id], outcomes[second.id]):
                yield _problem(rulebook, first, second, causes[0])
                break


def _depend(first: tuple[Boxes, ...], second: tuple[Boxes, ...]) -> bool:
    """Whether some outcomes, each possible by itself, can never be together."""
    return any(a and b and not can_meet(a, b) for a, b in product(first, second))


def _problem(rulebook: Rulebook, first: Finding, second: Finding, cause: str) -> Problem:
    message = (
        f'"{second.id}" and "{first.id}" depend on one another, '
        f'so that one observation counts twice for or against "{cause}"'
    )
    hint = 'give both the same "observation", or make them one finding with several values'
    where = (rulebook.place_of("findings", first.id),)
    return Spot(rulebook, "findings", second.id).problem(CODE, message, hint, where)
