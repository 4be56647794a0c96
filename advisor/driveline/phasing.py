"""Chains of universal joints: what is left of their speed fluctuations.

Each joint adds a wave of two cycles a turn, as large as the square of its bend. Waves add as
phasors: a joint counts with the plane in which it bends and with how its driving fork stands.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import NamedTuple

from advisor.driveline import _limits
from advisor.driveline.angles import Vector, angle_between, cross, direction_vector, dot
from advisor.driveline.joints import speed_ratio

CROSSED_FORK_RAD = math.pi / 2
"""Where a driving fork stands that is square to the first joint's driving fork."""


class Joint(NamedTuple):
    """One joint of a chain: its bend, the plane of the bend, and where its driving fork stands.

    Plane and fork are angles round the shaft in rad, in the sense of rotation, counted from those
    of the first joint. Each joint passed turns the fork by a quarter turn, so that the two joints
    of a shaft with aligned forks have `fork_rad` 0 and `CROSSED_FORK_RAD`.
    """

    angle_rad: float
    plane_rad: float = 0.0
    fork_rad: float = 0.0


def residual_angle_of(joints: Iterable[Joint]) -> float:
    """Bend in rad of the single joint that would shake as much as the whole chain; 0 or more.

    Raises ValueError for an impossible joint angle.
    Source: theta = sqrt |sum b_i^2 exp(2 j (fork_i - plane_i))|; handbook section 2.2 (M for the
    signs, after SAE AE-7 section 3.1.1; D for planes and twist). Holds for bends below about 6 deg
    within 0.5 % of acceleration.
    """
    total = 0j
    for joint in joints:
        bend = _limits.bend("the joint angle", joint.angle_rad)
        total += bend**2 * cmath.exp(2j * (joint.fork_rad - joint.plane_rad))
    return math.sqrt(abs(total))


def residual_angle_of_joints(
    joint_angle_1_rad: float,
    joint_angle_2_rad: float,
    plane_difference_rad: float = 0.0,
    fork_twist_rad: float = 0.0,
    crossed: bool = False,
) -> float:
    """Residual angle in rad of a shaft with two joints, from the two joint angles.

    `plane_difference_rad` is the turn from the first joint's plane to the second's, and
    `fork_twist_rad` the turn of the rear fork away from the front one; same sense for both, within
    360 deg. `crossed` adds a quarter turn. Raises ValueError for impossible angles.
    Source: handbook section 2.2, DL-01 to DL-11 (D; signs M).
    """
    plane = _limits.direction("the difference of the joint planes", plane_difference_rad)
    twist = _limits.direction("the twist of the forks", fork_twist_rad)
    return residual_angle_of(
        (
            Joint(joint_angle_1_rad),
            Joint(
                joint_angle_2_rad,
                plane,
                fork_after(0.0, twist + CROSSED_FORK_RAD if crossed else twist),
            ),
        )
    )


def residual_angle(  # noqa: PLR0913 - one argument a reading
    slope_1_rad: float,
    slope_2_rad: float,
    slope_3_rad: float,
    *,
    heading_1_rad: float = 0.0,
    heading_2_rad: float = 0.0,
    heading_3_rad: float = 0.0,
    crossed: bool = False,
) -> float:
    """Residual angle in rad of two joints between three members, front to rear.

    Slopes and headings between -90 and 90 deg, with sign. `crossed` says that the two forks of the
    shaft stand at a right angle. Raises ValueError for impossible angles.
    Source: handbook sections 2.2 and 3 (D; signs M).
    """
    members = (
        direction_vector(slope_1_rad, heading_1_rad),
        direction_vector(slope_2_rad, heading_2_rad),
        direction_vector(slope_3_rad, heading_3_rad),
    )
    return residual_angle_of(joints_between(members, (crossed,)))


def residual_angle_two_piece(  # noqa: PLR0913 - one argument a reading
    slope_1_rad: float,
    slope_2_rad: float,
    slope_3_rad: float,
    slope_4_rad: float,
    *,
    heading_1_rad: float = 0.0,
    heading_2_rad: float = 0.0,
    heading_3_rad: float = 0.0,
    heading_4_rad: float = 0.0,
    first_crossed: bool = False,
    second_crossed: bool = False,
) -> float:
    """Residual angle in rad of three joints between four members, front to rear.

    As `residual_angle`, for a two-piece shaft; each piece has its own forks. Raises ValueError for
    impossible angles.
    Source: handbook sections 2.2 and 3 (D; signs M).
    """
    members = (
        direction_vector(slope_1_rad, heading_1_rad),
        direction_vector(slope_2_rad, heading_2_rad),
        direction_vector(slope_3_rad, heading_3_rad),
        direction_vector(slope_4_rad, heading_4_rad),
    )
    return residual_angle_of(joints_between(members, (first_crossed, second_crossed)))


def joints_between(members: Sequence[Vector], crossed: Sequence[bool]) -> tuple[Joint, ...]:
    """The joints of a chain, from the directions of its members as unit vectors, front to rear.

    `crossed` says for each shaft between two joints whether its forks stand at a right angle.
    Raises ValueError when a joint would bend by 90 deg or more.
    """
    return chain_between(members, [CROSSED_FORK_RAD if one else 0.0 for one in crossed])


def chain_between(members: Sequence[Vector], fork_turns_rad: Sequence[float]) -> tuple[Joint, ...]:
    """As `joints_between`, with forks at any angle.

    `fork_turns_rad` says for each shaft between two joints how far its rear fork is turned away
    from its front one, by the right-hand rule about the shaft's direction to the rear.
    """
    found = []
    fork = 0.0
    reference: Vector = _square_to(members[0])
    for index, (before, after) in enumerate(pairwise(members)):
        normal = cross(before, after)
        plane = math.atan2(dot(cross(reference, normal), before), dot(reference, normal))
        if index:
            fork = fork_after(fork, fork_turns_rad[index - 1])
        found.append(Joint(angle_between(before, after), plane, fork))
        reference = _carried(reference, before, after)
    return tuple(found)


def fork_after(fork_rad: float, turn_rad: float) -> float:
    """Where the next joint's driving fork stands, behind a shaft whose rear fork is turned."""
    return fork_rad + CROSSED_FORK_RAD + turn_rad


def chain_speed_ratio(joints: Iterable[Joint], turn_rad: float) -> float:
    """Speed behind a chain over the steady speed ahead of it, at one moment of the turn; exact.

    `turn_rad` is the turn of the first driving fork, zero when it lies in the plane of a bend with
    `plane_rad` 0. 1.0 means equal speeds. Raises ValueError for an impossible joint angle.
    Source: product of the joints' ratios, each at its own fork's turn, which the joints before have
    made uneven: tan q = tan p / cos b; handbook section 1 (F), chained as section 2.4 (D).
    """
    ratio, uneven = 1.0, 0.0
    for joint in joints:
        phase = turn_rad + uneven + joint.fork_rad - joint.plane_rad
        ratio *= speed_ratio(joint.angle_rad, phase)
        # the lead that this joint adds: the angle from (cos b cos p, sin p) to (cos p, sin p)
        sine, cosine = math.sin(phase), math.cos(phase)
        bend = math.cos(joint.angle_rad)
        uneven += math.atan2(sine * cosine * (1.0 - bend), bend * cosine**2 + sine**2)
    return ratio


def torsional_acceleration(residual_angle_rad: float, shaft_frequency_hz: float) -> float:
    """Peak angular acceleration in rad/s^2 at the end of a chain with this residual angle.

    Angle from 0 to less than 90 deg, frequency 0 or more. Raises ValueError for others.
    Source: theta^2 w^2; handbook section 2.3 (M, after SAE AE-7; within 0.5 % of the exact model
    below 6 deg, D).
    """
    angle = _limits.bend("the residual angle", residual_angle_rad)
    return (angle * _limits.angular_speed(shaft_frequency_hz)) ** 2


def angle_for_acceleration(acceleration_rad_per_s2: float, shaft_frequency_hz: float) -> float:
    """Residual angle in rad that gives this peak angular acceleration.

    Acceleration 0 or more, frequency above 0. Raises ValueError for others.
    Source: sqrt(a) / w; handbook section 2.5, DL-12 to DL-14 (F for one table, D).
    """
    _limits.turning("the shaft frequency", shaft_frequency_hz)
    acceleration = _limits.not_negative(
        "the angular acceleration", acceleration_rad_per_s2, 1.0, "rad/s^2"
    )
    return math.sqrt(acceleration) / _limits.angular_speed(shaft_frequency_hz)


def allowed_second_angle(residual_angle_rad: float, joint_angle_rad: float) -> float:
    """Greatest bend in rad of the other joint that keeps to a residual angle, forks aligned.

    Both angles from 0 to less than 90 deg. Raises ValueError for others.
    Source: sqrt(theta^2 + b^2); handbook section 2.2, DL-15 (F for one table, D).
    """
    return math.hypot(
        _limits.bend("the residual angle", residual_angle_rad),
        _limits.bend("the joint angle", joint_angle_rad),
    )


def _square_to(member: Vector) -> Vector:
    sideways = (-member[1], member[0], 0.0)
    size = math.hypot(*sideways)
    return sideways[0] / size, sideways[1] / size, 0.0


def _carried(reference: Vector, before: Vector, after: Vector) -> Vector:
    """The reference taken across a joint by the shortest turn, so that it never twists.

    Comparing neighbouring planes would lose the thread at a joint without a bend; counting from
    level at each member would leave a residual angle where equal joints cancel.
    """
    share = dot(reference, after) / (1.0 + dot(before, after))
    return (
        reference[0] - share * (before[0] + after[0]),
        reference[1] - share * (before[1] + after[1]),
        reference[2] - share * (before[2] + after[2]),
    )
