"""One computation with its inputs and its result, as text or as data."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from advisor import units
from advisor.computing.groups import MEANINGS
from advisor.computing.inputs import Input, is_measured
from advisor.computing.limits import Judgement, judgement_data, judgement_lines
from advisor.computing.published import PublishedVerdict, published_data, published_lines
from advisor.computing.resultunits import show_u
from advisor.driveline.catalog import Function
from advisor.engine.values import Number, Value
from advisor.rulebook import GaugeModel

EXACT = "input taken as exact"


@dataclass(frozen=True, slots=True)
class Outcome:
    """A result with all that it was worked out from; `unit` is None when it is no number."""

    function: Function
    inputs: tuple[Input, ...]
    gauges: Mapping[str, GaugeModel]
    result: Value
    unit: units.Unit | None
    judgement: Judgement | None
    warnings: tuple[str, ...]
    published: tuple[PublishedVerdict, ...] = ()

    def as_text(self, width: int) -> str:
        """For a person, not yet wrapped; `width` is that of the window."""
        sections = (
            head_lines(self.function),
            input_lines(self.function, self.inputs, self.gauges),
            self._result_lines(),
            self._judgement_lines(),
            note_lines(self.function),
            warning_lines(self.warnings),
            (f"source: {self.function.source}",),
        )
        return joined(sections)

    def as_data(self) -> dict[str, Any]:
        """For a program.

        name, formula, source, notes: of the computation.
        inputs: a list, each with name, typed, value (a number in its unit, a text, or true and
        false), unit, u (standard uncertainty in that unit, 0 when exact), gauge, si, u_si.
        result, unit, u: the result in its unit with its standard uncertainty; result_si, u_si.
        What has no unit or no uncertainty has null there.
        verdict: null without a limit or with published ones, else limit, lower, upper, unit,
        decision ("within", "outside", "cannot-tell"), rule, guard, probability, largest_u_within,
        largest_u_outside, better_gauge (null or gauge, inputs, u, decision); numbers in its unit.
        published: a list, empty unless asked for, each with quantity, lower, upper, unit, whose,
        mark, decision, guard, probability; numbers in its unit.
        warnings: a list of sentences.
        """
        judged, unit = self.judgement, self.unit
        return {
            **head_data(self.function),
            "inputs": [input_data(one) for one in self.inputs],
            **value_data(self.result, unit),
            "verdict": judgement_data(judged, unit) if judged and unit else None,
            "published": published_data(self.published, unit) if unit else [],
            "warnings": list(self.warnings),
        }

    def _result_lines(self) -> Iterator[str]:
        yield f"result: {show_result(self.result, self.unit)}"
        uncertain = any(one.u > 0.0 for one in self.inputs)
        if uncertain and isinstance(self.result, Number):
            yield "(u and +/- are standard uncertainties)"

    def _judgement_lines(self) -> Iterator[str]:
        if self.judgement and self.unit:
            yield from judgement_lines(self.judgement, self.unit)
        if self.published and self.unit:
            yield from published_lines(self.published, self.unit)


def joined(sections: Iterable[Iterable[str]]) -> str:
    """The sections that have lines, parted by empty lines."""
    return "\n\n".join("\n".join(lines) for section in sections if (lines := list(section)))


def head_lines(function: Function) -> Iterator[str]:
    """What is computed, and how."""
    yield f"{function.name}: {MEANINGS[function.name]}"
    yield f"formula: {function.formula}"


def input_lines(
    function: Function,
    inputs: Iterable[Input],
    gauges: Mapping[str, GaugeModel],
    swept: str | None = None,
) -> Iterator[str]:
    """What was put in, as typed, and what was left out; `swept` comes from elsewhere."""
    yield "put in"
    names = {swept}
    for one in inputs:
        names.add(one.parameter.name)
        yield f"- {one.parameter.name}: {one.typed}{_certainty(one, gauges)}"
    for parameter in function.parameters:
        if parameter.optional and parameter.name not in names:
            yield f"- {parameter.name}: not given ({parameter.meaning})"


def _certainty(one: Input, gauges: Mapping[str, GaugeModel]) -> str:
    if not is_measured(one.parameter):
        return ""
    if one.u == 0.0 or one.unit is None:
        return f", {EXACT}"
    stated = f", u = {show_u(one.u, one.unit)}"
    if one.gauge is None:
        return stated
    gauge = gauges[one.gauge]
    return f"{stated} ({gauge.name}: step {gauge.step}, limit {gauge.limit})"


def note_lines(function: Function) -> Iterator[str]:
    """One line for each note that always holds; the others are warnings when they do."""
    for text in _lasting_notes(function):
        yield f"note: {text}"


def _lasting_notes(function: Function) -> list[str]:
    return [note.text for note in function.notes if note.parameter is None]


def warning_lines(warnings: Iterable[str]) -> Iterator[str]:
    """One line a warning."""
    for warning in warnings:
        yield f"warning: {warning}"


def show_result(result: Value, unit: units.Unit | None) -> str:
    """The result for a person; an option without its hyphens: "1x shaft"."""
    if isinstance(result, Number) and unit:
        return units.show(result.value, unit, result.u)
    if isinstance(result, bool):
        return "yes" if result else "no"
    return str(result).replace("-", " ")


def head_data(function: Function) -> dict[str, Any]:
    """Name, formula, source and notes of a computation as plain data."""
    return {
        "name": function.name,
        "formula": function.formula,
        "source": function.source,
        "notes": _lasting_notes(function),
    }


def input_data(one: Input) -> dict[str, Any]:
    """An input as plain data; see Outcome.as_data."""
    value = one.si / one.unit.factor if one.si is not None and one.unit else one.value
    return {
        "name": one.parameter.name,
        "typed": one.typed,
        "value": value,
        "unit": one.unit.symbol if one.unit else None,
        "u": one.u / one.unit.factor if one.unit else None,
        "gauge": one.gauge,
        "si": one.si,
        "u_si": one.u if one.unit else None,
    }


def value_data(result: Value | None, unit: units.Unit | None) -> dict[str, Any]:
    """A result as plain data, None where there is none; see Outcome.as_data."""
    if isinstance(result, Number) and unit:
        return {
            "result": result.value / unit.factor,
            "unit": unit.symbol,
            "u": result.u / unit.factor,
            "result_si": result.value,
            "u_si": result.u,
        }
    return {"result": result, "unit": None, "u": None, "result_si": None, "u_si": None}
