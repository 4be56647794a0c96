"""The verb `compute`: from the words of the command line to what it answers."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Final, Protocol

from advisor import units
from advisor.computing.errors import ComputeError, quote, refused
from advisor.computing.gauges import with_gauges
from advisor.computing.inputs import Input, gauge_pairs, read_inputs
from advisor.computing.limits import Limit, judge, read_limit
from advisor.computing.listing import Description, Listing
from advisor.computing.outcome import Outcome
from advisor.computing.published import asks_for_published, judge_published, read_quantities
from advisor.computing.ranges import range_warning
from advisor.computing.resultunits import result_unit
from advisor.computing.sweep import Stretch, read_stretch, sweep_points
from advisor.computing.sweeping import Sweep
from advisor.computing.working import notes_about, warnings_about, work_out
from advisor.driveline.catalog import FUNCTIONS, Function
from advisor.engine.values import Number
from advisor.rulebook import GaugeModel, Rulebook, did_you_mean

FORMAT: Final = 1  # of the JSON form; raised when a field changes its meaning or goes


class Answer(Protocol):
    """What the verb has to say, for a person and for a program."""

    def as_text(self, width: int) -> str:
        """Lines not yet wrapped, but for a chart, which keeps to `width` columns."""

    def as_data(self) -> dict[str, Any]:
        """Plain data for JSON; each kind of answer says what is in it."""


def answer_data(found: Answer) -> dict[str, Any]:
    """The whole JSON of an answer, after the number of its format."""
    return {"format": FORMAT, **found.as_data()}


@dataclass(frozen=True, slots=True)
class Request:
    """The words of one command: the computation, its inputs, and what else was asked.

    `shown_in` is the user's own unit by dimension, for a result that no input gives a unit.
    """

    name: str | None = None
    inputs: tuple[str, ...] = ()
    gauges: tuple[str, ...] = ()
    limit: str | None = None
    sweep: str | None = None
    shown_in: Mapping[str, units.Unit] = field(default_factory=dict)


def answer(request: Request, rulebook: Callable[[], Rulebook]) -> Answer:
    """The list of computations, what one needs, its result, or a sweep.

    `rulebook` is called when gauges are named. Raises ComputeError, and what `rulebook` raises.
    """
    if request.name is None:
        _refuse_without_name(request)
        return Listing()
    function = _function(request.name)
    extras = request.gauges or request.limit is not None or request.sweep is not None
    if not request.inputs and not extras:
        return Description(function)
    if request.sweep is None:
        return _outcome(function, request, rulebook)
    if request.limit is not None:
        raise refused(function, "--limit judges one result, --sweep gives many; leave one out")
    return _sweep(function, request, request.sweep, rulebook)


def _refuse_without_name(request: Request) -> None:
    options = {"--gauge": request.gauges, "--limit": request.limit, "--sweep": request.sweep}
    for option, typed in options.items():
        if typed:
            raise _no_computation(f"{option} needs the name of a computation before it")


def _function(name: str) -> Function:
    if name in FUNCTIONS:
        return FUNCTIONS[name]
    if "=" in name:
        raise _no_computation(f"read {quote(name)}; the name of the computation comes first")
    near = did_you_mean(name, FUNCTIONS)
    raise _no_computation(f"{quote(name)} is no computation{f'; {near}' if near else ''}")


def _no_computation(problem: str) -> ComputeError:
    usage = "usage: advisor compute NAME INPUT=VALUE ... (advisor compute lists the names)"
    return ComputeError([problem], usage)


def _outcome(function: Function, request: Request, rulebook: Callable[[], Rulebook]) -> Outcome:
    gauges = gauge_pairs(function, request.gauges)
    limit, quantities = _limit(function, request.limit)
    inputs = read_inputs(function, request.inputs)
    book = rulebook() if gauges else None
    if book:
        inputs = with_gauges(function, inputs, gauges, book)
    result = work_out(function, inputs)
    number = result if isinstance(result, Number) else None
    return Outcome(
        function,
        inputs,
        _gauges_of(book),
        result,
        _unit(function, inputs, request),
        judge(function, inputs, number, limit, book) if limit and number else None,
        tuple(warnings_about(function, inputs)),
        judge_published(function, inputs, number, quantities) if number else (),
    )


def _limit(function: Function, text: str | None) -> tuple[Limit | None, tuple[str, ...]]:
    """The limit that was typed, or the quantities whose published limits were asked for."""
    if text is None:
        return None, ()
    if asks_for_published(text):
        return None, read_quantities(function, text)
    return read_limit(function, text), ()


def _sweep(
    function: Function, request: Request, sweep: str, rulebook: Callable[[], Rulebook]
) -> Sweep:
    gauges = gauge_pairs(function, request.gauges)
    stretch = read_stretch(function, sweep)
    inputs = read_inputs(function, request.inputs, without=stretch.parameter.name)
    start = stretch.start
    swept = Input(stretch.parameter, start.text, Number(start.si), start.unit)
    book = rulebook() if gauges else None
    if book:
        *inputs_read, swept = with_gauges(function, (*inputs, swept), gauges, book)
        inputs = tuple(inputs_read)
    points, reason = sweep_points(function, inputs, stretch, swept)
    unit = _unit(function, (*inputs, swept), request)
    assert unit is not None, f"{function.name} gives no number"
    warnings = [*warnings_about(function, inputs), *_end_warnings(function, stretch)]
    if reason:
        without = sum(point.result is None for point in points)
        warnings.append(f"no result at {without} of {len(points)} points: {reason}")
    return Sweep(function, inputs, _gauges_of(book), stretch, swept, points, unit, tuple(warnings))


def _end_warnings(function: Function, stretch: Stretch) -> list[str]:
    ends = (stretch.start, stretch.end)
    found = (range_warning(function, stretch.parameter, end.si, end.unit) for end in ends)
    notes = notes_about(function, stretch.parameter.name, *(end.si for end in ends))
    return [*(warning for warning in found if warning), *notes]


def _gauges_of(book: Rulebook | None) -> Mapping[str, GaugeModel]:
    return book.gauges if book else {}


def _unit(function: Function, inputs: tuple[Input, ...], request: Request) -> units.Unit | None:
    return result_unit(function, [one.unit for one in inputs if one.unit], request.shown_in)
