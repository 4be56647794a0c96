"""A question whose answer changes nothing costs the technician minutes for nothing."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.rulebook import Problem, Rulebook

from .idle_test import idle_tests
from .places import Spot
from .reading import facts_read, useful_facts

CODE = "leads-nowhere"


def check(rulebook: Rulebook) -> Iterator[Problem]:
    """Questions that something reads, but nothing that matters; loading tells of unread ones.

    Those of a test that is idle as a whole are told of once, at the test.
    """
    useful = useful_facts(rulebook)
    told = {question for test in idle_tests(rulebook) for question in rulebook.tests[test].answers}
    read = facts_read(rulebook)
    for question in rulebook.questions:
        if question in read and question not in useful | told:
            message = f'the answer to "{question}" reaches no rate of a finding, no cause, no cure'
            hint = "take it out together with what reads it, or give that a use"
            yield Spot(rulebook, "questions", question).problem(CODE, message, hint)
