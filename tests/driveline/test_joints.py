"""One joint, held against forks carried as vectors (tests/driveline/fork_model.py)."""

from __future__ import annotations

import math

import numpy as np
import pytest

from advisor.driveline import joints, phasing
from tests.driveline.fork_model import Array, bent_chain, derivative, output_angle, whole_turn

ANGLES_DEG = [1.0, 3.0, 10.0, 20.0, 30.0, 45.0]

# The driving fork starts in the plane of both shafts: along y, as the members bend about z.
IN_PLANE = np.array([0.0, 1.0, 0.0])


def _turn(angle_deg: float, phase: Array) -> Array:
    directions = bent_chain([math.radians(angle_deg)], [0.0])
    return output_angle(directions, [], phase, IN_PLANE)


@pytest.mark.parametrize("angle_deg", ANGLES_DEG)
def test_speed_ratio_agrees_with_fork_vectors_all_round(angle_deg: float) -> None:
    """Every phase of a turn. abs 1e-9."""
    phase = whole_turn()
    ratio = derivative(_turn(angle_deg, phase), phase, 1)
    ours = [joints.speed_ratio(math.radians(angle_deg), angle) for angle in phase]
    assert np.max(np.abs(ratio - ours)) < 1e-9


@pytest.mark.parametrize("angle_deg", ANGLES_DEG)
def test_lead_agrees_with_fork_vectors(angle_deg: float) -> None:
    """Greatest angle between the sides. rel 1e-5 (from the steps of the turn)."""
    phase = whole_turn()
    apart = _turn(angle_deg, phase) - phase
    greatest = (np.max(apart) - np.min(apart)) / 2.0
    assert joints.lead(math.radians(angle_deg)) == pytest.approx(greatest, rel=1e-5)


@pytest.mark.parametrize("angle_deg", ANGLES_DEG)
def test_peak_acceleration_agrees_with_fork_vectors_in_size_and_phase(angle_deg: float) -> None:
    """Size rel 1e-5, phase abs one step of the turn."""
    phase = whole_turn()
    acceleration = derivative(_turn(angle_deg, phase), phase, 2)
    angle = math.radians(angle_deg)
    ours = joints.peak_acceleration(angle, 1.0 / (2.0 * math.pi))
    assert ours == pytest.approx(float(np.max(acceleration)), rel=1e-5)
    first_quarter = phase <= math.pi / 2
    hardest = phase[first_quarter][np.argmin(acceleration[first_quarter])]
    assert joints.peak_acceleration_phase(angle) == pytest.approx(hardest, abs=phase[1])


def test_speed_ratio_holds_only_even_orders() -> None:
    """KIN-14 and handbook section 1 (F, D): at 20 deg 2x = 0.0622, 4x = 0.0019. abs 5e-5."""
    phase = whole_turn()
    ratio = [joints.speed_ratio(math.radians(20), angle) for angle in phase]
    amplitude = 2.0 * np.abs(np.fft.rfft(ratio)) / len(phase)
    assert np.max(amplitude[1:40:2]) < 1e-12
    assert amplitude[2] == pytest.approx(0.0622, abs=5e-5)
    assert amplitude[4] == pytest.approx(0.0019, abs=5e-5)


@pytest.mark.parametrize("angle_deg", [0.0, 1e-4, 0.01, 3.0, 45.0, 89.0])
def test_angle_of_fluctuation_undoes_fluctuation(angle_deg: float) -> None:
    """There and back, also near zero. rel 1e-9."""
    angle = math.radians(angle_deg)
    back = joints.angle_of_fluctuation(joints.fluctuation(angle))
    assert back == pytest.approx(angle, rel=1e-9, abs=1e-15)


@pytest.mark.parametrize("angle_deg", [5.0, 30.0])
def test_couple_agrees_with_moments_of_the_cross(angle_deg: float) -> None:
    """Handbook section 4 (D): the cross passes moment only square to its plane. rel 1e-5.

    The moment of the cross is split into torque along the driving shaft and bending across it.
    """
    angle, torque = math.radians(angle_deg), 300.0
    driving, driven = bent_chain([angle], [0.0])
    phase = whole_turn()
    # The first fork turns from y in the plane across x; the cross' second arm is square to it.
    arm = np.stack([np.zeros_like(phase), np.cos(phase), np.sin(phase)], axis=1)
    other = np.cross(driven, arm)
    moment = np.cross(arm, other)
    moment *= torque / (moment @ driving)[:, None]
    driving_bend = moment - torque * driving
    driven_torque = moment @ driven
    driven_bend = moment - driven_torque[:, None] * driven
    greatest = np.max(np.linalg.norm(driving_bend, axis=1))
    assert joints.driving_bending_moment(torque, angle) == pytest.approx(greatest, rel=1e-5)
    greatest = np.max(np.linalg.norm(driven_bend, axis=1))
    assert joints.driven_bending_moment(torque, angle) == pytest.approx(greatest, rel=1e-5)
    smallest = joints.smallest_driven_torque(torque, angle)
    assert smallest == pytest.approx(np.min(driven_torque), rel=1e-5)
    greatest = joints.greatest_driven_torque(torque, angle)
    assert greatest == pytest.approx(np.max(driven_torque), rel=1e-5)
    # Steady part and 2x part on the driving side are half of it each, and there is no 1x.
    across = np.fft.fft(driving_bend[:, 1] + 1j * driving_bend[:, 2]) / len(phase)
    half = joints.support_force(torque, angle, 1.0)
    assert abs(across[0]) == pytest.approx(half, rel=1e-5)
    assert abs(across[2]) == pytest.approx(half, rel=1e-5)
    assert abs(across[1]) < 1e-9 * torque


def test_working_form_is_low_as_published() -> None:
    """Handbook section 1 (D): 0.13 % at 5, 0.5 % at 10, 2.5 % at 20, 22 % at 45 deg. abs 0.005."""
    for angle_deg, low in ((5.0, 0.0013), (10.0, 0.005), (20.0, 0.025), (45.0, 0.22)):
        angle = math.radians(angle_deg)
        short = phasing.torsional_acceleration(angle, 50.0)
        assert 1.0 - short / joints.peak_acceleration(angle, 50.0) == pytest.approx(low, abs=0.005)


@pytest.mark.parametrize("angle_deg", [-1.0, 90.0, 95.0, math.nan])
def test_impossible_joint_angle_is_refused_in_degrees(angle_deg: float) -> None:
    """The sentence repeats what was read, in the unit of a technician."""
    angle = math.radians(angle_deg)
    for computation in (joints.fluctuation, joints.lead, joints.peak_acceleration_phase):
        with pytest.raises(ValueError, match=f"is {angle_deg:g} deg; it must be from 0 deg"):
            computation(angle)
