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
    ValueError. Too long for angles under about 3 deg: needles that hardly roll fret instead.
    Source: ISO 281 with the travel of `trunnion_travel`; handbook section 10, BRG-04 (M, D).
    """
    travel = trunnion_travel(_limits.bent("the joint angle", joint_angle_rad))
    turns_a_second = _limits.turning("the shaft frequency", shaft_frequency_hz)
    turns = rating_life(load_ratio) * reliability_factor(reliability)
    return turns / (travel / (2.0 * math.pi) * turns_a_second)


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
    old = _limits.bent("the old joint angle", old_angle_rad)
    new = _limits.bent("the new joint angle", new_angle_rad)
    return old / new * life_factor(torque_factor)


def needle_load(torque_nm: float, trunnion_radius_m: float, joint_angle_rad: float) -> float:
    """Greatest force in N on one trunnion.

    `trunnion_radius_m` leads from the joint centre to the middle of the needles, above 0; torque 0
    or more. Raises ValueError for impossible values.
    Source: T / (2 R cos b); handbook section 10, BRG-07 (M).
    """
    torque = _limits.not_negative("the torque", torque_nm, 1.0, "N*m")
    radius = _limits.length("the trunnion radius", trunnion_radius_m)
    return torque / (2.0 * radius * math.cos(_limits.bend("the joint angle", joint_angle_rad)))
