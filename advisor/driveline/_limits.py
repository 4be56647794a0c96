"""Guards that refuse impossible numbers with a sentence in the units a technician uses."""

from __future__ import annotations

import math

HALF_TURN_RAD = math.pi
QUARTER_TURN_RAD = math.pi / 2


def finite(what: str, value: float, unit: str = "") -> float:
    """The number given back, or ValueError when it is no ordinary number."""
    if not math.isfinite(value):
        raise ValueError(f"{what} is {value:g}{_spaced(unit)}; it must be a finite number")
    return value


def positive(what: str, value: float, factor: float = 1.0, unit: str = "") -> float:
    """The number given back, or ValueError when it is not above zero."""
    finite(what, value, unit)
    if value <= 0.0:
        shown = f"{value * factor:g}{_spaced(unit)}"
        raise ValueError(f"{what} is {shown}; it must be more than 0{_spaced(unit)}")
    return value


def not_negative(what: str, value: float, factor: float = 1.0, unit: str = "") -> float:
    """The number given back, or ValueError when it is below zero."""
    finite(what, value, unit)
    if value < 0.0:
        shown = f"{value * factor:g}{_spaced(unit)}"
        raise ValueError(f"{what} is {shown}; it must not be below 0{_spaced(unit)}")
    return value


def length(what: str, value_m: float) -> float:
    """A length above zero."""
    return positive(what, value_m, 1e3, "mm")


def clearance(what: str, value_m: float) -> float:
    """A length of zero or more."""
    return not_negative(what, value_m, 1e3, "mm")


def frequency(what: str, value_hz: float) -> float:
    """A frequency of zero or more."""
    return not_negative(what, value_hz, 1.0, "Hz")


def turning(what: str, value_hz: float) -> float:
    """A frequency above zero, for where something is divided by it."""
    return positive(what, value_hz, 1.0, "Hz")


def mass(what: str, value_kg: float) -> float:
    """A mass above zero."""
    return positive(what, value_kg, 1.0, "kg")


def bend(what: str, value_rad: float) -> float:
    """The bend of a joint, from zero to less than a right angle."""
    if not 0.0 <= value_rad < QUARTER_TURN_RAD:
        shown = f"{math.degrees(value_rad):g} deg"
        raise ValueError(f"{what} is {shown}; it must be from 0 deg to less than 90 deg")
    return value_rad


def bent(what: str, value_rad: float) -> float:
    """The bend of a joint that is not straight, less than a right angle."""
    return positive(what, bend(what, value_rad), math.degrees(1.0), "deg")


def tilt(what: str, value_rad: float) -> float:
    """A slope or heading with its sign, less than a right angle either way."""
    if not -QUARTER_TURN_RAD < value_rad < QUARTER_TURN_RAD:
        shown = f"{math.degrees(value_rad):g} deg"
        raise ValueError(f"{what} is {shown}; it must lie between -90 deg and 90 deg")
    return value_rad


def direction(what: str, value_rad: float) -> float:
    """An angle round the shaft, up to a whole turn either way."""
    if not -2 * HALF_TURN_RAD <= value_rad <= 2 * HALF_TURN_RAD:
        shown = f"{math.degrees(value_rad):g} deg"
        raise ValueError(f"{what} is {shown}; it must lie between -360 deg and 360 deg")
    return value_rad


def angular_speed(shaft_frequency_hz: float) -> float:
    """Angular speed in rad/s of a shaft that makes `shaft_frequency_hz` turns a second."""
    return 2.0 * math.pi * frequency("the shaft frequency", shaft_frequency_hz)


def _spaced(unit: str) -> str:
    return f" {unit}" if unit else ""
