"""A question whose `ask_if` can never be true is never asked."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.rulebook import Problem, Rulebook

from .places import Spot
from .possible import Possibilities

CODE = "never-asked"


def check(rulebook: Rulebook) -> Iterator[Problem]:
    """Questions whose condition no answers to the others can make true."""
    for question in never_asked(rulebook):
        message = f'the question "{question}" is never asked: its "ask_if" can never be true'
        hint = "compare the parts of the condition, and the ranges and options they read"
        yield Spot(rulebook, "questions", question, ("ask_if",)).problem(CODE, message, hint)


def never_asked(rulebook: Rulebook) -> list[str]:
    """The questions that are never asked."""
    possible = Possibilities(rulebook)
    return [
        question.id
        for question in rulebook.rules.questions
        if question.ask_if is not None and not possible.true(question.ask_if)
    ]
