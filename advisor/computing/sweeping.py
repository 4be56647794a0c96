"""A sweep as a chart with a table, or as data."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from advisor import units
from advisor.computing.chart import Axis, chart
from advisor.computing.inputs import Input
from advisor.computing.outcome import (
    head_data,
    head_lines,
    input_data,
    input_lines,
    joined,
    note_lines,
    show_result,
    value_data,
    warning_lines,
)
from advisor.computing.resultunits import show_u
from advisor.computing.sweep import Point, Stretch
from advisor.driveline.catalog import Function
from advisor.engine.values import Number
from advisor.rulebook import GaugeModel

TABLE_ROWS: Final = 7
RELATIVE_DUST: Final = 1e-9


@dataclass(frozen=True, slots=True)
class Sweep:
    """The points of a computation over one input; at least one has a result."""

    function: Function
    inputs: tuple[Input, ...]
    gauges: Mapping[str, GaugeModel]
    stretch: Stretch
    swept: Input
    points: tuple[Point, ...]
    unit: units.Unit
    warnings: tuple[str, ...]

    def as_text(self, width: int) -> str:
        """For a person; no line of the chart is wider than `width`, the rest is not yet wrapped."""
        sections = (
            head_lines(self.function),
            self._input_lines(),
            self._chart_lines(width),
            self._table_lines(),
            note_lines(self.function),
            warning_lines(self.warnings),
            (f"source: {self.function.source}",),
        )
        return joined(sections)

    def as_data(self) -> dict[str, Any]:
        """For a program.

        name, formula, source, notes, inputs and warnings: as of one outcome (Outcome.as_data),
        without the swept input. sweep: parameter, unit, u (its standard uncertainty in that unit),
        gauge, and points, a list with value, si and (null where there is none) result, unit, u,
        result_si, u_si.
        """
        unit = self.stretch.start.unit
        return {
            **head_data(self.function),
            "inputs": [input_data(one) for one in self.inputs],
            "sweep": {
                "parameter": self.stretch.parameter.name,
                "unit": unit.symbol,
                "u": self.swept.u / unit.factor,
                "gauge": self.swept.gauge,
                "points": [self._point_data(point) for point in self.points],
            },
            "warnings": list(self.warnings),
        }

    def _point_data(self, point: Point) -> dict[str, Any]:
        return {
            "value": point.value / self.stretch.start.unit.factor,
            "si": point.value,
            **value_data(point.result, self.unit),
        }

    def _input_lines(self) -> Iterator[str]:
        yield from input_lines(self.function, self.inputs, self.gauges, self.stretch.parameter.name)
        swept = f"{self.stretch.start} to {self.stretch.end} in {self.stretch.steps} steps"
        known = f", u = {show_u(self.swept.u, self.stretch.start.unit)}" if self.swept.u else ""
        yield f"- {self.stretch.parameter.name}: swept from {swept}{known}"

    def _chart_lines(self, width: int) -> Iterator[str]:
        known = _known(self.points)
        lowest = min(known, key=lambda pair: pair[1].value)
        highest = max(known, key=lambda pair: pair[1].value)
        yield _axis_name(self.function.name, self.unit)
        yield from chart(
            [(x, result.value) for x, result in known],
            self._x_axis(),
            self._y_axis(lowest[1].value, highest[1].value),
            width,
        )
        yield f"across: {_axis_name(self.stretch.parameter.name, self.stretch.start.unit)}"
        for word, (x, result) in (("lowest", lowest), ("highest", highest)):
            at = units.show(x, self.stretch.start.unit)
            yield f"{word}: {units.show(result.value, self.unit)} at {at}"

    def _x_axis(self) -> Axis:
        unit, start, end = self.stretch.start.unit, self.stretch.start.si, self.stretch.end.si
        return Axis(start, end, _bare(start, unit), _bare(end, unit))

    def _y_axis(self, low: float, high: float) -> Axis:
        # What differs by rounding only is flat.
        if high - low <= RELATIVE_DUST * max(abs(low), abs(high)):
            low = high
        return Axis(low, high, _bare(low, self.unit), _bare(high, self.unit))

    def _table_lines(self) -> Iterator[str]:
        last = len(self.points) - 1
        rows = min(TABLE_ROWS, len(self.points))
        shown = [self.points[round(i * last / (rows - 1))] for i in range(rows)]
        values = [units.show(point.value, self.stretch.start.unit) for point in shown]
        lead = max(map(len, values))
        for value, point in zip(values, shown, strict=True):
            result = "no result" if point.result is None else show_result(point.result, self.unit)
            yield f"{value:>{lead}}  {result}"


def _known(points: tuple[Point, ...]) -> list[tuple[float, Number]]:
    return [(point.value, point.result) for point in points if point.result is not None]


def _axis_name(name: str, unit: units.Unit) -> str:
    return name if unit.symbol in ("1", "count") else f"{name} in {unit.symbol}"


def _bare(si: float, unit: units.Unit) -> str:
    """The number in that unit, without the unit."""
    return units.show(si, unit).removesuffix(f" {unit.symbol}")
