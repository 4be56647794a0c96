"""From a measured frequency back to what turns, and how to part two orders that coincide."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

from advisor.driveline import _limits
from advisor.driveline.rotation import (
    NO_ORDER,
    RESOLUTION_HZ,
    SPEED_TOLERANCE,
    engine_frequency,
    order_frequencies,
)
from advisor.driveline.uncertainty import gauge_uncertainty
from advisor.driveline.vibration import record_length

OCTAVES: Final = 7.0
"""Something else is taken as equally likely in each octave from 2 to about 300 Hz; judgement."""

PARTING: Final = 2.0
"""Standard uncertainties by which two frequencies must differ to be told apart; handbook section
12, k = 2 (M)."""

LONGEST_RECORD_S: Final = 20.0
"""A road speed can hardly be held longer; judgement."""

EXPERIMENT_MINUTES: Final = {
    "engine-at-standstill": 3.0,
    "longer-record": 4.0,
    "gear-change": 5.0,
    "neutral-coast": 5.0,
}
"""What each experiment costs besides the way to its place; judgement."""


@dataclass(frozen=True, slots=True)
class OrderShare:
    """How probable it is that the complaint follows this order; its own frequency in Hz.

    "none-of-these" has no frequency of its own: None.
    """

    order: str
    frequency_hz: float | None
    probability: float


@dataclass(frozen=True, slots=True)
class Turning:
    """What turns how fast at the complaint, in Hz; what isn't known is None.

    `cylinders` are those of a four-stroke engine.
    """

    wheel_hz: float
    shaft_hz: float | None = None
    engine_hz: float | None = None
    cylinders: float | None = None

    def orders(self) -> dict[str, float]:
        """Frequencies in Hz of the orders, by name, as in `rotation.order_frequencies`."""
        return order_frequencies(self.wheel_hz, self.shaft_hz, self.engine_hz, self.cylinders)


@dataclass(frozen=True, slots=True)
class Experiment:
    """What one experiment would show: the frequency in Hz of either order then, 0.0 for none.

    `separates` says that the two can then be told apart. `record_s` is how long to record, in s.
    """

    name: str
    minutes: float
    first_hz: float
    second_hz: float
    separates: bool
    record_s: float


def likely_orders(
    measured_hz: float,
    orders: Mapping[str, float],
    *,
    resolution_hz: float = RESOLUTION_HZ,
    tolerance: float = SPEED_TOLERANCE,
) -> tuple[OrderShare, ...]:
    """Which orders a measured frequency fits, most probable first, with "none-of-these".

    `orders` holds the frequency in Hz of each; those at 0 Hz are at rest and left out.
    `resolution_hz` above 0 is that of the record, `tolerance` the limit, as a share, within which
    the orders are known. All orders, and something else, are equally probable beforehand. Raises
    ValueError for impossible values.
    Source: Bayes' rule with the normal law, u from both limits as JCGM 100:2008, F.2.2.1 and
    4.3.7; handbook sections 9 and 12, ROT-12 (F), CAU-02 (D).
    """
    measured = _limits.turning("the measured frequency", measured_hz)
    resolution = _limits.turning("the frequency resolution", resolution_hz)
    density_of = {NO_ORDER: 1.0 / (measured * OCTAVES * math.log(2.0))}
    for name, frequency in orders.items():
        if _limits.frequency(f'"{name}"', frequency) > 0.0:
            u = _uncertainty(frequency, resolution, tolerance)
            off = (measured - frequency) / u
            density_of[name] = math.exp(-off * off / 2.0) / (u * math.sqrt(2.0 * math.pi))
    total = sum(density_of.values())
    shares = [OrderShare(n, orders.get(n), density / total) for n, density in density_of.items()]
    return tuple(sorted(shares, key=lambda share: -share.probability))


def separating_experiments(  # noqa: PLR0913 - what is known of the vehicle, and of the record
    first: str,
    second: str,
    turning: Turning,
    *,
    other_gear_ratio: float | None = None,
    idle_hz: float | None = None,
    resolution_hz: float = RESOLUTION_HZ,
    tolerance: float = SPEED_TOLERANCE,
    minutes: Mapping[str, float] = EXPERIMENT_MINUTES,
) -> tuple[Experiment, ...]:
    """The experiments that the known numbers allow, those that part two orders first, then cheap.

    `first` and `second` are names of orders. A gear change at the same road speed needs
    `other_gear_ratio` (above 0) and the shaft's frequency; a coast in neutral needs `idle_hz`
    (above 0); the same engine speed at standstill needs the engine's frequency; a longer record
    nothing. An engine order may hide at standstill for want of load, and a slipping converter
    shifts it in any gear. Raises ValueError for an unknown order and impossible values.
    Source: handbook section 9 (P), CAU-03 (D), ROT-14 (D).
    """
    orders = turning.orders()
    for name in (first, second):
        if name not in orders:
            known = ", ".join(f'"{known}"' for known in orders)
            raise ValueError(f'the order "{name}" can\'t be worked out; known are {known}')
    resolution = _limits.turning("the frequency resolution", resolution_hz)
    found = []
    for name, state in _states(turning, other_gear_ratio, idle_hz).items():
        then = state.orders()
        parted = _parted(then[first], then[second], resolution, tolerance)
        cost = minutes[name]
        found.append(
            Experiment(name, cost, then[first], then[second], parted, record_length(resolution))
        )
    found.append(_longer_record(orders[first], orders[second], tolerance, minutes["longer-record"]))
    return tuple(sorted(found, key=lambda one: (not one.separates, one.minutes, one.name)))


def _states(
    turning: Turning, other_gear_ratio: float | None, idle_hz: float | None
) -> dict[str, Turning]:
    states = {}
    if turning.engine_hz is not None:
        still = None if turning.shaft_hz is None else 0.0
        states["engine-at-standstill"] = replace(turning, wheel_hz=0.0, shaft_hz=still)
        if other_gear_ratio is not None and turning.shaft_hz is not None:
            engine = engine_frequency(turning.shaft_hz, other_gear_ratio)
            states["gear-change"] = replace(turning, engine_hz=engine)
        if idle_hz is not None:
            idle = _limits.turning("the idle speed", idle_hz)
            states["neutral-coast"] = replace(turning, engine_hz=idle)
    return states


def _longer_record(first: float, second: float, tolerance: float, minutes: float) -> Experiment:
    """Helps where only the record was too short, not where the speeds are known too poorly."""
    # Two lines stand apart when the record resolves half their distance.
    finer = max(abs(first - second) / 2.0, 1.0 / LONGEST_RECORD_S)
    parted = _parted(first, second, finer, tolerance)
    return Experiment("longer-record", minutes, first, second, parted, record_length(finer))


def _parted(first: float, second: float, resolution: float, tolerance: float) -> bool:
    if first == 0.0 or second == 0.0:
        return first != second
    u = math.hypot(
        _uncertainty(first, resolution, tolerance), _uncertainty(second, resolution, tolerance)
    )
    return abs(first - second) > max(resolution, PARTING * u)


def _uncertainty(frequency: float, resolution: float, tolerance: float) -> float:
    return gauge_uncertainty(resolution, tolerance * frequency)
