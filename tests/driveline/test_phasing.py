"""Chains of joints, held against forks carried as vectors (tests/driveline/fork_model.py)."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest

from advisor.driveline import phasing
from advisor.driveline.angles import direction_vector
from tests.driveline.fork_model import (
    Array,
    bent_chain,
    derivative,
    output_angle,
    peak_acceleration,
    whole_turn,
)

QUARTER = math.pi / 2


def _directions(members_deg: list[tuple[float, float]]) -> list[Array]:
    return [
        np.array(direction_vector(math.radians(slope), math.radians(heading)))
        for slope, heading in members_deg
    ]


def _residual(members_deg: list[tuple[float, float]], crossed: list[bool]) -> float:
    slopes = {f"slope_{n}_rad": math.radians(m[0]) for n, m in enumerate(members_deg, start=1)}
    headings = {f"heading_{n}_rad": math.radians(m[1]) for n, m in enumerate(members_deg, start=1)}
    if len(members_deg) == 3:
        return phasing.residual_angle(**slopes, **headings, crossed=crossed[0])
    return phasing.residual_angle_two_piece(
        **slopes, **headings, first_crossed=crossed[0], second_crossed=crossed[1]
    )


@pytest.mark.parametrize("pieces", [1, 2])
def test_residual_angle_from_slopes_and_headings_agrees_with_fork_vectors(pieces: int) -> None:
    """60 layouts, seed 7: slopes to 4 deg, headings to 3 deg, forks aligned or crossed.

    The phasor drops terms of fourth order: abs 0.01 times the sum of the squared bends, on the
    acceleration over omega squared. The bends reach 10 deg here.
    """
    chance = np.random.default_rng(7)
    for _ in range(60):
        members = [
            (float(chance.uniform(-4, 4)), float(chance.uniform(-3, 3))) for _ in range(pieces + 2)
        ]
        crossed = [bool(chance.integers(2)) for _ in range(pieces)]
        directions = _directions(members)
        exact = peak_acceleration(directions, [QUARTER * turn for turn in crossed])
        scale = sum(math.acos(min(1.0, float(a @ b))) ** 2 for a, b in pairwise(directions))
        assert _residual(members, crossed) ** 2 == pytest.approx(exact, abs=0.01 * scale)


@pytest.mark.parametrize(
    ("bends_deg", "plane_deg", "twist_deg"),
    [
        ((5, 4), 0, 0),
        ((3, 4), 0, 90),
        ((3, 3), 0, 10),
        ((3, 3), 0, -10),
        ((3, 4), 30, 0),
        ((4, 4), 30, 0),
        ((4, 4), 30, -30),
        ((4, 4), -30, 30),
        ((4, 3), 65, 25),
    ],
)
def test_residual_angle_of_joints_agrees_with_fork_vectors(
    bends_deg: tuple[float, float], plane_deg: float, twist_deg: float
) -> None:
    """Planes and twist with their signs. rel 0.005 on acceleration (handbook 2.3, D)."""
    bends = [math.radians(bend) for bend in bends_deg]
    plane, twist = math.radians(plane_deg), math.radians(twist_deg)
    exact = peak_acceleration(bent_chain(bends, [0.0, plane]), [twist])
    residual = phasing.residual_angle_of_joints(bends[0], bends[1], plane, twist)
    assert residual**2 == pytest.approx(exact, rel=0.005)


def test_turning_a_fork_with_the_joint_plane_restores_cancelling() -> None:
    """Handbook 2.2 (D): 4/4 deg at 30 deg gives 481 rad/s^2 at 3000 rpm, none at that twist.

    rel 0.005 and abs 0.05 rad/s^2; both routes.
    """
    bend, plane, rpm = math.radians(4), math.radians(30), 3000.0
    omega = rpm * math.pi / 30.0
    chain = bent_chain([bend, bend], [0.0, plane])
    apart = phasing.residual_angle_of_joints(bend, bend, plane)
    assert phasing.torsional_acceleration(apart, rpm / 60.0) == pytest.approx(481.0, rel=0.005)
    assert peak_acceleration(chain, [0.0]) * omega**2 == pytest.approx(481.0, rel=0.005)
    together = phasing.residual_angle_of_joints(bend, bend, plane, plane)
    assert phasing.torsional_acceleration(together, rpm / 60.0) == pytest.approx(0.0, abs=0.05)
    assert peak_acceleration(chain, [plane]) * omega**2 == pytest.approx(0.0, abs=0.05)


@pytest.mark.parametrize("last_slope_deg", [0.0, -8.0], ids=["ends-parallel", "ends-meeting"])
def test_equal_angles_cancel_whether_the_ends_are_parallel_or_meet(last_slope_deg: float) -> None:
    """Handbook 2.1 (D): Z and W layouts alike. abs 1e-6 deg; the vector model agrees, 1e-9."""
    members = [(0.0, 0.0), (-4.0, 0.0), (last_slope_deg, 0.0)]
    assert math.degrees(_residual(members, [False])) == pytest.approx(0.0, abs=1e-6)
    assert peak_acceleration(_directions(members), [0.0]) < 1e-9


def test_parallel_ends_cancel_when_the_shaft_is_both_inclined_and_set_off() -> None:
    """Both joints bend in one plane, though neither upright nor level. abs 1e-6 deg; exact 1e-9.

    Planes counted from level at each member would leave 0.3 deg here.
    """
    members = [(0.0, 0.0), (-4.0, 3.0), (0.0, 0.0)]
    assert math.degrees(_residual(members, [False])) == pytest.approx(0.0, abs=1e-6)
    assert peak_acceleration(_directions(members), [0.0]) < 1e-9


def test_straight_middle_joint_keeps_the_planes_of_its_neighbours() -> None:
    """Joints 1 and 3 bend in planes 90 deg apart round a joint without a bend. rel 0.005."""
    members = [(3.0, 0.0), (0.0, 0.0), (0.0, 0.0), (0.0, 3.0)]
    exact = peak_acceleration(_directions(members), [0.0, 0.0])
    residual = _residual(members, [False, False])
    assert residual**2 == pytest.approx(exact, rel=0.005, abs=1e-9)
    members[3] = (-3.0, 0.0)
    exact = peak_acceleration(_directions(members), [0.0, 0.0])
    assert _residual(members, [False, False]) ** 2 == pytest.approx(exact, rel=0.005)


def test_residual_angle_does_not_depend_on_the_sense_of_the_signs() -> None:
    """Slopes all mirrored, headings all mirrored: same vehicle seen from the other side."""
    members = [(-3.0, 0.0), (-6.5, 2.0), (-2.5, 0.0)]
    first = _residual(members, [False])
    assert _residual([(-s, h) for s, h in members], [False]) == pytest.approx(first, rel=1e-12)
    assert _residual([(s, -h) for s, h in members], [False]) == pytest.approx(first, rel=1e-12)


def test_side_offset_counts_although_the_joint_angles_are_equal() -> None:
    """Joint angles of 4 deg each in planes 90 deg apart add up instead of cancelling. rel 0.005."""
    bend = math.radians(4)
    residual = phasing.residual_angle_of_joints(bend, bend, QUARTER)
    assert residual == pytest.approx(bend * math.sqrt(2.0), rel=0.005)


def test_impossible_angles_are_refused() -> None:
    """A slope of 95 deg, a joint of 90 deg, a frequency below zero."""
    with pytest.raises(ValueError, match=r"the slope is 95 deg; it must lie between -90 deg"):
        phasing.residual_angle(math.radians(95), 0.0, 0.0)
    with pytest.raises(ValueError, match=r"the joint angle is 110 deg"):
        phasing.residual_angle(math.radians(60), math.radians(-50), 0.0)
    with pytest.raises(ValueError, match=r"the shaft frequency is -1 Hz"):
        phasing.torsional_acceleration(0.1, -1.0)
    with pytest.raises(ValueError, match=r"the shaft frequency is 0 Hz; it must be more than 0 Hz"):
        phasing.angle_for_acceleration(300.0, 0.0)
    with pytest.raises(ValueError, match=r"the angular acceleration is -300 rad/s\^2"):
        phasing.angle_for_acceleration(-300.0, 50.0)
    with pytest.raises(
        ValueError, match=r"the shaft frequency is -1 Hz; it must be more than 0 Hz"
    ):
        phasing.angle_for_acceleration(300.0, -1.0)
    for twist_deg in (400, -400):
        with pytest.raises(ValueError, match=f"the twist of the forks is {twist_deg} deg"):
            phasing.residual_angle_of_joints(0.1, 0.1, 0.0, math.radians(twist_deg))
    for slope_deg in (90, -90):
        with pytest.raises(ValueError, match=f"the slope is {slope_deg} deg"):
            phasing.residual_angle(math.radians(slope_deg), 0.0, 0.0)


def test_a_whole_turn_of_the_forks_changes_nothing() -> None:
    straight = phasing.residual_angle_of_joints(0.1, 0.05, 0.0, 0.0)
    for twist_deg in (360, -360):
        turned = phasing.residual_angle_of_joints(0.1, 0.05, 0.0, math.radians(twist_deg))
        assert turned == pytest.approx(straight, abs=1e-12)


@pytest.mark.parametrize("pieces", [1, 2, 3])
def test_speed_over_one_turn_agrees_with_fork_vectors(pieces: int) -> None:
    """20 layouts, seed 11: slopes to 8 deg, headings to 6 deg, forks at any angle; abs 1e-9."""
    chance = np.random.default_rng(11)
    turns = whole_turn(256)
    for _ in range(20):
        slopes = chance.uniform(-8, 8, pieces + 2)
        headings = chance.uniform(-6, 6, pieces + 2)
        directions = _directions(list(zip(slopes, headings, strict=True)))
        twists = [float(twist) for twist in chance.uniform(-1, 1, pieces)]
        members = [(float(x), float(y), float(z)) for x, y, z in directions]
        joints = phasing.chain_between(members, twists)
        upright = np.cross(directions[0], np.array([-directions[0][1], directions[0][0], 0.0]))
        first_fork = upright / np.linalg.norm(upright)
        exact = derivative(output_angle(directions, twists, turns, first_fork), turns, 1)
        found = [phasing.chain_speed_ratio(joints, float(turn)) for turn in turns]
        assert found == pytest.approx(exact.tolist(), abs=1e-9)


def test_two_equal_joints_in_line_run_evenly_and_crossed_ones_twice_as_unevenly() -> None:
    """KIN of the handbook, section 2.2 (D): equal bends cancel, crossed forks add up."""
    members = [direction_vector(math.radians(slope)) for slope in (0.0, 4.0, 0.0)]
    even, crossed = (phasing.joints_between(members, (turned,)) for turned in (False, True))
    turns = [math.radians(turn) for turn in range(0, 360, 15)]
    assert [phasing.chain_speed_ratio(even, turn) for turn in turns] == pytest.approx(
        [1.0] * len(turns), abs=1e-12
    )
    ratios = [phasing.chain_speed_ratio(crossed, turn) for turn in turns]
    assert max(ratios) == pytest.approx(math.cos(math.radians(4.0)) ** -2, rel=1e-12)


def test_speed_range_of_a_chain_is_that_of_one_joint_bent_by_the_residual_angle() -> None:
    """Within 1 % below 6 deg; sin b tan b of the residual angle, handbook section 2.2 (D)."""
    members = [direction_vector(math.radians(slope)) for slope in (-3.0, -5.6, -1.4)]
    joints = phasing.joints_between(members, (False,))
    ratios = [phasing.chain_speed_ratio(joints, math.radians(turn)) for turn in range(360)]
    angle = phasing.residual_angle_of(joints)
    assert max(ratios) - min(ratios) == pytest.approx(math.sin(angle) * math.tan(angle), rel=0.01)


def test_forks_are_aligned_where_nothing_is_said() -> None:
    slopes = [math.radians(slope) for slope in (0.0, 2.0, 6.0, 9.0)]
    assert phasing.residual_angle(*slopes[:3]) == phasing.residual_angle(*slopes[:3], crossed=False)
    assert phasing.residual_angle_two_piece(*slopes) == phasing.residual_angle_two_piece(
        *slopes, first_crossed=False, second_crossed=False
    )
