"""A computation over a stretch of one input: how it is asked, and its points."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from advisor import units
from advisor.computing.errors import ComputeError, quote, refused
from advisor.computing.gauges import in_words
from advisor.computing.inputs import Input, is_number, unknown_parameter
from advisor.computing.working import work_out
from advisor.driveline.catalog import Function, Parameter
from advisor.engine.values import Number

USUAL_STEPS: Final = 60
MOST_STEPS: Final = 1000
_STRETCH: Final = re.compile(r"\s*(\S.*?)\s*\.\.\s*(\S.*?)\s*(?:/\s*([0-9]{1,6})\s*)?")
_EXAMPLE: Final = 'road_speed="20 mph..80 mph" or road_speed="20 mph..80 mph/12"'


@dataclass(frozen=True, slots=True)
class Stretch:
    """One parameter from one value to another, in SI units, in equal steps."""

    parameter: Parameter
    start: units.Quantity
    end: units.Quantity
    steps: int

    def values(self) -> list[float]:
        """The values, both ends included."""
        first, width = self.start.si, self.end.si - self.start.si
        return [first + width * i / self.steps for i in range(self.steps)] + [self.end.si]


@dataclass(frozen=True, slots=True)
class Point:
    """One value of the swept input and its result, in SI units; None where there is no result."""

    value: float
    result: Number | None


def read_stretch(function: Function, text: str) -> Stretch:
    """The stretch that "PARAMETER=FROM..TO/STEPS" gives. Raises ComputeError."""
    if function.result in ("choice", "yes-no"):
        reason = f"{function.name} gives {in_words(function.result)}; only a number can be drawn"
        raise refused(function, f"--sweep: {reason}")
    name, _, stretch = (part.strip() for part in text.partition("="))
    match = _STRETCH.fullmatch(stretch)
    if not match:
        raise refused(function, f"--sweep: read {quote(text)}; write it like {_EXAMPLE}")
    parameter = next((one for one in function.parameters if one.name == name), None)
    if parameter is None:
        raise refused(function, f"--sweep: {unknown_parameter(function, name)}")
    if not is_number(parameter):
        raise refused(function, f"--sweep: {name} is no number, so it cannot be swept")
    try:
        start, end = (units.parse(one, parameter.dimension) for one in match.group(1, 2))
    except units.UnitError as error:
        raise refused(function, f"--sweep {name}: {error}") from error
    if start.si == end.si:
        raise refused(function, f"--sweep {name}: both ends are {start}; write two values")
    return Stretch(parameter, start, end, _steps(function, parameter, match[3], end.si - start.si))


def _steps(function: Function, parameter: Parameter, typed: str | None, width: float) -> int:
    is_count = parameter.dimension == "count"
    usual = min(abs(round(width)), MOST_STEPS) if is_count else USUAL_STEPS
    steps = usual if typed is None else units.whole_number(typed, MOST_STEPS)
    if steps is None:
        reason = f"read {str(typed)[:20]} steps; write from 1 to {MOST_STEPS}"
        raise refused(function, f"--sweep {parameter.name}: {reason}")
    if is_count and width % steps:
        reason = f"{steps} equal steps do not meet whole numbers only; write other steps"
        raise refused(function, f"--sweep {parameter.name}: {reason}")
    return steps


def sweep_points(
    function: Function, inputs: Sequence[Input], stretch: Stretch, swept: Input
) -> tuple[tuple[Point, ...], str | None]:
    """The points, and why the first of those without a result has none.

    `swept` is the swept input at its start; it carries the uncertainty. Raises ComputeError when
    no point has a result.
    """
    points: list[Point] = []
    first_error: ComputeError | None = None
    for value in stretch.values():
        here = Input(swept.parameter, "", Number(value, swept.u), swept.unit)
        try:
            result = work_out(function, [*inputs, here])
        except ComputeError as error:
            first_error = first_error or error
            points.append(Point(value, None))
            continue
        assert isinstance(result, Number), f"{function.name} gives no number"
        points.append(Point(value, result))
    if first_error and all(point.result is None for point in points):
        raise first_error
    return tuple(points), first_error.problems[0] if first_error else None
