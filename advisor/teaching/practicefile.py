"""The practice file: which vehicle, and what the learner did, so that a lesson can go on later."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, Strict

from advisor.cases import CaseExistsError, RulebookRef, write_record
from advisor.cases.store import Check
from advisor.rulebook import Document, LoadError, Problem, Rulebook, did_you_mean, read_record
from advisor.vehicles import Vehicle

FORMAT = 1
LARGEST_SEED = 2**53 - 1  # any JSON reader holds it exactly


class _Model(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)


class Step(_Model):
    """One thing that the learner did; exactly one of the fields."""

    test: str | None = Field(default=None, description="id of the test that was done")
    repair: str | None = Field(default=None, description="id of the cause that was mended")
    hint: Literal["ranking"] | None = Field(default=None, description="the hint that was taken")
    handed_on: Literal[True] | None = Field(
        default=None, description="true: the vehicle was handed on"
    )


class Practice(_Model):
    """A practice vehicle and the log of one learner's work on it; the log is only added to."""

    format: int = Field(description="number of the format that the program must understand: 1")
    rulebook: RulebookRef = Field(description="the rulebook that the vehicle is drawn from")
    seed: int = Field(ge=0, le=LARGEST_SEED, description="the seed of the vehicle")
    number: int = Field(ge=0, le=LARGEST_SEED, description="which vehicle of this seed it is")
    mark: str = Field(description="check sum of the vehicle's answers")
    steps: Annotated[tuple[Step, ...], Strict(False)] = Field(
        default=(), description="what the learner did, oldest first"
    )

    def after(self, step: Step) -> Practice:
        """The same practice with one more step."""
        return self.model_copy(update={"steps": (*self.steps, step)})


def mark_of(vehicle: Vehicle) -> str:
    """A check sum of a vehicle, the same on every computer."""
    text = "\n".join([*vehicle.faults, *(f"{q}: {a}" for q, a in vehicle.answers.items())])
    return hashlib.sha256(text.encode("utf-8")).hexdigest()[:12]


def write_practice(
    path: Path, practice: Practice, *, fresh: bool = False, check: Check | None = None
) -> str:
    """Write the practice file so that it is there whole or not at all; its text.

    Raises WriteError, what `check` raises before it is put in its place, and CaseExistsError for
    a `fresh` one where anything is already.
    """
    try:
        return write_record(path, practice, fresh=fresh, check=check)
    except FileExistsError as error:
        raise CaseExistsError(path) from error


def read_practice(path: Path, rulebook: Rulebook) -> Practice:
    """The practice at `path`; LoadError with every problem when it doesn't fit the rulebook."""
    document, practice = read_record(path, Practice, "the practice file", FORMAT)
    problems = [*_version_problems(document, practice, rulebook)]
    if not problems:
        for place, step in enumerate(practice.steps):
            problems += _step_problems(document, place, step, rulebook)
    if problems:
        raise LoadError(problems)
    return practice


def _version_problems(
    document: Document, practice: Practice, rulebook: Rulebook
) -> Iterator[Problem]:
    named, used = practice.rulebook, rulebook.meta
    if (named.id, named.version) != (used.id, used.version):
        message = (
            f'the vehicle is of rulebook "{named.id}" {named.version}, '
            f'but it is read with "{used.id}" {used.version}, which gives another one'
        )
        hint = "name that rulebook by --rulebook, or begin a new practice file"
        yield document.problem(("rulebook",), "wrong-value", message, hint)


def _step_problems(
    document: Document, place: int, step: Step, rulebook: Rulebook
) -> Iterator[Problem]:
    given = step.model_dump(exclude_none=True)
    if len(given) != 1:
        message = 'a step has one of "test", "repair", "hint" and "handed_on"'
        yield document.problem(("steps", place), "wrong-value", message)
        return
    known: tuple[tuple[str, str | None, str, Mapping[str, object]], ...] = (
        ("test", step.test, "test", rulebook.tests),
        ("repair", step.repair, "cause", rulebook.causes),
    )
    for field, name, what, names in known:
        if name is not None and name not in names:
            message = f'no {what} has the id "{name}"'
            hint = did_you_mean(name, names)
            yield document.problem(("steps", place, field), f"unknown-{what}", message, hint)
