"""The case file: one vehicle's answers as a log, and what became of it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Annotated

from pydantic import Field, Strict

from .closing import Closing, Comeback
from .records import Model, Reading, Record, Repair

FORMAT = 1
LONGEST_ID = 100
MOST_MINUTES_SPENT = 1e10  # more than all answers that a file can hold may take
_ID = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")


def is_case_id(text: str) -> bool:
    """Whether the text can be a case's id and, with ".yaml", its file name: a-z, 0-9, hyphens."""
    return len(text) <= LONGEST_ID and _ID.fullmatch(text) is not None


class RulebookRef(Model):
    """The rulebook that a case was answered with."""

    id: str = Field(min_length=1, description="id of the rulebook")
    version: str = Field(min_length=1, description="its version, in quotes")


class Result(Model):
    """What the trouble turned out to be: causes of the rulebook, or none of them; never both."""

    causes: Annotated[tuple[str, ...], Strict(False)] = Field(
        default=(), description="ids of the confirmed causes"
    )
    none_of_the_listed: bool = Field(default=False, description="true: it was something else")
    note: str | None = Field(default=None, description="free words")


class NoLonger(Model):
    """What a case says by ids that the rulebook retired with nothing in their place.

    It is kept and counts for nothing.
    """

    answers: Annotated[tuple[Record, ...], Strict(False)] = Field(
        default=(), description="answers to questions that are no longer asked"
    )
    after: Annotated[tuple[Reading, ...], Strict(False)] = Field(
        default=(), description="readings after the work, of such questions"
    )
    repairs: Annotated[tuple[Repair, ...], Strict(False)] = Field(
        default=(), description="repairs of causes that are no longer listed"
    )
    causes: Annotated[tuple[str, ...], Strict(False)] = Field(
        default=(), description="ids of confirmed causes that are no longer listed"
    )


class CaseFile(Model):
    """One vehicle: the complaint, the log of answers, the minutes, and later the outcome.

    The log is only ever added to; the last record of a question counts.
    """

    format: int = Field(description="number of the format that the program must understand: 1")
    id: str = Field(min_length=1, description="id of the case: a-z, 0-9 and hyphens")
    rulebook: RulebookRef = Field(description="the rulebook it was answered with")
    vehicle: str = Field(default="", description="the vehicle, in free words")
    complaint: str = Field(default="", description="the customer's own words")
    answers: Annotated[tuple[Record, ...], Strict(False)] = Field(
        default=(), description="the log of answers, oldest first"
    )
    repairs: Annotated[tuple[Repair, ...], Strict(False)] = Field(
        default=(), description="repairs that brought no cure, oldest first"
    )
    minutes_spent: float = Field(
        default=0.0, ge=0.0, le=MOST_MINUTES_SPENT, description="minutes of work so far"
    )
    place: str | None = Field(default=None, description="where one is now: id of a place")
    put_off: Annotated[tuple[str, ...], Strict(False)] = Field(
        default=(), description="ids of tests put off"
    )
    outcome: Result | None = Field(default=None, description="what the trouble turned out to be")
    closing: Closing | None = Field(
        default=None, description="what was done, what it took, and what proved the cure"
    )
    comeback_of: Comeback | None = Field(
        default=None, description="the earlier case of this vehicle, which came back"
    )
    retired: NoLonger | None = Field(
        default=None, description="what counts no more, since its ids were retired"
    )

    def latest(self) -> dict[str, str]:
        """The answer that counts for each question, in the order of their first answers."""
        return {question: text for question, (_, text) in self.latest_lines().items()}

    def latest_lines(self) -> dict[str, tuple[int, str]]:
        """As `latest`, each answer with its line in the log, from 0."""
        lines: dict[str, tuple[int, str]] = {}
        for line, record in enumerate(self.answers):
            if record.answer is None:
                lines.pop(record.question, None)
            else:
                lines[record.question] = (line, record.answer)
        return lines

    def has_record_of(self, questions: Iterable[str]) -> bool:
        """True when the log speaks of one of these questions, even if it was taken back.

        What was carried over from an earlier case took no work in this one.
        """
        wanted = frozenset(questions)
        return any(
            record.question in wanted and record.from_case is None for record in self.answers
        )

    def has_own_answers(self) -> bool:
        """True when something was asked in this case, not only carried over from another."""
        return any(record.from_case is None for record in self.answers)

    def with_record(self, record: Record) -> CaseFile:
        """The same case with one more record at the end of the log."""
        return self.model_copy(update={"answers": (*self.answers, record)})
