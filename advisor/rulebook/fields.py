"""Types of the fields of a rulebook: text, minutes, amounts with a unit, and rates."""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    StringConstraints,
    WithJsonSchema,
)
from pydantic.types import Strict
from pydantic_core import PydanticCustomError

LOWEST_RATE = 0.001
HIGHEST_RATE = 0.999
MOST_MINUTES = 100_000.0  # some months of work; more is a slip of the keyboard
LEAST_COMMON, MOST_COMMON = 1e-9, 1e9  # only ratios count; sums and products stay finite

_RATE = re.compile(r"([0-9]+(?:\.[0-9]+)?) in ([0-9]+(?:\.[0-9]+)?)")


class Model(BaseModel):
    """Base of all records of a rulebook: unknown fields are refused, types are taken strictly."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)


def read_rate(value: Any) -> float:
    """A rate as a number from "8 in 10" or 0.8; 0.001 to 0.999, since nothing is certain."""
    rate: float
    if isinstance(value, str):
        match = _RATE.fullmatch(value.strip())
        if match is None or len(value) > 40 or float(match[2]) == 0.0:
            raise PydanticCustomError("rate_form", "rate", {"read": value})
        rate = float(match[1]) / float(match[2])
    elif isinstance(value, bool) or not isinstance(value, int | float):
        raise PydanticCustomError("rate_form", "rate")
    elif abs(value) > 1e6:
        raise PydanticCustomError("rate_range", "rate")
    else:
        rate = float(value)
    if not LOWEST_RATE <= rate <= HIGHEST_RATE:
        raise PydanticCustomError("rate_range", "rate")
    return rate


def read_amount(value: Any) -> str:
    """An amount as text; a bare number is taken as written, for facts that have no unit."""
    if isinstance(value, str) and value.strip():
        return value.strip()
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise PydanticCustomError("amount_form", "amount")
    return f"{value:.15g}" if isinstance(value, float) else str(value)


Text = Annotated[str, StringConstraints(min_length=1, strip_whitespace=True)]
Texts = Annotated[tuple[Text, ...], Strict(False)]
Minutes = Annotated[float, Field(ge=0, le=MOST_MINUTES)]
Commonness = Annotated[float, Field(ge=LEAST_COMMON, le=MOST_COMMON)]
Rate = Annotated[
    float,
    BeforeValidator(read_rate),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "number", "minimum": LOWEST_RATE, "maximum": HIGHEST_RATE},
                {"type": "string", "pattern": f"^{_RATE.pattern}$"},
            ]
        }
    ),
]
Amount = Annotated[
    str,
    BeforeValidator(read_amount),
    WithJsonSchema({"anyOf": [{"type": "string"}, {"type": "number"}]}),
]
TwoAmounts = Annotated[tuple[Amount, ...], Strict(False), Field(min_length=2, max_length=2)]
Condition = dict[str, Any]
