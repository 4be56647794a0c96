"""Joint angles in space, by other routes through the same geometry."""

from __future__ import annotations

import math

import numpy as np
import pytest

from advisor.driveline import angles


def test_joint_angle_agrees_with_rotation_matrices() -> None:
    """200 pairs, seed 3: yaw and pitch as matrices, then acos. abs 1e-7 rad (acos near zero)."""
    chance = np.random.default_rng(3)
    for _ in range(200):
        slope_1, slope_2, heading_1, heading_2 = (float(x) for x in chance.uniform(-0.7, 0.7, 4))
        ours = angles.joint_angle(slope_1, slope_2, heading_1, heading_2)
        vectors = []
        for slope, heading in ((slope_1, heading_1), (slope_2, heading_2)):
            yaw = np.array(
                [
                    [math.cos(heading), -math.sin(heading), 0.0],
                    [math.sin(heading), math.cos(heading), 0.0],
                    [0.0, 0.0, 1.0],
                ]
            )
            vectors.append(yaw @ np.array([math.cos(slope), 0.0, math.sin(slope)]))
        assert ours == pytest.approx(math.acos(float(vectors[0] @ vectors[1])), abs=1e-7)


def test_a_member_without_a_heading_points_straight_back() -> None:
    assert angles.direction_vector(0.1) == angles.direction_vector(0.1, 0.0)


def test_tiny_joint_angle_keeps_its_digits() -> None:
    """A millionth of a degree, which acos could not see. rel 1e-6."""
    tiny = math.radians(1e-6)
    assert angles.joint_angle(0.3, 0.3 + tiny) == pytest.approx(tiny, rel=1e-6)


def test_drawn_angles_are_those_of_the_projected_line() -> None:
    """A line through (1, tan H, tan V) has these views, by definition. rel 1e-12."""
    side, plan = math.radians(20), math.radians(15)
    line = (1.0, math.tan(plan), math.tan(side))
    between = angles.angle_between((1.0, 0.0, 0.0), line)
    assert angles.joint_angle_from_views(side, plan) == pytest.approx(between, rel=1e-12)


def test_line_of_centres_agrees_with_its_own_slope_and_heading() -> None:
    """The same shaft by tape and by inclinometer. rel 1e-9."""
    length = angles.centre_distance(1.5, 0.06, -0.12)
    slope, heading = math.asin(-0.12 / length), math.atan2(0.06, 1.5)
    by_tape = angles.joint_angle_from_centres(1.5, 0.06, -0.12, math.radians(-3))
    by_inclinometer = angles.joint_angle(math.radians(-3), slope, 0.0, heading)
    assert by_tape == pytest.approx(by_inclinometer, rel=1e-9)


@pytest.mark.parametrize("slope_deg", [90.0, 95.0, -95.0, math.nan])
def test_impossible_slope_is_refused_in_degrees(slope_deg: float) -> None:
    """No member of a driveline stands upright."""
    with pytest.raises(ValueError, match=f"the slope is {slope_deg:g} deg"):
        angles.joint_angle(math.radians(slope_deg), 0.0)


def test_joint_bent_beyond_a_right_angle_is_refused() -> None:
    """Two possible members can still make an impossible joint."""
    with pytest.raises(ValueError, match=r"the joint angle is 120 deg"):
        angles.joint_angle(math.radians(60), math.radians(-60))


def test_rear_joint_in_front_of_the_front_one_is_refused() -> None:
    """The distance leads to the rear."""
    with pytest.raises(ValueError, match=r"the rearward distance is -1500 mm"):
        angles.joint_angle_from_centres(-1.5, 0.0, 0.0, 0.0)


def test_angle_difference_does_not_depend_on_the_order() -> None:
    """5.2 deg and 4 deg: 1.2 deg either way. abs 1e-9 deg."""
    first, second = math.radians(5.2), math.radians(4.0)
    for one, other in ((first, second), (second, first)):
        found = math.degrees(angles.angle_difference(one, other))
        assert found == pytest.approx(1.2, abs=1e-9)
