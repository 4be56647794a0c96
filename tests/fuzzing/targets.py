"""What is fed with inputs by chance. A target takes bytes; what it raises is a finding.

Errors that are meant for people are no findings, and are made into text as a person would see
them, since that can fail too.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from functools import partial

from advisor import units
from advisor.rulebook import AnswerError
from tests.fuzzing import files, talks
from tests.fuzzing.books import shop
from tests.fuzzing.words import command_line

Target = Callable[[bytes], object]


def quantity(data: bytes) -> None:
    """A typed quantity of each dimension; what can be read is shown and read again."""
    text = data.decode("utf-8", "replace")
    for dimension in units.DIMENSIONS:
        with contextlib.suppress(units.UnitError):
            read = units.parse(text, dimension)
            shown = units.show(read.si, read.unit)
            again = units.parse(shown.replace("\u2212", "-"), dimension)
            dust = 1e-12 * read.unit.factor  # what is smaller is shown as 0
            if abs(again.si - read.si) > 1e-3 * abs(read.si) + dust:
                raise AssertionError(f"{text!r} is shown as {shown!r}")


def answer(data: bytes) -> None:
    """A typed answer to each kind of question."""
    text = data.decode("utf-8", "replace")
    rulebook = shop()
    for question in rulebook.questions:
        with contextlib.suppress(AnswerError):
            rulebook.show_value(question, rulebook.parse_answer(question, text))


_TALKS: dict[str, talks.Talk] = {
    "closing": talks.closing,
    "interview": talks.interview,
    "lesson": talks.lesson,
    **{f"new-{what}": partial(talks.new_rule, what) for what in ("cause", "test")},
}
TARGETS: dict[str, Target] = {
    "added-record": files.added_record,
    "answer": answer,
    "case-file": files.case_file,
    "case-lines": files.case_lines,
    "command-line": command_line,
    "draft-file": talks.draft_file,
    "examples-file": files.examples_file,
    "overlay-file": files.overlay_file,
    "practice-file": files.practice_file,
    "private-file": files.private_file,
    "quantity": quantity,
    "rulebook-file": files.rulebook_file,
    "settings-file": files.settings_file,
    "shims-file": files.shims_file,
    "stock-file": files.stock_file,
    **{f"{name}-lines": partial(talks.in_lines, talk) for name, talk in _TALKS.items()},
    **{f"{name}-keys": partial(talks.by_keys, talk) for name, talk in _TALKS.items()},
}
