"""How a case ended: the work, the rings taken, the readings after it, and the proof of the cure."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, Strict

from advisor.rulebook.fields import MOST_MINUTES

from .records import Copied, Model, Name, Reading, Words


class RingUse(Model):
    """Rings taken out of a box of the shop's stock, for this vehicle.

    It stands here before the stock is written; `booked` is set after. The id is noted in the
    stock as well, so that a program killed in between neither counts the rings twice nor forgets
    them.
    """

    use: str = Field(
        min_length=8, max_length=40, pattern="^[a-z0-9]+$", description="id of this use alone"
    )
    stock: Copied = Field(description="name of the stock file, without its folder")
    box: Copied = Field(description="name of the box")
    count: int = Field(ge=1, le=1000, description="how many rings were taken")
    thickness: Copied = Field(description="thickness of a ring as the stock says it, with unit")
    booked: bool = Field(default=False, description="true: the stock was lessened by them")
    at: str | None = Field(default=None, description="when, ISO 8601 in UTC, in quotes")


class ProofStep(Model):
    """One step of the check that proves the cure."""

    step: Copied = Field(description="what was to be done, in the words of the rulebook")
    done: bool = Field(description="true: it was done")
    result: Words | None = Field(default=None, description="what it showed, in free words")


class Noted(Model):
    """One thing that the rulebook wants written down for the next time."""

    what: Copied = Field(description="what was to be written down")
    words: Words = Field(description="what was written down")


class Closing(Model):
    """What was done, what it took, and what proved the cure."""

    complaint_gone: bool | None = Field(
        default=None, description="true: the complaint was gone after the work"
    )
    work: Words | None = Field(default=None, description="what was done, in free words")
    parts: Annotated[tuple[Words, ...], Strict(False)] = Field(
        default=(), description="parts used that are no rings of the stock"
    )
    rings: Annotated[tuple[RingUse, ...], Strict(False)] = Field(
        default=(), description="rings taken out of the shop's stock"
    )
    after: Annotated[tuple[Reading, ...], Strict(False)] = Field(
        default=(), description="answers to the same questions after the work; they prove the cure"
    )
    proof: Annotated[tuple[ProofStep, ...], Strict(False)] = Field(
        default=(), description="the steps of the check that proves the cure"
    )
    noted: Annotated[tuple[Noted, ...], Strict(False)] = Field(
        default=(), description="what the rulebook wants written down for the next time"
    )
    minutes: float | None = Field(
        default=None,
        ge=0.0,
        le=MOST_MINUTES,
        description="minutes that the work and its proof took",
    )
    at: str | None = Field(default=None, description="when, ISO 8601 in UTC, in quotes")
    by: str | None = Field(default=None, description="who closed it: the role")
    who: Name | None = Field(default=None, description="name or initials, when they were given")

    def latest_after(self) -> dict[str, str]:
        """The reading after the work that counts for each question, first asked first."""
        return {reading.question: reading.answer for reading in self.after}


class Comeback(Model):
    """The earlier case of a vehicle that came back."""

    case: str = Field(min_length=1, description="id of the earlier case")
    ever_right: Literal["yes", "no", "dont-know"] = Field(
        default="dont-know", description='"yes": the complaint was gone for a time after the work'
    )
    causes: Annotated[tuple[str, ...], Strict(False)] = Field(
        default=(), description="ids of the causes that were confirmed then"
    )
    complaint: str = Field(default="", description="the customer's own words then")
    work: Words | None = Field(default=None, description="what was done then, in free words")
    closed_at: str | None = Field(default=None, description="when it was closed, in UTC")
