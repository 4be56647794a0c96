"""The rulebook's gauges: their uncertainty for the inputs, and the one that would tell."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from advisor.computing.errors import quote, refused
from advisor.computing.inputs import Input
from advisor.driveline.catalog import Function
from advisor.engine.values import Number
from advisor.rulebook import Rulebook, did_you_mean


def with_gauges(
    function: Function, inputs: Iterable[Input], gauges: Mapping[str, str], rulebook: Rulebook
) -> tuple[Input, ...]:
    """The inputs with the uncertainties of the gauges that they were read with.

    `gauges` gives the gauge id by parameter. Raises ComputeError.
    """
    problems: list[str] = []
    measured: list[Input] = []
    for one in inputs:
        gauge = gauges.get(one.parameter.name)
        problem = _problem(one, gauge, rulebook) if gauge is not None else None
        if problem:
            problems.append(f"--gauge {one.parameter.name}: {problem}")
        measured.append(one if problem or gauge is None else read_with(one, gauge, rulebook))
    given = {one.parameter.name for one in measured}
    for name in gauges:
        if name not in given:
            problems.append(f"--gauge {name}: no value is given for {name}")
    if problems:
        raise refused(function, *problems)
    return tuple(measured)


def _problem(one: Input, gauge: str, rulebook: Rulebook) -> str | None:
    dimension = one.parameter.dimension
    if gauge not in rulebook.gauges:
        able = [name for name, it in rulebook.gauge_reading.items() if dimension in it.uncertainty]
        near = did_you_mean(gauge, able) or f"none of them reads {in_words(dimension)}"
        return f"{quote(gauge)} is no gauge of the rulebook; {near}"
    reading = rulebook.gauge_reading[gauge].uncertainty
    if dimension not in reading:
        reads = " and ".join(in_words(name) for name in reading)
        return f"the {gauge} reads {reads}, but {one.parameter.name} is {in_words(dimension)}"
    if one.u > 0.0:
        return f'its uncertainty is already given by "+/-"; leave out that or the {gauge}'
    return None


def read_with(one: Input, gauge: str, rulebook: Rulebook) -> Input:
    """The input as read with that gauge, which must be able to."""
    assert one.si is not None, f"{one.parameter.name} is no number"
    u = rulebook.gauge_reading[gauge].uncertainty[one.parameter.dimension]
    return replace(one, value=Number(one.si, u), gauge=gauge)


def in_words(dimension: str) -> str:
    """The dimension with its article, as "an angular acceleration"."""
    words = {"text": "text", "yes-no": "yes or no"}
    article = "an" if dimension[0] in "aeiou" else "a"
    return words.get(dimension) or f"{article} {dimension.replace('-', ' ')}"
