"""The record that describes a driveline function to a rulebook, and how it is made."""

from __future__ import annotations

import functools
import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

Result = float | str | bool

_SUFFIX_OF: Final = {
    "acceleration": "_m_per_s2",
    "angle": "_rad",
    "angular-acceleration": "_rad_per_s2",
    "force": "_n",
    "frequency": "_hz",
    "length": "_m",
    "mass": "_kg",
    "speed": "_m_per_s",
    "time": "_s",
    "torque": "_nm",
    "unbalance": "_kg_m",
}
"""How a Python argument of a dimension ends. What has no unit has no ending."""


_BEYOND_RANGE: Final = "the values are too large or too small to be worked with; check their units"


@dataclass(frozen=True, slots=True)
class Parameter:
    """One input of a function, by the name that a rulebook writes.

    `dimension` is one of the dimensions of units, or "text", "yes-no" or "choice".
    """

    name: str
    dimension: str
    meaning: str
    optional: bool = False
    options: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Note:
    """What a person should know of a result besides its number, with its source mark.

    With a `parameter` it holds only when that input is below `below`, in SI units.
    """

    text: str
    parameter: str | None = None
    below: float = math.inf


@dataclass(frozen=True, slots=True)
class Function:
    """One computation that a rulebook may name.

    `call` takes keyword arguments by the names of `parameters`, in SI units, and raises ValueError
    with a plain sentence when the values are impossible. `result` is a dimension, "choice" or
    "yes-no". `notes` say where the formula fails.
    """

    name: str
    call: Callable[..., Result]
    parameters: tuple[Parameter, ...]
    result: str
    formula: str
    source: str
    options: tuple[str, ...] = ()
    notes: tuple[Note, ...] = ()


def needed(name: str, dimension: str, meaning: str, *, options: tuple[str, ...] = ()) -> Parameter:
    """A parameter that must be known."""
    return Parameter(name, dimension, meaning, options=options)


def optional(name: str, dimension: str, meaning: str) -> Parameter:
    """A parameter that may be unknown."""
    return Parameter(name, dimension, meaning, optional=True)


def entry(  # noqa: PLR0913 - one argument a field
    name: str,
    computation: Callable[..., Result],
    parameters: tuple[Parameter, ...],
    *,
    result: str,
    formula: str,
    source: str,
    options: tuple[str, ...] = (),
    notes: tuple[Note, ...] = (),
) -> Function:
    """The record of a computation whose arguments end in their unit.

    A rulebook carries the unit in the value, so its names do without the endings.
    """
    argument_of = {
        parameter.name: parameter.name + _SUFFIX_OF.get(parameter.dimension, "")
        for parameter in parameters
    }

    @functools.wraps(computation)
    def call(**values: Result) -> Result:
        try:
            result = computation(**{argument_of[name]: value for name, value in values.items()})
        except (OverflowError, ZeroDivisionError) as error:
            raise ValueError(_BEYOND_RANGE) from error
        if isinstance(result, float) and not math.isfinite(result):
            raise ValueError(_BEYOND_RANGE)
        return result

    return Function(name, call, parameters, result, formula, source, options, notes)
