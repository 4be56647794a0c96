"""How numbers are read: the uncertainty of each gauge, and the range of each question."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from advisor import units
from advisor.driveline.uncertainty import gauge_uncertainty

from .conditions import read_amount
from .draft import Draft, Item
from .facts import FactTypes
from .models import GaugeModel, NumberQuestion, QuestionModel


@dataclass(frozen=True, slots=True)
class GaugeReading:
    """The standard uncertainty of a gauge's reading in SI, by the dimensions that it can read."""

    uncertainty: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Measure:
    """How a number question is read: its gauge's standard uncertainty and its range, in SI."""

    u: float
    range: tuple[float, float] | None


def gauge_readings(draft: Draft) -> dict[str, GaugeReading]:
    """What each gauge can read; a step or limit that is no amount is noted."""
    return {gauge.id: _gauge_reading(draft, gauge) for gauge in draft.gauges.values()}


def _gauge_reading(draft: Draft, gauge: Item[GaugeModel]) -> GaugeReading:
    steps = _readings(draft, gauge, "step", gauge.model.step)
    limits = _readings(draft, gauge, "limit", gauge.model.limit)
    both = [dimension for dimension in steps if dimension in limits]
    if steps and limits and not both:
        message = f"step and limit of the {gauge.called} are in units of different dimensions"
        draft.complain(gauge, ("limit",), "wrong-quantity", message)
    return GaugeReading({one: gauge_uncertainty(steps[one], limits[one]) for one in both})


def _readings(draft: Draft, gauge: Item[GaugeModel], name: str, text: str) -> dict[str, float]:
    """The amount in SI by each dimension in which it can be read; none is a problem."""
    sound = dimensions_of(text)
    if not sound:
        message = f'"{text}" is not an amount (0 or more) with a unit that is known'
        draft.complain(gauge, (name,), "wrong-quantity", message)
    return sound


def dimensions_of(text: str) -> dict[str, float]:
    """The amount (0 or more) in SI units by each dimension in which the text can be read."""
    readings = {one: _si(text, one) for one in units.DIMENSIONS}
    return {one: si for one, si in readings.items() if si is not None}


def _si(text: str, dimension: str) -> float | None:
    try:
        si = units.parse(text, dimension).si
    except units.UnitError:
        return None
    return si if si >= 0.0 else None


def measures(
    draft: Draft, types: FactTypes, gauges: Mapping[str, GaugeReading]
) -> dict[str, Measure]:
    """How each number question is read; a gauge or range that does not fit is noted."""
    found: dict[str, Measure] = {}
    for item in draft.questions.values():
        kind = types[item.id]
        if isinstance(item.model, NumberQuestion) and kind is not None and kind.unit is not None:
            gauge = gauges.get(item.model.gauge or "")
            u = _uncertainty(draft, item, gauge, kind.unit) if gauge else 0.0
            found[item.id] = Measure(u, _range(draft, item, item.model, kind.unit.dimension))
    return found


def _uncertainty(
    draft: Draft, item: Item[QuestionModel], gauge: GaugeReading, unit: units.Unit
) -> float:
    if gauge.uncertainty and unit.dimension not in gauge.uncertainty:
        able = ", ".join(gauge.uncertainty)
        message = (
            f"the gauge reads {able}, but {item.called} is in {unit.symbol} ({unit.dimension})"
        )
        draft.complain(item, ("gauge",), "wrong-dimension", message)
    return gauge.uncertainty.get(unit.dimension, 0.0)


def _range(
    draft: Draft, item: Item[QuestionModel], model: NumberQuestion, dimension: str
) -> tuple[float, float] | None:
    if model.range is None:
        return None
    ends = [
        read_amount(draft, item, ("range", index), amount, dimension)
        for index, amount in enumerate(model.range)
    ]
    if ends[0] is None or ends[1] is None:
        return None
    if ends[0] >= ends[1]:
        message = f"the range goes from the smaller to the greater; read {', '.join(model.range)}"
        draft.complain(item, ("range",), "reversed-range", message)
        return None
    return ends[0], ends[1]
