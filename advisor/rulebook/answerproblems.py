"""Complaints about answers that a file gives to questions: the same words in every kind of file."""

from __future__ import annotations

from .answers import AnswerError
from .book import Rulebook
from .document import Document, Loc
from .problems import Mark, Problem


def unknown_question(document: Document, mark: Mark, question: str, rulebook: Rulebook) -> Problem:
    """No question of the rulebook has this id."""
    message = f'no question has the id "{question}"'
    hint = rulebook.instead_of("questions", question, rulebook.questions)
    return document.problem(mark, "unknown-question", message, hint)


def bare_number(document: Document, loc: Loc, number: float, unless: str = "") -> Problem:
    """A number without quotes: its unit is missing, and its digits may not be as typed."""
    return document.problem(
        loc,
        "wrong-type",
        f"read the number {number:.15g}; an answer is text, a measured one with its unit",
        f'put it into quotes with its unit, such as "{number:.15g} mm"{unless}',
    )


def not_yes_or_no(document: Document, loc: Loc, question: str, answer: bool) -> Problem:
    """True or false for a question of another kind."""
    word = "true" if answer else "false"
    message = f'read {word} for "{question}", which is no yes-or-no question'
    hint = "write the answer as text in quotes, a measured one with its unit"
    return document.problem(loc, "wrong-type", message, hint)


def unreadable_answer(
    document: Document, loc: Loc, question: str, answer: str, error: AnswerError
) -> Problem:
    """A text that the question can't take."""
    message = f'"{answer}" is no answer to "{question}": {error.reason}'
    return document.problem(loc, "wrong-value", message)
