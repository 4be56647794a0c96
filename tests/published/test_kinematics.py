"""Published values of joints and chains: one joint (KIN), chains (DL), angles (CMP), couple (MOM).

Expected values, tolerances, sources and marks stand in check_values.yaml, entry by entry.
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any, Final

import pytest
from scipy.optimize import brentq  # type: ignore[import-untyped]

from advisor.driveline import angles, joints, phasing, rotation
from tests.published.values import (
    DATA,
    ENTRIES,
    Computations,
    Inputs,
    assert_reproduced,
    hertz,
    ids_of,
    parameters,
    rad,
)

FAMILIES: Final = ("KIN", "DL", "CMP", "MOM")


def _peak(inputs: Inputs) -> float:
    return joints.peak_acceleration(math.radians(inputs["beta_deg"]), hertz(inputs["rpm"]))


def _extreme_speeds(inputs: Inputs) -> list[float]:
    angle = math.radians(inputs["beta_deg"])
    return [inputs["rpm"] * joints.speed_ratio(angle, phase) for phase in (0.0, math.pi / 2)]


def _equal_speed_phase(inputs: Inputs) -> float:
    """Where the ratio, which falls from 1 / cos b to cos b in a quarter turn, passes 1."""
    angle = math.radians(inputs["beta_deg"])
    return math.degrees(
        brentq(lambda phase: joints.speed_ratio(angle, phase) - 1.0, 0.0, math.pi / 2)
    )


def _textbook_peak_phase(inputs: Inputs) -> float:
    """The textbook's short form; the exact root is 0.03 deg away (handbook section 1, D)."""
    angle = math.radians(inputs["beta_deg"])
    sine_squared = math.sin(angle) ** 2
    short = math.degrees(math.acos(2.0 * sine_squared / (2.0 - sine_squared)) / 2.0)
    exact = math.degrees(joints.peak_acceleration_phase(angle))
    assert exact == pytest.approx(41.4587, abs=1e-4)  # the entry's basis
    assert abs(exact - short) < 0.03
    return short


def _chain(inputs: Inputs) -> float:
    """Residual angle in rad of joints in one plane, by forks aligned or crossed, or by signs."""
    bends = rad(*inputs["beta_deg"])
    signs = inputs.get("signs") or [1, -1 if inputs["forks"] == "aligned" else 1]
    forks = [0.0 if sign > 0 else phasing.CROSSED_FORK_RAD for sign in signs]
    return phasing.residual_angle_of(
        phasing.Joint(bend, fork_rad=fork)
        for bend, fork in zip(bends, forks[: len(bends)], strict=True)
    )


def _two_joints(inputs: Inputs) -> float:
    bends = inputs["beta_deg"]
    first, second = rad(*(bends if isinstance(bends, list) else (bends, bends)))
    return phasing.residual_angle_of_joints(
        first,
        second,
        math.radians(inputs.get("plane_difference_deg", 0.0)),
        math.radians(inputs.get("twist_deg", 0.0)),
        crossed=inputs.get("forks") == "crossed",
    )


def _acceleration(residual_angle_rad: float, inputs: Inputs) -> float:
    return phasing.torsional_acceleration(residual_angle_rad, hertz(inputs["rpm"]))


def _angle_for(inputs: Inputs) -> float:
    return math.degrees(phasing.angle_for_acceleration(inputs["alpha"], hertz(inputs["rpm"])))


def _true_angle(inputs: Inputs) -> float:
    slope, heading = rad(inputs["V_deg"], inputs["H_deg"])
    return math.degrees(angles.joint_angle(slope, 0.0, heading, 0.0))


def _drawn_angle(inputs: Inputs) -> float:
    return math.degrees(angles.joint_angle_from_views(*rad(inputs["V_deg"], inputs["H_deg"])))


def _rule_of_thumb(inputs: Inputs) -> float:
    """The root of the sum of squares lies 0.03 to 0.12 % above both exact rules (the basis)."""
    thumb = math.hypot(inputs["V_deg"], inputs["H_deg"])
    for exact in (_true_angle(inputs), _drawn_angle(inputs)):
        assert 0.00028 < thumb / exact - 1.0 < 0.00122
    return thumb


def _neighbours(inputs: Inputs) -> list[float]:
    shafts = [rad(*shaft) for shaft in inputs["shafts_incl_heading_deg"]]
    return [
        math.degrees(angles.joint_angle(before[0], after[0], before[1], after[1]))
        for before, after in pairwise(shafts)
    ]


def _from_centres(inputs: Inputs) -> list[float]:
    slope = math.radians(inputs["end_shaft_incl_deg"])
    vector = [part / 1e3 for part in inputs["joint_vector_mm"]]
    angle = math.degrees(angles.joint_angle_from_centres(vector[0], vector[1], vector[2], slope))
    return [angle, angle]


def _couple(inputs: Inputs) -> tuple[float, float]:
    return inputs["T_Nm"], math.radians(inputs["beta_deg"])


COMPUTATIONS: Final[Computations] = {
    "KIN-01": lambda i: joints.speed_ratio(math.radians(i["beta_deg"]), 0.0),
    "KIN-02": lambda i: joints.speed_ratio(math.radians(i["beta_deg"]), math.pi / 2),
    "KIN-03": lambda i: joints.speed_ratio(*rad(i["beta_deg"], i["phi_deg"])),
    "KIN-04": lambda i: joints.fluctuation(math.radians(i["beta_deg"])),
    "KIN-05": lambda i: math.degrees(joints.angle_of_fluctuation(i["U"])),
    "KIN-06": _peak,
    "KIN-07": lambda i: joints.inertia_torque(i["mass_kg"], i["radius_gyration_m"], _peak(i)),
    "KIN-08": _equal_speed_phase,
    "KIN-09": lambda i: math.degrees(joints.angle_of_fluctuation(i["total_fluctuation"])),
    "KIN-10": _extreme_speeds,
    "KIN-11": _textbook_peak_phase,
    "KIN-12": lambda i: math.degrees(joints.lead(math.radians(i["beta_deg"]))),
    "KIN-13": lambda i: _acceleration(math.radians(i["beta_deg"]), i),
    "KIN-14": lambda i: rotation.order_frequencies(0.0, hertz(i["rpm"]))["2x-shaft"],
    "DL-01": lambda i: math.degrees(_two_joints(i)),
    "DL-02": lambda i: _acceleration(_two_joints(i), i),
    "DL-03": lambda i: math.degrees(_two_joints(i)),
    "DL-04": lambda i: _acceleration(_two_joints(i), i),
    "DL-05": lambda i: math.degrees(_chain(i)),
    "DL-06": lambda i: _acceleration(_chain(i), i),
    "DL-07": lambda i: math.degrees(_chain(i)),
    "DL-08": lambda i: math.degrees(_two_joints(i)),
    "DL-09": lambda i: _acceleration(_two_joints(i), i),
    "DL-10": lambda i: math.degrees(_two_joints(i)),
    "DL-11": lambda i: _acceleration(_two_joints(i), i),
    "DL-12": _angle_for,
    "DL-13": _angle_for,
    "DL-14": _angle_for,
    "DL-15": lambda i: math.degrees(
        phasing.allowed_second_angle(*rad(i["theta_res_deg"], i["beta1_deg"]))
    ),
    "DL-16": lambda i: _acceleration(math.radians(i["theta_res_deg"]), i),
    "DL-17": lambda i: [
        joints.peak_acceleration(angle, hertz(i["rpm"])) for angle in rad(*i["beta_deg"])
    ],
    "CMP-01": _drawn_angle,
    "CMP-02": _true_angle,
    "CMP-03": _rule_of_thumb,
    "CMP-04": _drawn_angle,
    "CMP-05": _true_angle,
    "CMP-06": _neighbours,
    "CMP-07": _from_centres,
    "CMP-08": lambda i: 1e3 * angles.centre_distance(*(x / 1e3 for x in i["joint_vector_mm"])),
    "MOM-01": lambda i: joints.driving_bending_moment(*_couple(i)),
    "MOM-02": lambda i: joints.driven_bending_moment(*_couple(i)),
    # A force at a lever of 1 m is the moment itself.
    "MOM-03": lambda i: [joints.support_force(*_couple(i), 1.0)] * 2,
    "MOM-04": lambda i: [
        joints.greatest_driven_torque(*_couple(i)),
        joints.smallest_driven_torque(*_couple(i)),
    ],
    "MOM-05": lambda i: joints.support_force(*_couple(i), i["L_m"]),
}


@pytest.mark.parametrize("name", parameters(*FAMILIES))
def test_published_value_is_reproduced(name: str) -> None:
    """Each entry within its own tolerance."""
    assert_reproduced(name, COMPUTATIONS)


def test_every_entry_of_these_families_is_computed() -> None:
    """No entry of the file may be left out by forgetting it."""
    assert list(COMPUTATIONS) == ids_of(*FAMILIES)


@pytest.mark.parametrize(
    "row", [pytest.param(row, id=f"{row['beta_deg']}deg") for row in DATA["joint_table"]]
)
def test_joint_table_row_is_reproduced(row: dict[str, Any]) -> None:
    """Handbook 0.3 (D). Ratio and U abs 2e-6, lead abs 1e-4 deg, acceleration rel 1e-4."""
    angle = math.radians(row["beta_deg"])
    assert joints.speed_ratio(angle, 0.0) == pytest.approx(row["max"], abs=2e-6)
    assert joints.speed_ratio(angle, math.pi / 2) == pytest.approx(row["min"], abs=2e-6)
    assert joints.fluctuation(angle) == pytest.approx(row["U"], abs=2e-6)
    assert math.degrees(joints.lead(angle)) == pytest.approx(row["lead_deg"], abs=1e-4)
    one_rad_per_s = 1.0 / (2.0 * math.pi)
    exact = joints.peak_acceleration(angle, one_rad_per_s)
    assert exact == pytest.approx(row["acc"], rel=1e-4)
    short = phasing.torsional_acceleration(angle, one_rad_per_s)
    assert short == pytest.approx(row["beta_sq"], rel=1e-4)


_COLUMNS: Final = DATA["angle_for_acceleration_deg"]["columns"]


@pytest.mark.parametrize("row", DATA["angle_for_acceleration_deg"]["rows"], ids=lambda r: str(r[0]))
def test_angle_for_acceleration_row_is_reproduced(row: list[float]) -> None:
    """Handbook 0.3 (D), abs 0.01 deg."""
    for column, expected in zip(_COLUMNS[1:], row[1:], strict=True):
        acceleration = float(column.removeprefix("alpha_"))
        got = math.degrees(phasing.angle_for_acceleration(acceleration, hertz(row[0])))
        assert got == pytest.approx(expected, abs=0.01)


def test_textbook_answers_lie_within_their_print() -> None:
    """Khurmi and Gupta, Theory of Machines (M): 3090 rad/s^2, 371 N*m, 44.3 and 19.64 deg."""
    assert COMPUTATIONS["KIN-06"](ENTRIES["KIN-06"]["inputs"]) == pytest.approx(3090, rel=0.005)
    assert COMPUTATIONS["KIN-07"](ENTRIES["KIN-07"]["inputs"]) == pytest.approx(371, rel=0.005)
    assert COMPUTATIONS["KIN-08"](ENTRIES["KIN-08"]["inputs"]) == pytest.approx(44.3, abs=0.05)
    assert COMPUTATIONS["KIN-09"](ENTRIES["KIN-09"]["inputs"]) == pytest.approx(19.64, abs=0.01)
