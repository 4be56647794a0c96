"""A finding that reads more than another, and repeats what that one says.

When one outcome can only come about together with an outcome of another finding, the second one
tells nothing new, but its weight is added all the same. That is harmless as long as either
weighs little. It is not where both clearly speak in the same direction for or against a cause:
one observation then counts twice. Where they speak in opposite directions, the one tempers the
other, and nothing counts twice.

Findings that read the same facts are left to `counted_twice`, whatever they weigh.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import permutations

from advisor.engine.effects import decibans
from advisor.engine.rules import Finding
from advisor.rulebook import Problem, Rulebook

from .places import Spot
from .possible import Boxes, Possibilities, can_meet
from .reading import answers_behind, causes_of_both
from .weights import weights

CODE = "counted-twice-in-part"
# A likelihood ratio of less than the square root of 10 is "not worth more than a bare mention":
# H. Jeffreys, Theory of Probability, 3rd edition 1961, appendix B (from memory).
MATERIAL_DECIBANS = 5.0

Outcomes = Mapping[str, tuple[Boxes, ...]]


def check(rulebook: Rulebook) -> Iterator[Problem]:
    """Findings of which an outcome implies one of a finding that shares some of its facts."""
    possible = Possibilities(rulebook, heed_asking=False)
    read = answers_behind(rulebook.rules)
    outcomes = {
        one.id: tuple(possible.outcome(one, k) for k in range(len(one.outcomes)))
        for one in rulebook.rules.findings
    }
    for first, second in permutations(rulebook.rules.findings, 2):
        if read[first.id] & read[second.id] and read[first.id] != read[second.id]:
            causes = causes_of_both(rulebook, first, second)
            if causes:
                yield from _repeated(rulebook, outcomes, first, second, causes)


def _repeated(
    rulebook: Rulebook,
    outcomes: Outcomes,
    first: Finding,
    second: Finding,
    causes: Sequence[str],
) -> Iterator[Problem]:
    """The weightiest repetition by an outcome of the first, if it is material."""
    worst = (0.0, "", "")
    for k, boxes in enumerate(outcomes[first.id]):
        left = _left_beside(boxes, outcomes[second.id])
        if boxes and left:
            for cause in causes:
                twice = _twice(weights(first, cause)[k], _weight(second, cause, left))
                worst = max(worst, (twice, first.outcomes[k], cause))
    twice, outcome, cause = worst
    if twice >= MATERIAL_DECIBANS:
        message = (
            f'"{first.id}" can be {outcome} only when "{second.id}" says the same of "{cause}", '
            f"so that {twice:.1f} decibans count twice"
        )
        hint = (
            f'set its rates by what it adds to "{second.id}", '
            'or give both the same "observation" if it adds nothing'
        )
        where = (rulebook.place_of("findings", second.id),)
        yield Spot(rulebook, "findings", first.id).problem(CODE, message, hint, where)


def _left_beside(boxes: Boxes, others: Sequence[Boxes]) -> tuple[int, ...]:
    """The outcomes of the other that can be beside these answers; none if all of them can."""
    can_be = [k for k, other in enumerate(others) if other]
    beside = tuple(k for k in can_be if can_meet(boxes, others[k]))
    return beside if len(beside) < len(can_be) else ()


def _weight(finding: Finding, cause: str, outcomes: Sequence[int]) -> float:
    """The weight, for a cause, of the finding having one of these outcomes."""
    rates = finding.rates[cause]
    return decibans(
        math.fsum(rates[k] for k in outcomes) / math.fsum(finding.usual[k] for k in outcomes)
    )


def _twice(first: float, second: float) -> float:
    """The weight that counts twice: the lesser of two in the same direction."""
    return min(abs(first), abs(second)) if first * second > 0.0 else 0.0
