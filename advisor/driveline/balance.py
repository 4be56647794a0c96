"""Unbalance: how much there is, the force it makes, how much a grade allows, and its correction."""

from __future__ import annotations

import cmath
import math

from advisor.driveline import _limits


def unbalance_from_mass(mass_kg: float, radius_m: float) -> float:
    """Unbalance in kg*m of a mass out of place. Mass and radius above 0, else ValueError.

    Source: U = m r; handbook section 6, UNB-12 (D).
    """
    return _limits.mass("the mass", mass_kg) * _limits.length("the radius", radius_m)


def unbalance_from_shift(shaft_mass_kg: float, shift_m: float) -> float:
    """Unbalance in kg*m when one end of a shaft runs off centre: half the mass moves.

    `shift_m` is how far the axis moves at that end, 0 or more: the whole end play from one stop to
    the other, half of it from the middle. Raises ValueError for impossible values.
    Source: U = m / 2 x; handbook section 6, UNB-07 (D).
    """
    half = _limits.mass("the shaft's mass", shaft_mass_kg) / 2.0
    return half * _limits.clearance("the shift", shift_m)


def force_from_unbalance(unbalance_kg_m: float, shaft_frequency_hz: float) -> float:
    """Turning force in N of an unbalance (0 or more); it grows with the square of speed.

    Raises ValueError for a negative unbalance or frequency.
    Source: F = U w^2; handbook section 6, UNB-01 (D).
    """
    unbalance = _limits.not_negative("the unbalance", unbalance_kg_m, 1e6, "g*mm")
    return unbalance * _limits.angular_speed(shaft_frequency_hz) ** 2


def permissible_offset(grade: float, shaft_frequency_hz: float) -> float:
    """Offset in m of the mass centre that a balance grade allows.

    `grade` is the number after the G, in mm/s, above 0; frequency above 0. Raises ValueError for
    others. Rigid shafts only.
    Source: e = G / w; ISO 21940-11:2016, handbook section 6 (F for the grades).
    """
    _limits.turning("the shaft frequency", shaft_frequency_hz)
    limit_m_per_s = _limits.positive("the balance grade", grade, 1.0, "mm/s") / 1e3
    return limit_m_per_s / _limits.angular_speed(shaft_frequency_hz)


def permissible_unbalance(grade: float, mass_kg: float, shaft_frequency_hz: float) -> float:
    """Unbalance in kg*m that a balance grade allows for the whole shaft.

    As `permissible_offset`; `mass_kg` above 0. The standard lists drive shafts under G16 and, for
    cars, under G40. Raises ValueError for impossible values.
    Source: U = m e; ISO 21940-11:2016, handbook section 6, UNB-05 (F for the grades).
    """
    return _limits.mass("the mass", mass_kg) * permissible_offset(grade, shaft_frequency_hz)


def unbalance_in_plane(unbalance_kg_m: float, distance_m: float, other_distance_m: float) -> float:
    """Share in kg*m of an unbalance, or of the allowed one, that falls to one correcting plane.

    The distances lead from the centre of mass to this plane and to the other one, on its other
    side, above 0: the nearer plane gets the larger share. Raises ValueError for impossible values.
    Source: lever rule; ISO 21940-11, handbook section 6, UNB-06 (M).
    """
    here = _limits.length("the distance to this plane", distance_m)
    other = _limits.length("the distance to the other plane", other_distance_m)
    unbalance = _limits.not_negative("the unbalance", unbalance_kg_m, 1e6, "g*mm")
    return unbalance * other / (here + other)


def spread_effect(spread_rad: float) -> float:
    """What two equal clamps do together, in clamps, when spread apart by this angle.

    2.0 with none, 1.0 at 120 deg, 0.0 at 180 deg. The spread is from 0 to 180 deg, else ValueError.
    Source: 2 cos(s / 2); handbook section 6, UNB-09 (F for the method).
    """
    if not 0.0 <= spread_rad <= math.pi:
        shown = f"{math.degrees(spread_rad):g} deg"
        raise ValueError(f"the spread is {shown}; it must be from 0 deg to 180 deg")
    return 2.0 * math.cos(spread_rad / 2.0)


def spread_for_effect(effect: float) -> float:
    """Angle in rad by which to spread two equal clamps, for an effect of 0 to 2 clamps.

    Raises ValueError for another effect.
    Source: inverse of `spread_effect`; handbook section 6, UNB-10 (D).
    """
    if not 0.0 <= effect <= 2.0:
        raise ValueError(f"the effect is {effect:g} clamps; it must be from 0 to 2")
    return 2.0 * math.acos(effect / 2.0)


def correction_mass(
    vibration_before: float,
    phase_before_rad: float,
    trial_mass_kg: float,
    vibration_after: float,
    phase_after_rad: float,
) -> float:
    """Mass in kg to place, at the trial mass's radius, after one run with and one without it.

    The vibrations are amplitudes in one unit, 0 or more, at one speed and place. Take the trial
    mass off again. Raises ValueError for impossible values and when it changed nothing.
    Source: one-plane influence coefficient; handbook section 6, UNB-11 (M).
    """
    return abs(
        _correction(
            (vibration_before, phase_before_rad), trial_mass_kg, (vibration_after, phase_after_rad)
        )
    )


def correction_turn(
    vibration_before: float,
    phase_before_rad: float,
    vibration_after: float,
    phase_after_rad: float,
) -> float:
    """Angle in rad from the place of the trial mass to that of the correction, in (-pi, pi].

    Positive in the sense in which the phases are counted. Otherwise as `correction_mass`.
    Source: one-plane influence coefficient; handbook section 6, UNB-11 (M).
    """
    return cmath.phase(
        _correction((vibration_before, phase_before_rad), 1.0, (vibration_after, phase_after_rad))
    )


def _correction(
    before: tuple[float, float], trial_mass_kg: float, after: tuple[float, float]
) -> complex:
    first = _vibration(*before)
    change = _vibration(*after) - first
    # Below a thousandth of the reading the change is noise, and the quotient without meaning.
    if abs(change) <= 1e-3 * abs(first):
        raise ValueError("the trial mass changed nothing; use a larger one or check the readings")
    return -first * _limits.mass("the trial mass", trial_mass_kg) / change


def _vibration(amplitude: float, phase_rad: float) -> complex:
    return cmath.rect(
        _limits.not_negative("the vibration", amplitude), _limits.direction("the phase", phase_rad)
    )
