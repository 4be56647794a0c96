"""The lines of a case's log: an answer, a reading after the work, a repair that brought no cure."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field, StringConstraints

from advisor.rulebook.fields import MOST_MINUTES

LONGEST_ANSWER = 1000  # characters; keeps any case readable within the reader's limits
LONGEST_NAME = 60

Words = Annotated[str, StringConstraints(min_length=1, max_length=LONGEST_ANSWER)]
Copied = Annotated[str, StringConstraints(min_length=1)]  # from another file, however long
Name = Annotated[str, StringConstraints(min_length=1, max_length=LONGEST_NAME)]


def utc_text(moment: datetime) -> str:
    """A moment as the log writes it: ISO 8601, UTC, whole seconds, "2024-05-01T09:30:00Z"."""
    return moment.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def is_utc_text(text: str) -> bool:
    """Whether the text is a moment in ISO 8601 that says that it is in UTC."""
    try:
        return datetime.fromisoformat(text).utcoffset() == timedelta(0)
    except ValueError:
        return False


class Model(BaseModel):
    """Base of all records of a case: unknown fields are refused, types are taken strictly."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)


class Record(Model):
    """One line of the log: an answer, or that the answer before is taken back; never both."""

    question: str = Field(min_length=1, description="id of the question")
    answer: str | None = Field(
        default=None,
        max_length=LONGEST_ANSWER,
        description='the answer as typed, with its unit; "dont-know" when nobody knows',
    )
    taken_back: bool = Field(default=False, description="true: the answer before is taken back")
    at: str | None = Field(default=None, description="when, ISO 8601 in UTC, in quotes")
    by: str | None = Field(default=None, description="who answered: the role")
    who: Name | None = Field(default=None, description="name or initials, when they were given")
    minutes: float | None = Field(
        default=None, ge=0.0, le=MOST_MINUTES, description="minutes that the answer took"
    )
    from_case: str | None = Field(
        default=None, description="id of the earlier case that the answer is carried over from"
    )


class Reading(Model):
    """An answer to a question of the rulebook after the work, to prove the cure."""

    question: str = Field(min_length=1, description="id of the question")
    answer: Words = Field(description="the answer as typed, with its unit")
    at: str | None = Field(default=None, description="when, ISO 8601 in UTC, in quotes")


class Repair(Model):
    """One line of the log: a cause was mended, and the complaint remained."""

    cause: str = Field(min_length=1, description="id of the mended cause")
    answers_before: int | None = Field(
        default=None,
        ge=0,
        description="lines that the log of answers had then; later answers are of what remained",
    )
    at: str | None = Field(default=None, description="when, ISO 8601 in UTC")
    by: str | None = Field(default=None, description="who mended it: the role")
    who: Name | None = Field(default=None, description="name or initials, when they were given")
    minutes: float | None = Field(
        default=None, ge=0.0, le=MOST_MINUTES, description="minutes of the repair and its proof"
    )
