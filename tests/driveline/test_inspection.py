"""What hand and gauge find on one joint: effort, wear, dents."""

from __future__ import annotations

import math

import numpy as np
import pytest

from advisor.driveline import inspection
from advisor.driveline.uncertainty import propagate

TRUNNION = {"unworn_diameter_m": 15.998e-3, "worn_diameter_m": 15.950e-3}


def test_turning_effort_at_a_right_angle_is_pull_times_arm() -> None:
    """10 N at 80 mm by hand: 0.8 N*m. rel 1e-12."""
    assert inspection.turning_effort(10.0, 0.08) == pytest.approx(0.8, rel=1e-12)


@pytest.mark.parametrize("angle_deg", [20.0, 90.0, 150.0])
def test_turning_effort_agrees_with_the_vector_product(angle_deg: float) -> None:
    """Arm along x, pull at the angle to it. rel 1e-12."""
    angle = math.radians(angle_deg)
    torque = np.cross([0.08, 0.0, 0.0], [10.0 * math.cos(angle), 10.0 * math.sin(angle), 0.0])
    ours = inspection.turning_effort(10.0, 0.08, angle)
    assert ours == pytest.approx(float(torque[2]), rel=1e-12)


def test_turning_effort_carries_the_scale_s_uncertainty() -> None:
    """0.5 N at 80 mm: 0.04 N*m. rel 1e-9."""
    inputs = {"pull_n": 12.0, "lever_arm_m": 0.08}
    value, u = propagate(inspection.turning_effort, inputs, {"pull_n": 0.5})
    assert (value, u) == pytest.approx((0.96, 0.04), rel=1e-9)


def test_trunnion_step_is_half_of_what_the_diameter_lost() -> None:
    """15.998 mm at the seal, 15.950 mm in the track: 0.024 mm on each side. abs 1e-9 mm."""
    assert inspection.trunnion_step(**TRUNNION) * 1e3 == pytest.approx(0.024, abs=1e-9)


def test_cap_can_shift_by_both_steps_and_the_clearance_when_new() -> None:
    """abs 1e-9 mm."""
    step = inspection.trunnion_step(**TRUNNION)
    loose = inspection.trunnion_looseness(**TRUNNION, new_clearance_m=10e-6)
    assert loose * 1e3 == pytest.approx(2e3 * step + 0.01, abs=1e-9)


def test_trunnion_step_and_looseness_carry_the_micrometer_s_uncertainty() -> None:
    """u of each reading 0.0012 mm: root 2 of it, halved for the step. rel 1e-9."""
    each = dict.fromkeys(TRUNNION, 1.2e-6)
    _, u_step = propagate(inspection.trunnion_step, TRUNNION, each)
    _, u_loose = propagate(inspection.trunnion_looseness, TRUNNION, each)
    assert u_step == pytest.approx(1.2e-6 / math.sqrt(2.0), rel=1e-9)
    assert u_loose == pytest.approx(1.2e-6 * math.sqrt(2.0), rel=1e-9)


def test_readings_without_wear_are_kept_with_their_sign() -> None:
    """A worn reading 2 um above the unworn one is scatter, and stays visible as that."""
    assert inspection.trunnion_step(16.000e-3, 16.002e-3) == pytest.approx(-1e-6, rel=1e-9)


@pytest.mark.parametrize("needles", [3, 22, 40])
def test_needle_pitch_closes_the_circle(needles: int) -> None:
    """Stepping needle by needle round the circle gives its length: the arc, not the chord."""
    diameter = 18.5e-3
    places = np.linspace(0.0, 2.0 * np.pi, needles * 1000 + 1)
    x, y = diameter / 2.0 * np.cos(places), diameter / 2.0 * np.sin(places)
    around = float(np.hypot(np.diff(x), np.diff(y)).sum())
    assert needles * inspection.needle_pitch(diameter, needles) == pytest.approx(around, rel=1e-6)


def test_needles_that_touch_stand_about_their_own_width_apart() -> None:
    """24 needles of 2.5 mm fill a circle of 2.5 / sin(pi / 24) mm; the arc is 0.3 % longer."""
    diameter = 2.5e-3 / math.sin(math.pi / 24)
    assert inspection.needle_pitch(diameter, 24) == pytest.approx(2.5e-3, rel=0.003)


def test_spacing_of_dents_at_needle_pitch_gives_the_ratio_one_with_its_uncertainty() -> None:
    """Twice the uncertainty of the spacing, over the pitch. rel 1e-9."""
    pitch = inspection.needle_pitch(16e-3, 20)
    inputs = {"dent_spacing_m": pitch, "circle_diameter_m": 16e-3, "needles": 20.0}
    value, u = propagate(inspection.dent_spacing_ratio, inputs, {"dent_spacing_m": 0.05e-3})
    assert value == pytest.approx(1.0, rel=1e-12)
    assert u == pytest.approx(0.05e-3 / pitch, rel=1e-9)


@pytest.mark.parametrize(
    ("off_um", "u_um", "said"),
    [
        (99.0, 50.0, "fits"),
        (-99.0, 50.0, "fits"),
        (101.0, 50.0, "does-not-fit"),
        (-101.0, 50.0, "does-not-fit"),
        (0.0, 600.0, "fits"),
        (0.0, 629.0, "cannot-tell"),
        (900.0, 629.0, "cannot-tell"),
    ],
)
def test_dents_fit_within_twice_their_uncertainty(off_um: float, u_um: float, said: str) -> None:
    """Pitch 2.513 mm: where 2 u reaches half of it, 0.628 mm for u, nothing can be told."""
    pitch = inspection.needle_pitch(16e-3, 20)
    found = inspection.dents_fit_needles(pitch + off_um * 1e-6, u_um * 1e-6, 16e-3, 20)
    assert found == said


def test_impossible_values_are_refused() -> None:
    """A pull along the arm turns nothing; needles are whole and at least three."""
    with pytest.raises(ValueError, match=r"the angle between arm and pull is 180 deg; it must be"):
        inspection.turning_effort(10.0, 0.08, math.pi)
    with pytest.raises(ValueError, match=r"the angle between arm and pull is 0 deg; it must be"):
        inspection.turning_effort(10.0, 0.08, 0.0)
    with pytest.raises(ValueError, match=r"the pull is -1 N; it must not be below 0 N"):
        inspection.turning_effort(-1.0, 0.08)
    with pytest.raises(ValueError, match=r"the lever arm is 0 mm; it must be more than 0 mm"):
        inspection.turning_effort(1.0, 0.0)
    with pytest.raises(ValueError, match=r"the worn diameter is -1 mm"):
        inspection.trunnion_step(16e-3, -1e-3)
    with pytest.raises(ValueError, match=r"the clearance when new is -0.01 mm"):
        inspection.trunnion_looseness(16e-3, 16e-3, -1e-5)
    with pytest.raises(ValueError, match=r"the number of needles is 2; it must be a whole number"):
        inspection.needle_pitch(16e-3, 2)
    with pytest.raises(ValueError, match=r"the number of needles is 20.5"):
        inspection.dent_spacing_ratio(2e-3, 16e-3, 20.5)
    with pytest.raises(ValueError, match=r"the standard uncertainty of the spacing is 0 mm"):
        inspection.dents_fit_needles(2e-3, 0.0, 16e-3, 20)
