"""A test whose answers change nothing is work for nothing."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.rulebook import Problem, Rulebook, TextQuestion

from .places import Spot
from .reading import useful_facts

CODE = "idle-test"


def check(rulebook: Rulebook) -> Iterator[Problem]:
    """Listed tests none of whose questions reaches the rates of a finding, a cause or a cure."""
    for test in idle_tests(rulebook):
        message = f'the test "{test}" settles no finding, and no cause or cure reads its answers'
        hint = "take it out, or let a finding read what it answers"
        yield Spot(rulebook, "tests", test).problem(CODE, message, hint)


def idle_tests(rulebook: Rulebook) -> list[str]:
    """The tests that are idle; one of text alone is for the record, and has its use."""
    useful = useful_facts(rulebook)
    return [
        name
        for name, test in rulebook.tests.items()
        if ("tests", name) in rulebook.items
        and useful.isdisjoint(test.answers)
        and not all(isinstance(rulebook.questions[one], TextQuestion) for one in test.answers)
    ]
