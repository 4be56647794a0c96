"""The examples of a rulebook as they stand in its files."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BeforeValidator, Field
from pydantic.types import Strict
from pydantic_core import PydanticCustomError

from advisor.rulebook.fields import Model, Text, Texts


def _flag(value: Any) -> bool:
    if isinstance(value, bool):
        return value
    raise PydanticCustomError("literal_error", "flag", {"expected": "true or false"})


def _outcome(value: Any) -> Any:
    """The outcomes of a yes/no finding are written as the booleans that conditions use."""
    return str(value).lower() if isinstance(value, bool) else value


Flag = Annotated[bool, BeforeValidator(_flag)]
Outcome = Annotated[Text, BeforeValidator(_outcome)]
Probability = Annotated[float, Field(ge=0, le=1, allow_inf_nan=False)]


class ExpectModel(Model):
    """What must come out of an example; whatever is not written is not looked at."""

    first: Text | None = Field(
        default=None, description="id of the cause that leads, or none-of-the-listed"
    )
    pair: Annotated[tuple[Text, ...], Strict(False), Field(min_length=2, max_length=2)] | None = (
        Field(default=None, description="ids of the two causes that are the likeliest pair")
    )
    first_three: Texts = Field(
        default=(),
        min_length=1,
        max_length=3,
        description="ids of causes that are all among the three most probable",
    )
    not_first: Texts = Field(
        default=(),
        min_length=1,
        description="ids of causes that don't lead; none-of-the-listed can be one",
    )
    near_miss_of: Text | None = Field(
        default=None, description="id of a cause that looks right and is not; it must not lead"
    )
    at_least: dict[str, Probability] = Field(
        default={},
        min_length=1,
        description="cause id or none-of-the-listed: lowest probability, 0 to 1",
    )
    at_most: dict[str, Probability] = Field(
        default={},
        min_length=1,
        description="cause id or none-of-the-listed: highest probability, 0 to 1",
    )
    too_close_to_call: Flag | None = Field(
        default=None,
        description="true: no cause is twice as probable as the next, or as none-of-the-listed",
    )
    findings: dict[str, Outcome] = Field(
        default={},
        min_length=1,
        description="finding id: true, false or the name of its value, or unknown, or too-close",
    )
    stops: Texts | None = Field(
        default=None, description="ids of exactly the findings that stop driving; [] for none"
    )


class ExampleModel(Model):
    """An invented or real vehicle: its answers, and what must come out."""

    says: Text = Field(description="the vehicle and its trouble in one line of plain words")
    held_back: Flag = Field(
        default=False, description="true: a vehicle that is never used while rates are set"
    )
    known_gap: Text | None = Field(
        default=None,
        description="why it is expected to fail today; it then fails no run, but passing does",
    )
    answers: dict[str, str] = Field(
        description='question id: the answer as typed, in quotes, with its unit; "dont-know" too'
    )
    expect: ExpectModel = Field(description="what must come out")
