"""What can be computed, and what one computation needs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from advisor import units
from advisor.computing.errors import listed, quote, usage
from advisor.computing.gauges import in_words
from advisor.computing.groups import GROUPS, MEANINGS
from advisor.computing.inputs import is_measured, is_number
from advisor.computing.outcome import head_data, head_lines, joined
from advisor.computing.published import RESERVE, bounds
from advisor.computing.ranges import usual_range
from advisor.computing.resultunits import result_unit
from advisor.driveline.catalog import Function, Parameter
from advisor.driveline.published_limits import PUBLISHED_LIMITS, QUANTITIES_OF


@dataclass(frozen=True, slots=True)
class Listing:
    """All computations, by groups."""

    def as_text(self, width: int) -> str:
        """For a person, a line each, not yet wrapped; `width` is that of the window."""
        groups = [_group_lines(title, group) for title, group in GROUPS.items()]
        return joined([*groups, ("what one needs: advisor compute NAME",)])

    def as_data(self) -> dict[str, Any]:
        """For a program: computations, a list, each with name, meaning and group."""
        computations = [
            {"name": name, "meaning": meaning, "group": title}
            for title, group in GROUPS.items()
            for name, meaning in group.items()
        ]
        return {"computations": computations}


def _group_lines(title: str, group: Any) -> Iterator[str]:
    yield title
    for name, meaning in group.items():
        yield f"- {name}: {meaning}"


@dataclass(frozen=True, slots=True)
class Description:
    """What one computation needs and gives."""

    function: Function

    def as_text(self, width: int) -> str:
        """For a person, not yet wrapped; `width` is that of the window."""
        function = self.function
        needed = [one for one in function.parameters if not one.optional]
        optional = [one for one in function.parameters if one.optional]
        return joined(
            (
                head_lines(function),
                self._parameter_lines("needs", needed),
                self._parameter_lines("may be given", optional),
                (f"gives {_kind(function.result, function.options)}",),
                self._unit_lines(),
                self._uncertainty_lines(),
                self._note_lines(),
                self._published_lines(),
                (f"source: {function.source}", usage(function)),
            )
        )

    def _parameter_lines(self, title: str, parameters: list[Parameter]) -> Iterator[str]:
        if parameters:
            yield title
        for one in parameters:
            usual = usual_range(self.function, one)
            expected = f"; usually {usual[0]} to {usual[1]}" if usual else ""
            kind = _kind(one.dimension, one.options)
            yield f"- {one.name}: {one.meaning} ({kind}{expected})"

    def _unit_lines(self) -> Iterator[str]:
        dimensions = [one.dimension for one in self.function.parameters if is_number(one)]
        if dimensions:
            yield "units"
        for dimension in dict.fromkeys(dimensions):
            yield f"- {in_words(dimension)}: {_units(dimension)}"

    def _uncertainty_lines(self) -> Iterator[str]:
        measured = next((one for one in self.function.parameters if is_measured(one)), None)
        if measured is None:
            return
        unit = units.units_of(measured.dimension)[0]
        shown = "" if unit.symbol == "1" else f" {unit.symbol}"
        yield (
            f'standard uncertainty of an input: {measured.name}="...{shown} +/- ...{shown}", or '
            f"--gauge {measured.name}=GAUGE with a gauge of the rulebook; with neither it is "
            "taken as exact"
        )

    def _note_lines(self) -> Iterator[str]:
        for note in self.function.notes:
            yield f"note: {note.text}" if note.parameter is None else f"warns when {note.text}"

    def _published_lines(self) -> Iterator[str]:
        """Limits of the result, in the unit that it is shown in by default."""
        unit = result_unit(self.function, ())
        quantities = QUANTITIES_OF.get(self.function.name, ())
        if unit is None or not quantities:
            return
        yield f"limits for --limit published; {RESERVE}"
        for quantity in quantities:
            for limit in PUBLISHED_LIMITS[quantity]:
                yield f"- {bounds(limit, unit)}, {limit.name}"

    def as_data(self) -> dict[str, Any]:
        """For a program: name, meaning, formula, source, parameters (each with name, dimension,
        meaning, optional, units, options, usual), result (a dimension, "choice" or "yes-no"),
        options, notes (a list of texts) and published (a list of the quantities that have published
        limits). `usual` is null or the smallest and the greatest usual value, as texts.
        """
        function = self.function
        return {
            **head_data(function),
            "meaning": MEANINGS[function.name],
            "parameters": [self._parameter_data(one) for one in function.parameters],
            "result": function.result,
            "options": list(function.options),
            "notes": [note.text for note in function.notes],
            "published": list(QUANTITIES_OF.get(function.name, ())),
        }

    def _parameter_data(self, one: Parameter) -> dict[str, Any]:
        usual = usual_range(self.function, one)
        return {
            "name": one.name,
            "dimension": one.dimension,
            "meaning": one.meaning,
            "optional": one.optional,
            "units": _symbols(one.dimension) if is_number(one) else [],
            "options": list(one.options),
            "usual": list(usual) if usual else None,
        }


def _kind(dimension: str, options: tuple[str, ...]) -> str:
    """The dimension in words, or the options that may be written."""
    return f"one of {listed(map(quote, options), 'or')}" if options else in_words(dimension)


def _units(dimension: str) -> str:
    symbols = [symbol for symbol in _symbols(dimension) if symbol not in ("1", "count")]
    bare = ["none"] if dimension in ("ratio", "count") else []
    return listed([*bare, *symbols], "or")


def _symbols(dimension: str) -> list[str]:
    return [unit.symbol for unit in units.units_of(dimension)]
