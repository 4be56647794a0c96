"""Chains of one to four joints with forks turned to any angle, bent in any planes."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from advisor.driveline import _limits
from advisor.driveline.angles import direction_vector
from advisor.driveline.phasing import Joint, chain_between, fork_after, residual_angle_of

_Reading = float | None


def residual_angle_of_chain(  # noqa: PLR0913 - one argument a reading
    joint_angle_1_rad: float,
    joint_angle_2_rad: float | None = None,
    joint_angle_3_rad: float | None = None,
    joint_angle_4_rad: float | None = None,
    *,
    plane_2_rad: float | None = None,
    plane_3_rad: float | None = None,
    plane_4_rad: float | None = None,
    fork_turn_1_rad: float | None = None,
    fork_turn_2_rad: float | None = None,
    fork_turn_3_rad: float | None = None,
) -> float:
    """Residual angle in rad of one to four joints, from their bends, planes and forks.

    A plane is the turn round the shaft from the first joint's plane to that of this joint. A fork
    turn is that of shaft 1, 2 or 3 (the one behind the joint of that number): how far its rear fork
    stands turned away from its front one, 0 aligned, 90 deg crossed. All in one sense, within 360
    deg; what is not given is 0. Raises ValueError for impossible angles, for a joint with a gap
    before it, and for a plane or fork without its joint.
    Source: as `residual_angle_of`; handbook section 2.2 (M for the signs, D for planes and twist).
    """
    bends = _given((joint_angle_1_rad, joint_angle_2_rad, joint_angle_3_rad, joint_angle_4_rad))
    planes = _turns("plane of joint", (plane_2_rad, plane_3_rad, plane_4_rad), len(bends), first=2)
    forks = _turns(
        "fork turn of shaft",
        (fork_turn_1_rad, fork_turn_2_rad, fork_turn_3_rad),
        len(bends),
        first=1,
    )
    fork = 0.0
    chain = [Joint(bends[0])]
    for bend, plane, turn in zip(bends[1:], planes, forks, strict=True):
        fork = fork_after(fork, turn)
        chain.append(Joint(bend, plane, fork))
    return residual_angle_of(chain)


def residual_angle_of_members(  # noqa: PLR0913 - one argument a reading
    slope_1_rad: float,
    slope_2_rad: float,
    slope_3_rad: float | None = None,
    slope_4_rad: float | None = None,
    slope_5_rad: float | None = None,
    *,
    heading_1_rad: float = 0.0,
    heading_2_rad: float = 0.0,
    heading_3_rad: float | None = None,
    heading_4_rad: float | None = None,
    heading_5_rad: float | None = None,
    fork_turn_1_rad: float | None = None,
    fork_turn_2_rad: float | None = None,
    fork_turn_3_rad: float | None = None,
) -> float:
    """Residual angle in rad of one to four joints between two to five members, front to rear.

    Slopes and headings between -90 and 90 deg, with sign; a heading not given is 0. Fork turns as
    `residual_angle_of_chain`: clockwise seen from the front when headings are positive to the
    vehicle's right, else the other way. Without headings the sense does not matter. Raises
    ValueError as `residual_angle_of_chain`.
    Source: handbook sections 2.2 and 3 (D; signs M).
    """
    slopes = _given((slope_1_rad, slope_2_rad, slope_3_rad, slope_4_rad, slope_5_rad), "slope")
    late = _turns(
        "heading of member", (heading_3_rad, heading_4_rad, heading_5_rad), len(slopes) - 1, first=3
    )
    headings = (heading_1_rad, heading_2_rad, *late)
    forks = _turns(
        "fork turn of shaft",
        (fork_turn_1_rad, fork_turn_2_rad, fork_turn_3_rad),
        len(slopes) - 1,
        first=1,
    )
    members = [direction_vector(*member) for member in zip(slopes, headings, strict=True)]
    return residual_angle_of(chain_between(members, forks))


def _given(readings: Sequence[_Reading], what: str = "joint angle") -> list[float]:
    """The readings up to the first that is missing; none may follow it."""
    for number, (before, after) in enumerate(pairwise(readings), start=1):
        if before is None and after is not None:
            raise ValueError(
                f"{what} {number + 1} is given without {what} {number}; the number must not be "
                "skipped"
            )
    return [reading for reading in readings if reading is not None]


def _turns(
    what: str, readings: Sequence[_Reading], joints: int, *, first: int
) -> tuple[float, ...]:
    """One turn for each joint after the first, 0 where none is given."""
    for number, reading in enumerate(readings[joints - 1 :], start=first + joints - 1):
        if reading is not None:
            raise ValueError(
                f"the {what} {number} is given, but the chain ends before it; its joint angle or "
                "slope must be given too"
            )
    return tuple(
        0.0 if reading is None else _limits.direction(f"the {what} {number}", reading)
        for number, reading in enumerate(readings[: joints - 1], start=first)
    )
