"""A question must fit a small screen: what is asked, its options, and each label."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.rulebook import ChoiceQuestion, ChoicesQuestion, Problem, QuestionModel, Rulebook

from .places import Spot

CODE = "too-long-for-screen"
LONGEST_QUESTION = 120  # characters, four lines of a telephone
LONGEST_LABEL = 60  # characters, two lines
MOST_OPTIONS = 14  # one screen of them


def check(rulebook: Rulebook) -> Iterator[Problem]:
    """Wordings, labels and lists of options beyond the limits above."""
    for name, question in rulebook.questions.items():
        for steps, message in _faults(question):
            yield Spot(rulebook, "questions", name, steps).problem(CODE, message)


def _faults(question: QuestionModel) -> Iterator[tuple[tuple[str, ...], str]]:
    for field in ("ask", "customer"):
        text = getattr(question, field) or ""
        if len(text) > LONGEST_QUESTION:
            message = f"the question has {len(text)} characters; {LONGEST_QUESTION} fit the screen"
            yield (field,), message
    if isinstance(question, ChoiceQuestion | ChoicesQuestion):
        options = question.options
        if len(options) > MOST_OPTIONS:
            yield ("options",), f"there are {len(options)} options; {MOST_OPTIONS} fit the screen"
        for option, label in options.items():
            if len(label) > LONGEST_LABEL:
                message = f"the label has {len(label)} characters; {LONGEST_LABEL} fit the screen"
                yield ("options", option), message
