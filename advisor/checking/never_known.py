"""A finding that hangs on questions that are never asked together cannot be true or false."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.rulebook import Problem, Rulebook

from .never_asked import never_asked
from .places import Spot
from .possible import Possibilities
from .reading import behind, sources_of

CODE = "never-known"


def check(rulebook: Rulebook) -> Iterator[Problem]:
    """Findings none of whose outcomes any answers can bring about.

    Where a question that is never asked is behind it, that is told at the question.
    """
    possible = Possibilities(rulebook)
    sources = sources_of(rulebook.rules)
    told = never_asked(rulebook)
    for finding in rulebook.rules.findings:
        unknown = not possible.known(finding.id)
        if unknown and behind([finding.id], sources).isdisjoint(told):
            message = f'the finding "{finding.id}" can never be known: no answers settle it'
            hint = "look at the conditions under which its questions are asked"
            yield Spot(rulebook, "findings", finding.id).problem(CODE, message, hint)
