"""One universal joint: how the driven side speeds up and slows down, and how it bends the shafts.

Angles are the bend of the joint. The phase is the turn of the driving fork, zero when that fork
lies in the plane that holds both shafts.
"""

from __future__ import annotations

import math

from advisor.driveline import _limits


def speed_ratio(joint_angle_rad: float, phase_rad: float) -> float:
    """Driven speed over driving speed at one moment of the turn.

    `joint_angle_rad` from 0 to less than a right angle, `phase_rad` any angle. 1.0 means equal
    speeds. Raises ValueError for an impossible joint angle.
    Source: r = cos b / (1 - sin^2 b cos^2 p); handbook section 1 (F, D).
    """
    angle = _limits.bend("the joint angle", joint_angle_rad)
    phase = _limits.finite("the phase", phase_rad, "deg")
    return math.cos(angle) / (1.0 - (math.sin(angle) * math.cos(phase)) ** 2)


def fluctuation(joint_angle_rad: float) -> float:
    """Greatest less smallest speed ratio of one joint; 0.0 means that it runs evenly.

    `joint_angle_rad` from 0 to less than a right angle. Raises ValueError for another.
    Source: U = sin b tan b; handbook section 1 (F).
    """
    angle = _limits.bend("the joint angle", joint_angle_rad)
    return math.sin(angle) * math.tan(angle)


def angle_of_fluctuation(total_fluctuation: float) -> float:
    """Joint angle in rad at which the fluctuation reaches `total_fluctuation` (0 or more).

    Raises ValueError for a negative fluctuation.
    Source: root of 1/c - c = U, c = cos b; handbook section 1 (D).
    """
    half = _limits.not_negative("the speed fluctuation", total_fluctuation) / 2.0
    # b = atan2(sin b, cos b) keeps its precision near zero, where acos loses half the digits.
    cosine = math.sqrt(half * half + 1.0) - half
    return math.atan2(math.sqrt(2.0 * half * cosine), cosine)


def lead(joint_angle_rad: float) -> float:
    """Greatest angle in rad by which the driven side runs ahead of, or behind, the driving side.

    `joint_angle_rad` from 0 to less than a right angle. Raises ValueError for another.
    Source: tan d = (1 - cos b) / (2 sqrt(cos b)); handbook section 1 (D).
    """
    cosine = math.cos(_limits.bend("the joint angle", joint_angle_rad))
    return math.atan((1.0 - cosine) / (2.0 * math.sqrt(cosine)))


def peak_acceleration_phase(joint_angle_rad: float) -> float:
    """Phase in rad, in the first quarter turn, at which the driven side decelerates hardest.

    `joint_angle_rad` from 0 to less than a right angle. Raises ValueError for another.
    Source: cos 2p = (-A + sqrt(A^2 + 8 B^2)) / (2 B), B = sin^2 b / 2, A = 1 - B;
    handbook section 1 (D). The textbook short form is its first term.
    """
    sine_squared = math.sin(_limits.bend("the joint angle", joint_angle_rad)) ** 2
    b = sine_squared / 2.0
    a = 1.0 - b
    # The same root written without a difference of near equals, so that small bends stay exact.
    return math.acos(4.0 * b / (a + math.sqrt(a * a + 8.0 * b * b))) / 2.0


def peak_acceleration(joint_angle_rad: float, shaft_frequency_hz: float) -> float:
    """Greatest angular acceleration in rad/s^2 of the driven side, exact.

    It is also what the tube between two joints feels: from its first joint on drive, from its last
    on coast. `shaft_frequency_hz` is the steady driving side, 0 or more. Raises ValueError for an
    impossible angle or frequency.
    Source: a = w^2 cos b sin^2 b sin 2p / (1 - sin^2 b cos^2 p)^2; handbook sections 1, 2.4 (D).
    """
    phase = peak_acceleration_phase(joint_angle_rad)
    speed = _limits.angular_speed(shaft_frequency_hz)
    sine_squared = math.sin(joint_angle_rad) ** 2
    steepness = math.cos(joint_angle_rad) * sine_squared * math.sin(2.0 * phase)
    return speed**2 * steepness / (1.0 - sine_squared * math.cos(phase) ** 2) ** 2


def inertia_torque(
    mass_kg: float, radius_of_gyration_m: float, acceleration_rad_per_s2: float
) -> float:
    """Torque in N*m that an angular acceleration asks of a turning part.

    Mass and radius of gyration above 0; that of a thin tube is its radius. The sign follows the
    acceleration. Raises ValueError for others.
    Source: T = m k^2 a; handbook sections 1 and 2.4, KIN-07 (M, D).
    """
    mass = _limits.mass("the mass", mass_kg)
    radius = _limits.length("the radius of gyration", radius_of_gyration_m)
    return (
        mass
        * radius**2
        * _limits.finite("the angular acceleration", acceleration_rad_per_s2, "rad/s^2")
    )


def driving_bending_moment(torque_nm: float, joint_angle_rad: float) -> float:
    """Greatest bending moment in N*m on the driving shaft, from the torque through the joint.

    Half of it stands still in the vehicle, half turns as 2x shaft. The sign follows the torque.
    Raises ValueError for an impossible joint angle.
    Source: T tan b; handbook section 4 (D).
    """
    return _torque(torque_nm) * math.tan(_limits.bend("the joint angle", joint_angle_rad))


def driven_bending_moment(torque_nm: float, joint_angle_rad: float) -> float:
    """Greatest bending moment in N*m on the driven shaft, from the torque on the driving shaft.

    The sign follows the torque. Raises ValueError for an impossible joint angle.
    Source: T sin b; handbook section 4 (D).
    """
    return _torque(torque_nm) * math.sin(_limits.bend("the joint angle", joint_angle_rad))


def smallest_driven_torque(torque_nm: float, joint_angle_rad: float) -> float:
    """Least torque in N*m on the driven shaft in a turn, for a steady torque on the driving one.

    The sign follows the torque. Raises ValueError for an impossible joint angle.
    Source: T cos b; handbook section 4, MOM-04 (F).
    """
    return _torque(torque_nm) * math.cos(_limits.bend("the joint angle", joint_angle_rad))


def greatest_driven_torque(torque_nm: float, joint_angle_rad: float) -> float:
    """Greatest torque in N*m on the driven shaft in a turn; otherwise as `smallest_driven_torque`.

    Source: T / cos b; handbook section 4, MOM-04 (F).
    """
    return _torque(torque_nm) / math.cos(_limits.bend("the joint angle", joint_angle_rad))


def support_force(torque_nm: float, joint_angle_rad: float, support_distance_m: float) -> float:
    """Amplitude in N of the 2x shaft force on a support, from the bending moment of a joint.

    `support_distance_m` is the distance between the supports of the driving shaft, above 0. The
    steady force is as large. Raises ValueError for impossible values.
    Source: T tan b / (2 L); handbook section 4, MOM-05 (D).
    """
    distance = _limits.length("the distance between the supports", support_distance_m)
    return driving_bending_moment(torque_nm, joint_angle_rad) / (2.0 * distance)


def _torque(torque_nm: float) -> float:
    return _limits.finite("the torque", torque_nm, "N*m")
