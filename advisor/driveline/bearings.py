"""Life of a joint's needle bearings, which swing to and fro rather than turn."""

from __future__ import annotations

import math
from typing import Final

from advisor.driveline import _limits

ROLLER_EXPONENT: Final = 10.0 / 3.0
"""Life exponent of line contact; ISO 281, handbook section 10 (F)."""

WEIBULL_SLOPE: Final = 1.5
"""Scatter of bearing lives; ISO 281, handbook section 10 (M)."""


def rating_life(load_ratio: float, exponent: float = ROLLER_EXPONENT) -> float:
    """Turns that nine bearings in ten survive, from dynamic load rating over load.

    `load_ratio` above 0; `exponent` 10/3 for rollers, 3 for balls. Raises ValueError for others.
    Source: (C / P)^p million turns; ISO 281, handbook section 10 (F).
    """
    ratio = _limits.positive("the load rating over the load", load_ratio)
    return 1e6 * math.pow(ratio, _limits.positive("the life exponent", exponent))


def trunnion_travel(joint_angle_rad: float) -> float:
    """Angle in rad that a trunnion sweeps in its cap during one turn of the shaft.

    `joint_angle_rad` from 0 to less than 90 deg, else ValueError.
    Source: 4 b; handbook section 10, BRG-05 (D).
    """
    return 4.0 * _limits.bend("the joint angle", joint_angle_rad)


def equivalent_turns(joint_angle_rad: float) -> float:
    """Turns of a bearing that count as much as its swing in one turn of the shaft.

    `joint_angle_rad` from 0 to less than 90 deg, else ValueError.
    Source: 4 b / 360 deg; handbook section 10 (F for the general form, M and D for the joint).
    """
    return trunnion_travel(joint_angle_rad) / (2.0 * math.pi)


def reliability_factor(reliability: float, weibull_slope: float = WEIBULL_SLOPE) -> float:
    """Life with this reliability over the life with 0.9. Reliability above 0 and below 1.

    Raises ValueError for others.
    Source: (ln R / ln 0.9)^(1 / slope); ISO 281, handbook section 10, BRG-08 (M).
    """
    if not 0.0 < reliability < 1.0:
        raise ValueError(f"the reliability is {reliability:g}; it must be above 0 and below 1")
    slope = _limits.positive("the Weibull slope", weibull_slope)
    return math.pow(math.log(reliability) / math.log(0.9), 1.0 / slope)


def joint_life(
    load_ratio: float,
    joint_angle_rad: float,
    shaft_frequency_hz: float,
    reliability: float = 0.9,
) -> float:
    """Running time in s that a joint's bearings survive with this reliability.

    `load_ratio` is dynamic load rating over load. All above 0, angle less than 90 deg, else
    ValueError. Too long for angles under about 5 deg: needles that hardly roll fret instead.
    Source: ISO 281 with the travel of `trunnion_travel`; handbook section 10, BRG-04 (M, D).
    """
    equivalent = equivalent_turns(_rolling("the joint angle", joint_angle_rad))
    turns_a_second = _limits.turning("the shaft frequency", shaft_frequency_hz)
    turns = rating_life(load_ratio) * reliability_factor(reliability)
    return turns / (equivalent * turns_a_second)


def life_factor(load_factor: float, exponent: float = ROLLER_EXPONENT) -> float:
    """Life over what it was, when the load (or the torque) is multiplied by `load_factor`.

    Both above 0, else ValueError.
    Source: load_factor^-p; ISO 281, handbook section 10, BRG-02 and BRG-03 (F).
    """
    factor = _limits.positive("the load factor", load_factor)
    return math.pow(factor, -_limits.positive("the life exponent", exponent))


def life_after_change(
    old_angle_rad: float, new_angle_rad: float, torque_factor: float = 1.0
) -> float:
    """A joint's life over what it was, after its angle and the torque have changed.

    Angles above 0 and less than 90 deg, factor above 0, else ValueError. As `joint_life`, it
    promises too much at small angles.
    Source: 1 / b and `life_factor`; handbook section 10, BRG-02 and BRG-06 (D).
    """
    old = _rolling("the old joint angle", old_angle_rad)
    new = _rolling("the new joint angle", new_angle_rad)
    return old / new * life_factor(torque_factor)


def relative_life(  # noqa: PLR0913 - three arguments a condition
    old_angle_rad: float,
    new_angle_rad: float,
    *,
    old_frequency_hz: float,
    new_frequency_hz: float,
    old_torque_nm: float,
    new_torque_nm: float,
) -> float:
    """A joint's running time in new conditions over that in old ones: angle, speed and torque.

    All above 0, angles less than 90 deg, else ValueError. As `joint_life`, it promises too much at
    small angles.
    Source: life falls as 1 / (n b T^(10/3)); handbook section 10 (F for the law, M and D for the
    joint).
    """
    old_torque = _limits.positive("the old torque", old_torque_nm, 1.0, "N*m")
    new_torque = _limits.positive("the new torque", new_torque_nm, 1.0, "N*m")
    old_speed = _limits.turning("the old shaft speed", old_frequency_hz)
    new_speed = _limits.turning("the new shaft speed", new_frequency_hz)
    change = life_after_change(old_angle_rad, new_angle_rad, new_torque / old_torque)
    return change * old_speed / new_speed


def needle_load(torque_nm: float, trunnion_radius_m: float, joint_angle_rad: float) -> float:
    """Greatest force in N on one trunnion.

    `trunnion_radius_m` leads from the joint centre to the middle of the needles, above 0; torque 0
    or more. Raises ValueError for impossible values.
    Source: T / (2 R cos b); handbook section 10, BRG-07 (M).
    """
    torque = _limits.not_negative("the torque", torque_nm, 1.0, "N*m")
    radius = _limits.length("the trunnion radius", trunnion_radius_m)
    return torque / (2.0 * radius * math.cos(_limits.bend("the joint angle", joint_angle_rad)))


def _rolling(what: str, angle_rad: float) -> float:
    if angle_rad == 0.0:
        raise ValueError(
            f"{what} is 0 deg; it must be more than 0 deg: needles that never roll do not tire "
            "but fret"
        )
    return _limits.bent(what, angle_rad)
