"""Published values of speeds and readings: rotation (ROT), felt vibration (NVH), safety (SAF),
orders (CAU-02, CAU-03), uncertainty (UNC).

Expected values, tolerances, sources and marks stand in check_values.yaml, entry by entry.
"""

from __future__ import annotations

import math
from typing import Final

import pytest

from advisor import units
from advisor.driveline import rotation, shafts, tyres, uncertainty, vibration
from advisor.driveline.fit import ring_stack_end_play
from advisor.driveline.phasing import residual_angle_of_joints
from advisor.engine.values import Interval, Number, probability_within
from tests.published.values import (
    Computations,
    Inputs,
    assert_reproduced,
    hertz,
    ids_of,
    parameters,
)

FAMILIES: Final = ("ROT", "UNC", "NVH", "SAF", "CAU")
OF_THE_RULEBOOK: Final = {"CAU-01"}
"""Counts the causes of a catalogue; no computation of a driveline."""

MM: Final = 1e-3
MPH: Final = 1609.344 / 3600.0
MILE: Final = 1609.344
KMH: Final = 1.0 / 3.6


def _size(inputs: Inputs) -> str:
    return f"{inputs['width']}/{inputs['aspect']}R{inputs['rim_in']}"


def _turns(inputs: Inputs) -> list[float]:
    way = rotation.rolling_circumference(inputs["D_mm"] * MM, inputs["factor"])
    return [1000.0 / way, MILE / way]


def _decoded_factor(inputs: Inputs) -> float:
    diameter = tyres.tyre_diameter(_size(inputs))
    return rotation.rolling_factor(diameter, 5.0 * MPH, inputs["Hz_at_5mph"])


def _shaft(inputs: Inputs) -> list[float]:
    shaft = rotation.shaft_frequency(inputs["wheel_Hz"], inputs["axle"])
    orders = rotation.order_frequencies(inputs["wheel_Hz"], shaft)
    return [orders["1x-shaft"], 60.0 * shaft, orders["2x-shaft"]]


def _engine_rpm(inputs: Inputs) -> list[float]:
    shaft = hertz(inputs["shaft_rpm"])
    return [60.0 * rotation.engine_frequency(shaft, gear) for gear in inputs["gear"]]


def _trade_constant(inputs: Inputs) -> float:
    """Engine rpm at 1 mph with a ratio of 1 and a tyre of 1 in that doesn't flatten."""
    assert not inputs
    wheel = rotation.wheel_frequency(MPH, 0.0254, 1.0)
    return 60.0 * rotation.engine_frequency(rotation.shaft_frequency(wheel, 1.0), 1.0)


def _trade_speed(inputs: Inputs) -> float:
    wheel = hertz(inputs["rpm"]) / inputs["ratio"]
    return rotation.road_speed(wheel, inputs["D_in"] * 0.0254, 1.0) / MPH


def _separation(inputs: Inputs) -> float:
    """3x engine is the firing order of six cylinders; direct drive turns both alike."""
    orders = rotation.order_frequencies(10.0, 40.0, 40.0, 2 * inputs["order_b"])
    return orders["firing-order"] / orders[f"{inputs['order_a']}x-shaft"]


def _label(order: str) -> str:
    return order.replace("-", " ")


def _parted(inputs: Inputs) -> list[float]:
    shaft = hertz(inputs["shaft_rpm"])
    in_direct_drive = rotation.order_frequencies(0.0, shaft, shaft, inputs["cyl"])
    assert in_direct_drive["2x-shaft"] == in_direct_drive["firing-order"]
    engine = rotation.engine_frequency(shaft, inputs["gear"])
    orders = rotation.order_frequencies(0.0, shaft, engine, inputs["cyl"])
    return [orders["2x-shaft"], orders["firing-order"]]


def _caliper_stack(inputs: Inputs) -> list[float]:
    """End play from four readings, by propagation through the function itself."""
    readings = {"span_m": 80.0, "width_m": 76.95, "ring_1_m": 1.5, "ring_2_m": 1.52}
    assert len(readings) == inputs["n"]
    each = {name: float(inputs["u_each"]) for name in readings}
    _, u = uncertainty.propagate(ring_stack_end_play, readings, each)
    return [u, uncertainty.expanded_uncertainty(u)]


def _one_indicator(inputs: Inputs) -> list[float]:
    u = uncertainty.gauge_uncertainty(inputs["step"], inputs["mpe"])
    return [u, uncertainty.expanded_uncertainty(u)]


def _mixed_stack(inputs: Inputs) -> float:
    micrometer = uncertainty.gauge_uncertainty(inputs["mic_step"], inputs["mic_mpe"])
    return uncertainty.combined_uncertainty([inputs["u_cal"]] * 2 + [micrometer] * 2)


def _zone(inputs: Inputs) -> list[float]:
    return list(uncertainty.acceptance_zone(inputs["lower"], inputs["upper"], inputs["U"]))


def _proved(inputs: Inputs) -> list[float]:
    limits = (Interval(0.0, 0.05, True, True),)
    return [probability_within(Number(inputs["y"], u), limits) for u in inputs["u"]]


def _angle_difference(inputs: Inputs) -> list[float]:
    one = uncertainty.gauge_uncertainty(inputs["step"], inputs["mpe"])
    u = uncertainty.combined_uncertainty((one, one))
    return [u, uncertainty.expanded_uncertainty(u)]


def _near_cancelling(inputs: Inputs) -> float:
    bends = {f"joint_angle_{n}_rad": math.radians(b) for n, b in enumerate(inputs["b"], start=1)}
    widths = dict.fromkeys(bends, math.radians(inputs["u"]))
    return math.degrees(uncertainty.propagate(residual_angle_of_joints, bends, widths)[1])


def _shared_offset(inputs: Inputs) -> float:
    """What one zero offset, in all four readings alike, does to the end play."""
    readings, offset = (80.0, 76.95, 1.5, 1.52), 0.25
    assert len(readings) == len(inputs["signs"])
    shifted = ring_stack_end_play(*(reading + offset for reading in readings))
    return abs(shifted - ring_stack_end_play(*readings)) / offset


COMPUTATIONS: Final[Computations] = {
    "ROT-01": lambda i: tyres.tyre_diameter(_size(i)) / MM,
    "ROT-02": _turns,
    "ROT-03": _decoded_factor,
    "ROT-04": _decoded_factor,
    "ROT-05": lambda i: rotation.frequency_at_speed(i["Hz_at_5mph"], 5.0 * MPH, i["mph"] * MPH),
    "ROT-06": lambda i: rotation.wheel_frequency(i["kmh"] * KMH, i["D_mm"] * MM, i["factor"]),
    "ROT-07": _shaft,
    "ROT-08": _engine_rpm,
    "ROT-09": _trade_constant,
    "ROT-10": _trade_speed,
    "ROT-11": lambda i: [rotation.firing_frequency(hertz(i["rpm"]), count) for count in i["cyl"]],
    "ROT-12": lambda i: _label(rotation.matching_order(i["f"], i["wheel"], i["shaft"])),
    "ROT-13": _separation,
    "ROT-14": lambda i: vibration.record_length(i["df_Hz"]),
    "UNC-01": lambda i: uncertainty.gauge_uncertainty(i["step"], 0.0),
    "UNC-02": lambda i: uncertainty.gauge_uncertainty(0.0, i["a"]),
    "UNC-03": lambda i: uncertainty.gauge_uncertainty(i["step"], i["mpe"]),
    "UNC-04": _caliper_stack,
    "UNC-05": _one_indicator,
    "UNC-06": _mixed_stack,
    "UNC-07": _zone,
    "UNC-08": lambda i: uncertainty.acceptance_zone_width(i["lower"], i["upper"], i["U"]),
    "UNC-09": _proved,
    "UNC-10": _angle_difference,
    "UNC-11": _near_cancelling,
    "UNC-12": _shared_offset,
    "NVH-01": lambda i: 1e6 * vibration.displacement_amplitude(i["a"], i["f"]),
    "NVH-02": lambda i: 1e3 * vibration.velocity_amplitude(i["a"], i["f"]),
    "NVH-03": lambda i: [
        units.parse(f"{f} Hz", "frequency").si / units.unit_named("rpm").factor for f in i["Hz"]
    ],
    "SAF-01": lambda i: (
        rotation.free_wheel_speed(i["indicated"] * MPH, i["wheel_held"] * MPH) / MPH
    ),
    # With a radius of gyration of 1 m the mass is the moment of inertia.
    "SAF-02": lambda i: shafts.stored_energy(i["J"], 1.0, hertz(i["rpm"])),
    "CAU-02": lambda i: _label(
        rotation.matching_order(i["f"], i["wheel"], i["shaft"], i["engine"], i["cyl"])
    ),
    "CAU-03": _parted,
}


@pytest.mark.parametrize("name", [p for p in parameters(*FAMILIES) if p.values[0] != "CAU-01"])
def test_published_value_is_reproduced(name: str) -> None:
    """Each entry within its own tolerance."""
    assert_reproduced(name, COMPUTATIONS)


def test_every_entry_of_these_families_is_computed() -> None:
    """No entry of the file may be left out by forgetting it."""
    assert set(COMPUTATIONS) == set(ids_of(*FAMILIES)) - OF_THE_RULEBOOK
