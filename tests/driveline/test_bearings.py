"""Needle bearings that swing, held against the integral of their travel."""

from __future__ import annotations

import math

import numpy as np
import pytest

from advisor.driveline import bearings


@pytest.mark.parametrize("angle_deg", [1.0, 3.0, 12.0])
def test_trunnion_travel_is_the_integral_of_its_swing(angle_deg: float) -> None:
    """BRG-05 another way: the swing atan(tan b sin p) over one turn. rel 1e-6."""
    angle = math.radians(angle_deg)
    turn = np.linspace(0.0, 2.0 * np.pi, 4001)
    travel = np.abs(np.diff(np.arctan(math.tan(angle) * np.sin(turn)))).sum()
    assert bearings.trunnion_travel(angle) == pytest.approx(travel, rel=1e-6)


def test_joint_life_agrees_with_the_published_form_in_hours() -> None:
    """Handbook section 10 (M, D): 1e6 / (60 n) x 90 / b x (C/P)^(10/3), deg and rpm. rel 1e-12."""
    hours = 1e6 / (60.0 * 1800.0) * 90.0 / 2.0 * 4.0 ** (10.0 / 3.0)
    ours = bearings.joint_life(4.0, math.radians(2.0), 30.0) / 3600.0
    assert ours == pytest.approx(hours, rel=1e-12)


def test_change_of_angle_and_torque_agrees_with_two_lives() -> None:
    """From 3 to 6 deg with a quarter more torque. rel 1e-12."""
    before = bearings.joint_life(5.0, math.radians(3), 20.0)
    after = bearings.joint_life(5.0 / 1.25, math.radians(6), 20.0)
    ours = bearings.life_after_change(math.radians(3), math.radians(6), 1.25)
    assert ours == pytest.approx(after / before, rel=1e-12)


@pytest.mark.parametrize("angle_deg", [0.5, 3.0, 12.0])
def test_equivalent_turns_are_the_degrees_of_travel_over_a_whole_turn(angle_deg: float) -> None:
    """Handbook section 10 (D): 4 b / 360, b in deg. rel 1e-12."""
    ours = bearings.equivalent_turns(math.radians(angle_deg))
    assert ours == pytest.approx(4.0 * angle_deg / 360.0, rel=1e-12)


def test_straight_joint_makes_no_equivalent_turns() -> None:
    assert bearings.equivalent_turns(0.0) == 0.0


def test_relative_life_agrees_with_two_lives() -> None:
    """Angle, speed and torque all changed. rel 1e-12."""
    before = bearings.joint_life(5.0, math.radians(3), 20.0)
    after = bearings.joint_life(5.0 * 200.0 / 260.0, math.radians(4), 35.0)
    ours = bearings.relative_life(
        math.radians(3),
        math.radians(4),
        old_frequency_hz=20.0,
        new_frequency_hz=35.0,
        old_torque_nm=200.0,
        new_torque_nm=260.0,
    )
    assert ours == pytest.approx(after / before, rel=1e-12)


def test_relative_life_falls_by_the_published_factor_when_the_torque_doubles() -> None:
    """BRG-02 (F): 0.09921, and half of it at twice the speed. abs 1e-4."""
    same = {"old_frequency_hz": 20.0, "old_torque_nm": 100.0, "new_torque_nm": 200.0}
    assert bearings.relative_life(0.1, 0.1, new_frequency_hz=20.0, **same) == pytest.approx(
        0.09921, abs=1e-4
    )
    assert bearings.relative_life(0.1, 0.1, new_frequency_hz=40.0, **same) == pytest.approx(
        0.09921 / 2.0, abs=1e-4
    )


def test_reliability_factor_is_one_at_the_rated_reliability() -> None:
    """0.9 by definition; a Weibull law falls to that share at the rated life. rel 1e-12."""
    assert bearings.reliability_factor(0.9) == pytest.approx(1.0, rel=1e-12)
    factor = bearings.reliability_factor(0.99, 2.0)
    assert 0.9 ** (factor**2.0) == pytest.approx(0.99, rel=1e-12)


def test_higher_reliability_shortens_joint_life() -> None:
    """By the reliability factor. rel 1e-12."""
    rated = bearings.joint_life(5.0, 0.05, 20.0)
    surer = bearings.joint_life(5.0, 0.05, 20.0, 0.95)
    assert surer / rated == pytest.approx(bearings.reliability_factor(0.95), rel=1e-12)


def test_impossible_values_are_refused() -> None:
    """A straight joint never rolls; loads, radii and shares must be possible."""
    with pytest.raises(ValueError, match=r"the joint angle is 0 deg; it must be more than 0 deg"):
        bearings.joint_life(5.0, 0.0, 20.0)
    with pytest.raises(ValueError, match=r"the old joint angle is 0 deg"):
        bearings.life_after_change(0.0, 0.1)
    with pytest.raises(ValueError, match=r"0 deg: needles that never roll do not tire but fret"):
        bearings.life_after_change(0.1, 0.0)
    for old, new, told in ((-4.0, 5.0, "old torque is -4"), (5.0, -4.0, "new torque is -4")):
        with pytest.raises(ValueError, match=told + r" N\*m"):
            bearings.relative_life(
                0.1,
                0.1,
                old_frequency_hz=20.0,
                new_frequency_hz=20.0,
                old_torque_nm=old,
                new_torque_nm=new,
            )
    with pytest.raises(ValueError, match=r"the old torque is 0 N\*m; it must be more than 0 N\*m"):
        bearings.relative_life(
            0.1,
            0.1,
            old_frequency_hz=1.0,
            new_frequency_hz=1.0,
            old_torque_nm=0.0,
            new_torque_nm=1.0,
        )
    with pytest.raises(ValueError, match=r"the load rating over the load is 0; "):
        bearings.rating_life(0.0)
    with pytest.raises(ValueError, match=r"the reliability is 1; it must be above 0 and below 1"):
        bearings.reliability_factor(1.0)
    with pytest.raises(ValueError, match=r"the trunnion radius is -30 mm"):
        bearings.needle_load(300.0, -0.03, 0.05)
    with pytest.raises(ValueError, match=r"the torque is -300 N\*m"):
        bearings.needle_load(-300.0, 0.03, 0.05)
