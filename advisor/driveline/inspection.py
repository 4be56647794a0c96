"""What hand and gauge find on one joint: its turning effort, worn trunnions, dents of needles."""

from __future__ import annotations

import math
from typing import Final

from advisor.driveline import _limits

FITS: Final = "fits"
DOES_NOT_FIT: Final = "does-not-fit"
CANNOT_TELL: Final = "cannot-tell"
DENT_ANSWERS: Final = (FITS, DOES_NOT_FIT, CANNOT_TELL)


def turning_effort(
    pull_n: float, lever_arm_m: float, pull_angle_rad: float = _limits.QUARTER_TURN_RAD
) -> float:
    """Torque in N*m that swings a joint, from the reading of a spring scale.

    `lever_arm_m` leads from the joint centre to where the scale pulls, above 0; the pull is 0 or
    more. `pull_angle_rad` lies between arm and pull, more than 0 and less than 180 deg. Raises
    ValueError for others.
    Source: T = F r sin a (D); the torques that makers ask for: handbook section 8, EP-08 (F).
    """
    pull = _limits.not_negative("the pull", pull_n, 1.0, "N")
    arm = _limits.length("the lever arm", lever_arm_m)
    if not 0.0 < pull_angle_rad < _limits.HALF_TURN_RAD:
        shown = f"{math.degrees(pull_angle_rad):g} deg"
        raise ValueError(
            f"the angle between arm and pull is {shown}; it must be more than 0 deg and less than "
            "180 deg"
        )
    return pull * arm * math.sin(pull_angle_rad)


def trunnion_step(unworn_diameter_m: float, worn_diameter_m: float) -> float:
    """Step in m from the unworn seal edge of a trunnion down into its needle track, on one side.

    Both diameters above 0, else ValueError. Below zero, the readings show no wear. Taken as worn
    alike on both sides of the diameter.
    Source: (D - d) / 2; geometry, of the step in handbook section 10 (D; F and M for the damage).
    """
    return trunnion_looseness(unworn_diameter_m, worn_diameter_m) / 2.0


def trunnion_looseness(
    unworn_diameter_m: float, worn_diameter_m: float, new_clearance_m: float = 0.0
) -> float:
    """How far in m a cap can shift across its worn trunnion, from stop to stop.

    Diameters above 0; `new_clearance_m` is the same shift on an unworn trunnion, 0 or more. Raises
    ValueError for others. The step counts twice, once on each side.
    Source: D - d + clearance when new; geometry (D).
    """
    unworn = _limits.length("the unworn diameter", unworn_diameter_m)
    worn = _limits.length("the worn diameter", worn_diameter_m)
    return unworn - worn + _limits.clearance("the clearance when new", new_clearance_m)


def needle_pitch(circle_diameter_m: float, needles: float) -> float:
    """Spacing in m, along a circle, of the needles of one cap.

    The circle of the needle centres gives their own pitch; dents lie on the trunnion or in the
    cap, whose circles are smaller and larger by one needle. Diameter above 0, needles a whole
    number from 3. Raises ValueError for others.
    Source: pi D / n; geometry (D).
    """
    diameter = _limits.length("the diameter of the circle", circle_diameter_m)
    if not (needles >= 3 and float(needles).is_integer()):
        raise ValueError(f"the number of needles is {needles:g}; it must be a whole number from 3")
    return math.pi * diameter / needles


def dent_spacing_ratio(dent_spacing_m: float, circle_diameter_m: float, needles: float) -> float:
    """Measured spacing of dents over the spacing of the needles; near 1 speaks for brinelling.

    `dent_spacing_m` above 0, the others as `needle_pitch`. Raises ValueError for others.
    Source: dents at needle pitch, ISO 15243:2017; handbook section 10 (F for the sign, D).
    """
    spacing = _limits.length("the spacing of the dents", dent_spacing_m)
    return spacing / needle_pitch(circle_diameter_m, needles)


def dents_fit_needles(
    dent_spacing_m: float, spacing_u_m: float, circle_diameter_m: float, needles: float
) -> str:
    """Whether dents stand as far apart as the needles: "fits", "does-not-fit" or "cannot-tell".

    `spacing_u_m` is the standard uncertainty of the measured spacing, above 0. Twice it is the
    widest difference that still fits; when that reaches half the needles' spacing, any dent would
    be near one, so nothing can be told. Others as `dent_spacing_ratio`; raises ValueError.
    Source: JCGM 100:2008 with k = 2; handbook sections 10 and 12 (F for the sign, D).
    """
    pitch = needle_pitch(circle_diameter_m, needles)
    spacing = _limits.length("the spacing of the dents", dent_spacing_m)
    width = 2.0 * _limits.length("the standard uncertainty of the spacing", spacing_u_m)
    if width >= pitch / 2.0:
        return CANNOT_TELL
    return FITS if abs(spacing - pitch) <= width else DOES_NOT_FIT
