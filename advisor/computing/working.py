"""A computation carried out: the result, and what to say of the numbers put in."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from advisor.computing.errors import refused
from advisor.computing.inputs import Input
from advisor.computing.ranges import range_warning
from advisor.driveline.catalog import Function
from advisor.engine.rules import ComputationError
from advisor.engine.values import Value
from advisor.rulebook.functions import compute


def work_out(function: Function, inputs: Iterable[Input]) -> Value:
    """The result in SI units, a number with its standard uncertainty. Raises ComputeError."""
    try:
        return compute(function, {one.parameter.name: one.value for one in inputs})
    except ComputationError as error:
        raise refused(function, str(error)) from error


def warnings_about(function: Function, inputs: Iterable[Input]) -> Iterator[str]:
    """What is unusual about the inputs, and what the result does not say of them."""
    uncertain = False
    for one in inputs:
        uncertain = uncertain or one.u > 0.0
        if one.si is not None and one.unit is not None:
            warning = range_warning(function, one.parameter, one.si, one.unit)
            if warning:
                yield warning
            yield from notes_about(function, one.parameter.name, one.si)
    if uncertain and function.result in ("choice", "yes-no"):
        yield "the result is no number: it leaves the uncertainty of the inputs out of account"


def notes_about(function: Function, name: str, *numbers: float) -> Iterator[str]:
    """What the computation says of that input when one of the numbers, in SI units, is so small."""
    smallest = min(numbers)
    for note in function.notes:
        if note.parameter == name and smallest < note.below:
            yield note.text
