"""Wedges and shims: which of the parts there are brings the joint angles where they belong.

Slopes keep their sign along the driveline, as in `angles`: positive means rising to the rear. A
raised nose of the axle is therefore a fall of its member, a negative slope.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product
from typing import Final

from advisor.driveline import _limits
from advisor.driveline.angles import direction_vector
from advisor.driveline.phasing import joints_between, residual_angle_of

SMALLEST_JOINT_ANGLE_RAD: Final = math.radians(0.5)
"""So that the needles roll; two maker manuals, handbook section 2.5 (F)."""

GREATEST_JOINT_ANGLE_RAD: Final = math.radians(3.0)
"""At road speed; two maker manuals, handbook section 2.5 (F). The maker's figure goes first."""

MOST_TRIALS: Final = 30_000
"""Combinations times loads: a second of work; more steps are finer than any inclinometer."""


@dataclass(frozen=True, slots=True)
class LoadState:
    """Slopes of all members at one ride height, front to rear, in rad, and their headings.

    Three members for a one-piece shaft, four for a two-piece one. No headings mean a driveline
    that is straight as seen from above.
    """

    name: str
    slopes_rad: tuple[float, ...]
    headings_rad: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Adjustment:
    """One place where a part can be put, and what the parts there do.

    `steps` are the sizes that there are, with sign (rad for a wedge, m for a shim); leaving the
    place as it is, 0, is always one of them. `effects` are the changes of slope of each member, in
    rad for each rad or m.
    """

    name: str
    steps: tuple[float, ...]
    effects: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class LoadResult:
    """Angles in rad at one load: what is left of the fluctuations, and each joint's own bend."""

    name: str
    residual_rad: float
    joint_angles_rad: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class ShimChoice:
    """The best step for each adjustment, and the angles with it and without any.

    `worst_residual_rad` is the greatest over the loads. `joints_allowed` says that every joint
    angle keeps within its limits at every load; when no choice does, this is the one that comes
    nearest, and `remarks` names the joints and loads.
    """

    steps: tuple[float, ...]
    worst_residual_rad: float
    worst_residual_before_rad: float
    joints_allowed: bool
    loads: tuple[LoadResult, ...]
    before: tuple[LoadResult, ...]
    remarks: tuple[str, ...]


def best_shims(
    loads: Sequence[LoadState],
    adjustments: Sequence[Adjustment],
    crossed: Sequence[bool] = (),
    *,
    smallest_rad: float = SMALLEST_JOINT_ANGLE_RAD,
    greatest_rad: float = GREATEST_JOINT_ANGLE_RAD,
) -> ShimChoice:
    """The steps that make the worst residual angle over all loads least, by trying every one.

    First every joint angle at every load from `smallest_rad` to `greatest_rad`, or as near to that
    as can be; then the worst residual angle, to a ten-thousandth of a degree; then the fewest
    places touched, the smaller steps and the order of the steps. `crossed` says for each shaft
    whether its forks stand at a right angle; none given means aligned. Raises ValueError for
    impossible angles, numbers of members that differ, and too many combinations.
    Source: phasor sum; handbook section 2.2, DL-01 to DL-11 (D; signs M), limits section 2.5 (F).
    """
    lowest = _limits.bend("the smallest joint angle", smallest_rad)
    highest = _limits.bend("the greatest joint angle", greatest_rad)
    if lowest > highest:
        raise ValueError("the smallest joint angle must not exceed the greatest")
    forks = _checked(loads, adjustments, crossed)
    choices = [tuple(dict.fromkeys((0.0, *place.steps))) for place in adjustments]
    count = math.prod(len(steps) for steps in choices)
    most = MOST_TRIALS // len(loads)
    if count > most:
        raise ValueError(
            f"the parts allow {count} combinations; leave out steps until there are at most {most}"
        )
    # The first combination touches nothing, so it stands for the vehicle as it is.
    tried = [(steps, _results(loads, adjustments, steps, forks)) for steps in product(*choices)]
    before = tried[0][1]
    steps, best = min(tried, key=lambda one: _preference(one[0], one[1], lowest, highest))
    remarks = _remarks(best, lowest, highest)
    return ShimChoice(steps, _worst(best), _worst(before), not remarks, best, before, remarks)


def wedge_effects(
    pinion_length_m: float, shaft_length_m: float, *, pieces: int = 1
) -> tuple[float, ...]:
    """Effects of a wedge under the axle, for each rad by which its nose rises.

    `pinion_length_m` leads from the axle's centre, about which it turns, to the rear joint (0 or
    more); the nose carries the joint along, so the last shaft, `shaft_length_m` long (above 0),
    tilts too. `pieces` is 1 or 2. Raises ValueError for others.
    Source: geometry of small angles (D).
    """
    nose = _limits.clearance("the length of the axle's nose", pinion_length_m)
    shaft = _limits.length("the length of the shaft", shaft_length_m)
    return (*(0.0,) * _pieces(pieces), nose / shaft, -1.0)


def mount_shim_effects(
    mount_distance_m: float,
    joint_distance_m: float,
    shaft_length_m: float,
    *,
    second_shaft: tuple[float, float] | None = None,
) -> tuple[float, ...]:
    """Effects of a shim under the rear mount of engine and gearbox, for each m of height.

    Distances in m, above 0: from the front mounts to the rear mount, from the front mounts to the
    front joint, and from that joint to the next joint, or on a two-piece shaft to the centre
    support. There `second_shaft` gives the distance from the support to the centre joint, behind
    it, and the length of the rear shaft. Raises ValueError for others.
    Source: geometry of small angles (D).
    """
    gearbox = 1.0 / _limits.length("the distance of the mounts", mount_distance_m)
    rise = gearbox * _limits.length("the distance to the front joint", joint_distance_m)
    front = -rise / _limits.length("the length of the front shaft", shaft_length_m)
    if second_shaft is None:
        return gearbox, front, 0.0
    overhang = _limits.clearance("the distance from support to centre joint", second_shaft[0])
    rear = _limits.length("the length of the rear shaft", second_shaft[1])
    return gearbox, front, -front * overhang / rear, 0.0


def support_shim_effects(
    support_distance_m: float, centre_joint_distance_m: float, rear_shaft_length_m: float
) -> tuple[float, ...]:
    """Effects of a shim that raises the centre support, for each m of height.

    Distances in m, above 0: from the front joint to the support, from the front joint to the
    centre joint, and from there to the rear joint. Raises ValueError for others.
    Source: geometry of small angles (D).
    """
    front = 1.0 / _limits.length("the distance of the support", support_distance_m)
    rise = front * _limits.length("the distance to the centre joint", centre_joint_distance_m)
    return (
        0.0,
        front,
        -rise / _limits.length("the length of the rear shaft", rear_shaft_length_m),
        0.0,
    )


def _pieces(pieces: int) -> int:
    if pieces not in (1, 2):
        raise ValueError(f"the shaft has {pieces} pieces; expected 1 or 2")
    return pieces


def _checked(
    loads: Sequence[LoadState], adjustments: Sequence[Adjustment], crossed: Sequence[bool]
) -> tuple[bool, ...]:
    if not loads:
        raise ValueError("no slopes are given; measure them at one height at least")
    members = len(loads[0].slopes_rad)
    if members not in (3, 4):
        raise ValueError(f"{members} slopes are given; expected 3, or 4 for a two-piece shaft")
    for load in loads:
        if len(load.slopes_rad) != members or len(load.headings_rad) not in (0, members):
            raise ValueError(f'"{load.name}" needs a slope for each of the {members} members')
    for place in adjustments:
        if len(place.effects) != members:
            raise ValueError(f'"{place.name}" needs an effect for each of the {members} members')
    if len(crossed) not in (0, members - 2):
        raise ValueError(f"say for each of the {members - 2} shafts how its forks stand")
    return tuple(crossed) or (False,) * (members - 2)


def _results(
    loads: Sequence[LoadState],
    adjustments: Sequence[Adjustment],
    steps: Sequence[float],
    crossed: Sequence[bool],
) -> tuple[LoadResult, ...]:
    turns = [
        sum(step * place.effects[member] for step, place in zip(steps, adjustments, strict=True))
        for member in range(len(loads[0].slopes_rad))
    ]
    found = []
    for load in loads:
        headings = load.headings_rad or (0.0,) * len(turns)
        members = [
            direction_vector(slope + turn, heading)
            for slope, turn, heading in zip(load.slopes_rad, turns, headings, strict=True)
        ]
        joints = joints_between(members, crossed)
        angles = tuple(joint.angle_rad for joint in joints)
        found.append(LoadResult(load.name, residual_angle_of(joints), angles))
    return tuple(found)


def _preference(
    steps: Sequence[float], results: Sequence[LoadResult], lowest: float, highest: float
) -> tuple[float, ...]:
    angles = [angle for result in results for angle in result.joint_angles_rad]
    excess = max(0.0, *(lowest - angle for angle in angles), *(angle - highest for angle in angles))
    return (
        _rounded(excess),
        _rounded(_worst(results)),
        sum(step != 0.0 for step in steps),
        *(abs(step) for step in steps),
    )


def _rounded(angle_rad: float) -> float:
    return round(math.degrees(angle_rad), 4)


def _worst(results: Sequence[LoadResult]) -> float:
    return max(result.residual_rad for result in results)


def _remarks(results: Sequence[LoadResult], lowest: float, highest: float) -> tuple[str, ...]:
    remarks = []
    for result in results:
        for number, angle in enumerate(result.joint_angles_rad, 1):
            shown = f"{result.name}: joint {number} bends by {math.degrees(angle):.2f} deg"
            if _rounded(lowest - angle) > 0.0:
                remarks.append(f"{shown}, below {math.degrees(lowest):g} deg")
            elif _rounded(angle - highest) > 0.0:
                remarks.append(f"{shown}, above {math.degrees(highest):g} deg")
    return tuple(remarks)
