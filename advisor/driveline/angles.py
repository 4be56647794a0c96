"""Joint angles in space, from what a technician can measure.

Axes: x to the rear along the vehicle, y to one side, z up. A slope is the tilt of a member against
level, a heading its direction seen from above; both keep their sign along the whole driveline.
"""

from __future__ import annotations

import math

from advisor.driveline import _limits

Vector = tuple[float, float, float]


def direction_vector(slope_rad: float, heading_rad: float = 0.0) -> Vector:
    """Unit vector along a member with this slope and heading, each between -90 and 90 deg.

    Raises ValueError for another angle.
    Source: (cos s cos h, cos s sin h, sin s); handbook section 3, rule 3 (D).
    """
    slope = _limits.tilt("the slope", slope_rad)
    heading = _limits.tilt("the heading", heading_rad)
    level = math.cos(slope)
    return level * math.cos(heading), level * math.sin(heading), math.sin(slope)


def dot(a: Vector, b: Vector) -> float:
    """Scalar product of two vectors."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vector, b: Vector) -> Vector:
    """Vector product of two vectors."""
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]


def angle_between(a: Vector, b: Vector) -> float:
    """Angle in rad between two members given as vectors of any length, 0 to less than 90 deg.

    Raises ValueError when they stand at a right angle or point apart: no joint bends so far.
    Source: atan2(|a x b|, a . b); handbook section 3, rule 1 (D).
    """
    # acos of the scalar product would lose half the digits near zero.
    return _limits.bend("the joint angle", math.atan2(math.hypot(*cross(a, b)), dot(a, b)))


def joint_angle(
    slope_1_rad: float,
    slope_2_rad: float,
    heading_1_rad: float = 0.0,
    heading_2_rad: float = 0.0,
) -> float:
    """Angle in rad of the joint between two members, from inclinometer slopes and plan headings.

    Slopes and headings between -90 and 90 deg, with sign. Raises ValueError for other angles and
    for a joint of 90 deg or more.
    Source: handbook section 3, rules 1 and 3 (D).
    """
    return angle_between(
        direction_vector(slope_1_rad, heading_1_rad), direction_vector(slope_2_rad, heading_2_rad)
    )


def angle_difference(joint_angle_1_rad: float, joint_angle_2_rad: float) -> float:
    """How much in rad the bends of two joints differ; never negative.

    Each from 0 to less than 90 deg, else ValueError. Source: definition.
    """
    return abs(
        _limits.bend("the first joint angle", joint_angle_1_rad)
        - _limits.bend("the second joint angle", joint_angle_2_rad)
    )


def joint_angle_from_views(side_view_rad: float, plan_view_rad: float) -> float:
    """Angle in rad of a joint, from its angles as drawn in the side view and in the plan view.

    Each between -90 and 90 deg. These are projections: for an inclinometer laid on the tube use
    `joint_angle`. Raises ValueError for other angles.
    Source: tan^2 b = tan^2 V + tan^2 H; handbook section 3, rule 4 (M, recomputed D).
    """
    side = math.tan(_limits.tilt("the side-view angle", side_view_rad))
    plan = math.tan(_limits.tilt("the plan-view angle", plan_view_rad))
    return math.atan(math.hypot(side, plan))


def joint_angle_from_centres(
    rearward_m: float,
    sideways_m: float,
    rise_m: float,
    slope_rad: float,
    heading_rad: float = 0.0,
) -> float:
    """Angle in rad between a shaft given by its joint centres and a neighbour given by its slope.

    The first three lead from the front to the rear joint centre: to the rear (above 0), sideways
    and up, the last two with sign. Raises ValueError for impossible values.
    Source: handbook section 3, rules 1 and 2 (D).
    """
    shaft = (
        _limits.length("the rearward distance", rearward_m),
        _limits.finite("the sideways distance", sideways_m, "mm"),
        _limits.finite("the rise", rise_m, "mm"),
    )
    return angle_between(direction_vector(slope_rad, heading_rad), shaft)


def centre_distance(rearward_m: float, sideways_m: float, rise_m: float) -> float:
    """Distance in m between two joint centres, from its three parts. Never negative.

    ValueError when one is no finite number.
    Source: root of the sum of squares; handbook section 3, CMP-08 (D).
    """
    return math.hypot(
        _limits.finite("the rearward distance", rearward_m, "mm"),
        _limits.finite("the sideways distance", sideways_m, "mm"),
        _limits.finite("the rise", rise_m, "mm"),
    )
