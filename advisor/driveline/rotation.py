"""Who turns how fast: from road speed and tyre to wheel, shaft, engine and firing."""

from __future__ import annotations

import math
from typing import Final

from advisor.driveline import _limits

ROLLING_FACTOR: Final = 0.97
"""Rolling over free circumference of a tyre; sources give 0.96 to 0.98, handbook section 9 (F)."""

SPEED_TOLERANCE: Final = 0.03
"""How far a computed order may be off: tyre factor 1 %, worn tread 2 %.
Handbook section 9 (F, P)."""

RESOLUTION_HZ: Final = 0.5
"""Frequency resolution of a record of two seconds; handbook section 9, ROT-14 (D)."""

ORDERS: Final = (
    "1x-wheel",
    "2x-wheel",
    "3x-wheel",
    "1x-shaft",
    "2x-shaft",
    "half-engine",
    "1x-engine",
    "firing-order",
)
NO_ORDER: Final = "none-of-these"


def rolling_circumference(tyre_diameter_m: float, rolling_factor: float = ROLLING_FACTOR) -> float:
    """Way in m that a wheel rolls in one turn.

    `tyre_diameter_m` is the free diameter, above 0; `rolling_factor` above 0 and at most 1. Raises
    ValueError for others.
    Source: pi D f; handbook section 9 (F).
    """
    diameter = _limits.length("the tyre diameter", tyre_diameter_m)
    if not 0.0 < rolling_factor <= 1.0:
        raise ValueError(
            f"the rolling factor is {rolling_factor:g}; it must be above 0 and at most 1"
        )
    return math.pi * diameter * rolling_factor


def wheel_frequency(
    road_speed_m_per_s: float, tyre_diameter_m: float, rolling_factor: float = ROLLING_FACTOR
) -> float:
    """Turns of a wheel a second (Hz) at a road speed of 0 or more.

    Raises ValueError for impossible values.
    Source: v / (pi D f); handbook section 9, ROT-06 (F).
    """
    speed = _limits.not_negative("the road speed", road_speed_m_per_s, 3.6, "km/h")
    return speed / rolling_circumference(tyre_diameter_m, rolling_factor)


def road_speed(
    wheel_frequency_hz: float, tyre_diameter_m: float, rolling_factor: float = ROLLING_FACTOR
) -> float:
    """Road speed in m/s at which the wheels turn this often a second (0 Hz or more).

    Raises ValueError for impossible values.
    Source: pi D f times turns; handbook section 9, ROT-10 (F).
    """
    turns = _limits.frequency("the wheel frequency", wheel_frequency_hz)
    return turns * rolling_circumference(tyre_diameter_m, rolling_factor)


def rolling_factor(
    tyre_diameter_m: float, road_speed_m_per_s: float, wheel_frequency_hz: float
) -> float:
    """Rolling factor of a tyre, from a true road speed and the wheel frequency measured at it.

    All above 0, else ValueError. Below about 0.94 or above 1 a reading is wrong.
    Source: v / (pi D turns); handbook section 9, ROT-03 and ROT-04 (F).
    """
    speed = _limits.positive("the road speed", road_speed_m_per_s, 3.6, "km/h")
    turns = _limits.turning("the wheel frequency", wheel_frequency_hz)
    return speed / (rolling_circumference(tyre_diameter_m, 1.0) * turns)


def shaft_frequency(wheel_frequency_hz: float, axle_ratio: float) -> float:
    """Turns of the propeller shaft a second (Hz). Wheel 0 Hz or more, ratio above 0.

    Raises ValueError for others.
    Source: wheel x axle ratio; handbook section 9, ROT-07 (F).
    """
    ratio = _limits.positive("the axle ratio", axle_ratio)
    return _limits.frequency("the wheel frequency", wheel_frequency_hz) * ratio


def engine_frequency(shaft_frequency_hz: float, gear_ratio: float) -> float:
    """Turns of the engine a second (Hz) in a gear without slip. Shaft 0 Hz or more, ratio above 0.

    Raises ValueError for others. An open converter adds its slip.
    Source: shaft x gear ratio; handbook section 9, ROT-08 (F).
    """
    ratio = _limits.positive("the gear ratio", gear_ratio)
    return _limits.frequency("the shaft frequency", shaft_frequency_hz) * ratio


def firing_frequency(engine_frequency_hz: float, cylinders: float) -> float:
    """Firings a second (Hz) of a four-stroke engine. Cylinders a whole number from 1.

    Raises ValueError for others and for a negative frequency.
    Source: cylinders / 2 x engine; handbook section 9, ROT-11 (F).
    """
    if not (cylinders >= 1 and float(cylinders).is_integer()):
        raise ValueError(
            f"the number of cylinders is {cylinders:g}; it must be a whole number from 1"
        )
    return _limits.frequency("the engine frequency", engine_frequency_hz) * cylinders / 2.0


def frequency_at_speed(
    frequency_hz: float, road_speed_m_per_s: float, other_speed_m_per_s: float
) -> float:
    """Frequency in Hz at another road speed, of something that turns with the wheels.

    Frequency and other speed 0 or more, speed above 0, else ValueError.
    Source: proportion; handbook section 9, ROT-05 (F).
    """
    speed = _limits.positive("the road speed", road_speed_m_per_s, 3.6, "km/h")
    other = _limits.not_negative("the other road speed", other_speed_m_per_s, 3.6, "km/h")
    return _limits.frequency("the frequency", frequency_hz) * other / speed


def free_wheel_speed(indicated_speed_m_per_s: float, held_speed_m_per_s: float = 0.0) -> float:
    """Speed in m/s of the free wheel on a lift while the other drive wheel is held or slowed.

    For an open differential; speeds at the tread, 0 or more. Raises ValueError for others.
    Source: the carrier turns at the mean of both wheels; handbook section 15, SAF-01 (F).
    """
    indicated = _limits.not_negative("the indicated speed", indicated_speed_m_per_s, 3.6, "km/h")
    held = _limits.not_negative("the held wheel's speed", held_speed_m_per_s, 3.6, "km/h")
    return 2.0 * indicated - held


def order_frequencies(
    wheel_frequency_hz: float,
    shaft_frequency_hz: float | None = None,
    engine_frequency_hz: float | None = None,
    cylinders: float | None = None,
) -> dict[str, float]:
    """Frequencies in Hz of the orders that a complaint may follow, by name, wheel first.

    Frequencies 0 or more; orders whose inputs are not given are left out. Raises ValueError for
    impossible values.
    Source: handbook section 9 and CAU-02 (D).
    """
    wheel = _limits.frequency("the wheel frequency", wheel_frequency_hz)
    orders = {f"{count}x-wheel": count * wheel for count in (1, 2, 3)}
    if shaft_frequency_hz is not None:
        shaft = _limits.frequency("the shaft frequency", shaft_frequency_hz)
        orders |= {"1x-shaft": shaft, "2x-shaft": 2.0 * shaft}
    if engine_frequency_hz is not None:
        engine = _limits.frequency("the engine frequency", engine_frequency_hz)
        orders |= {"half-engine": engine / 2.0, "1x-engine": engine}
        if cylinders is not None:
            orders["firing-order"] = firing_frequency(engine, cylinders)
    return orders


def matching_order(  # noqa: PLR0913 - one argument a known frequency
    measured_hz: float,
    wheel_frequency_hz: float,
    shaft_frequency_hz: float | None = None,
    engine_frequency_hz: float | None = None,
    cylinders: float | None = None,
    *,
    resolution_hz: float = RESOLUTION_HZ,
) -> str:
    """Name of the order that a measured frequency follows, or "none-of-these".

    An order fits within 3 % or the resolution, whichever is more; the nearest wins. Measured and
    resolution above 0. Raises ValueError for impossible values, and when the next order is nearer
    than the resolution can tell from the best: the sentence names both.
    Source: ratio test; handbook section 9, ROT-12 (F) and CAU-02 (D); tolerance F, P.
    """
    measured = _limits.turning("the measured frequency", measured_hz)
    resolution = _limits.turning("the frequency resolution", resolution_hz)
    orders = order_frequencies(
        wheel_frequency_hz, shaft_frequency_hz, engine_frequency_hz, cylinders
    )
    distance_of = {name: abs(measured - frequency) for name, frequency in orders.items()}
    fitting = sorted(
        (
            name
            for name, frequency in orders.items()
            if distance_of[name] <= max(resolution, SPEED_TOLERANCE * frequency)
        ),
        key=lambda name: distance_of[name],
    )
    if not fitting:
        return NO_ORDER
    best = fitting[0]
    equals = [n for n in fitting if distance_of[n] - distance_of[best] < resolution]
    if len(equals) > 1:
        raise ValueError(_ambiguous(measured, {name: orders[name] for name in equals}))
    return best


def _ambiguous(measured: float, orders: dict[str, float]) -> str:
    listed = [
        f"{name.replace('-', ' ')} ({frequency:.4g} Hz)" for name, frequency in orders.items()
    ]
    told = ", ".join(listed[:-1]) + f" and {listed[-1]}"
    return (
        f"{told} fit {measured:.4g} Hz equally well; measure again in another gear, in neutral or "
        "with a longer record"
    )
