"""Which pictures the facts of a case allow, and the plain values that each of them shows.

Pictures hang on the functions of the catalog, not on the ids of a rulebook: any rulebook that
computes a ring stack's end play by that function gets the picture of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Final

from advisor import units
from advisor.computing import Shimmed, slope_changes
from advisor.driveline.rotation import order_frequencies
from advisor.engine.diagnosis import Diagnosis
from advisor.engine.rules import ByBand
from advisor.engine.values import Number
from advisor.page.driveline import Driveline
from advisor.page.limits import Band, Reading
from advisor.page.orders import OrderLines
from advisor.page.ringstack import RingStack
from advisor.report import Display, outcome_name
from advisor.rulebook import ComputedModel, Rulebook

SHOWN_READINGS: Final = 4
CHAINS: Final = {
    "residual-angle-two-piece": (4, ("first_crossed", "second_crossed")),
    "residual-angle": (3, ("crossed",)),
}
"""By function: how many members a driveline has, and which inputs say that forks are crossed."""


class Known:
    """What is known of a case, asked by the functions that the rulebook computes with."""

    def __init__(self, rulebook: Rulebook, diagnosis: Diagnosis, display: Display) -> None:
        self._rulebook = rulebook
        self._diagnosis = diagnosis
        self._display = display

    def order_lines(self) -> OrderLines | None:
        """The measured frequency beside what turns; None when it or its road speed is unknown."""
        for fact, model in self._computed_by("matching-order"):
            wheel = self._rulebook.computed.get(model.inputs["wheel_frequency"])
            if wheel is None or wheel.function != "wheel-frequency":
                continue
            speed_fact = wheel.inputs["road_speed"]
            read = self._numbers({**model.inputs, "road_speed": speed_fact})
            speed_unit = self._display.unit(speed_fact)
            frequency_unit = self._display.unit(model.inputs["measured"])
            if not {"measured", "wheel_frequency", "road_speed"} <= read.keys():
                continue
            if speed_unit is None or frequency_unit is None or read["road_speed"].value <= 0.0:
                continue
            matching = self._diagnosis.value(fact)
            return OrderLines(
                read["road_speed"],
                read["measured"],
                _orders(read),
                matching if isinstance(matching, str) else None,
                speed_unit,
                frequency_unit,
            )
        return None

    def ring_stack(self) -> RingStack | None:
        """The sizes of a joint and its end play; None unless all are known."""
        for fact, model in self._computed_by("ring-stack-end-play"):
            read = self._numbers({**model.inputs, "end_play": fact})
            unit = self._display.unit(fact)
            if len(read) == len(model.inputs) + 1 and unit is not None:
                return RingStack(
                    span_m=read["span"].value,
                    width_m=read["width"].value,
                    ring_1_m=read["ring_1"].value,
                    ring_2_m=read["ring_2"].value,
                    end_play=read["end_play"],
                    unit=unit,
                )
        return None

    def driveline(self) -> Driveline | None:
        """The slopes of all members; those of a two-piece shaft before those of its rear piece."""
        for function, (count, forks) in CHAINS.items():
            for _, model in self._computed_by(function):
                read = self._numbers(model.inputs)
                slopes = [read.get(f"slope_{number}") for number in range(1, count + 1)]
                headings = [read.get(f"heading_{number}") for number in range(1, count + 1)]
                unit = self._display.unit(model.inputs["slope_1"])
                known = [slope.value for slope in slopes if slope is not None]
                if len(known) < count or unit is None:
                    continue
                line = Driveline(
                    tuple(known),
                    tuple(heading.value if heading else 0.0 for heading in headings)
                    if any(headings)
                    else (),
                    tuple(self._is_true(model.inputs.get(fork)) for fork in forks),
                    unit,
                )
                if line.can_be:
                    return line
        return None

    def readings(self) -> tuple[Reading, ...]:
        """The end play against its limits, and whatever number is too close to call."""
        stacks = {fact for fact, _ in self._computed_by("ring-stack-end-play")}
        close = set(self._diagnosis.close_calls())
        found = (
            self._reading(finding.id, finding.source, finding.outcomes)
            for finding in self._rulebook.rules.findings
            if isinstance(finding.source, ByBand)
            and (finding.source.fact in stacks or finding.id in close)
        )
        return tuple(reading for reading in found if reading is not None)[:SHOWN_READINGS]

    def _reading(self, finding: str, source: ByBand, outcomes: Iterable[str]) -> Reading | None:
        number = self._diagnosis.value(source.fact)
        unit = self._display.unit(source.fact)
        if not isinstance(number, Number) or number.u <= 0.0 or unit is None:
            return None
        bands = tuple(
            Band(outcome_name(self._rulebook, finding, outcome), interval)
            for outcome, interval in zip(outcomes, source.bands, strict=True)
        )
        title = self._rulebook.findings[finding].says
        return Reading(f"reading-{finding}", title, number, bands, unit)

    def _computed_by(self, function: str) -> Iterator[tuple[str, ComputedModel]]:
        for fact, model in self._rulebook.computed.items():
            if model.function == function:
                yield fact, model

    def _numbers(self, facts: Mapping[str, str]) -> dict[str, Number]:
        values = {name: self._diagnosis.value(fact) for name, fact in facts.items()}
        return {name: value for name, value in values.items() if isinstance(value, Number)}

    def _is_true(self, fact: str | None) -> bool:
        return fact is not None and self._diagnosis.value(fact) is True


def _orders(read: Mapping[str, Number]) -> dict[str, float]:
    """The orders whose frequencies are known, in Hz."""
    known = {
        f"{name}_hz": read[name].value
        for name in ("wheel_frequency", "shaft_frequency", "engine_frequency")
        if name in read
    }
    cylinders = read["cylinders"].value if "cylinders" in read else None
    return order_frequencies(**known, cylinders=cylinders)


def shimmed_driveline(shimmed: Shimmed) -> Driveline:
    """The driveline of a file of shims at its worst load, with the slopes that they bring."""
    before = shimmed.choice.before
    number = max(range(len(before)), key=lambda index: before[index].residual_rad)
    load = shimmed.task.loads[number]
    turns = slope_changes(shimmed.task, shimmed.choice)
    shafts = len(load.slopes_rad) - 2
    return Driveline(
        load.slopes_rad,
        load.headings_rad,
        shimmed.task.crossed or (False,) * shafts,
        units.unit_named("deg"),
        tuple(slope + turn for slope, turn in zip(load.slopes_rad, turns, strict=True)),
        f"Load {load.name}",
    )
