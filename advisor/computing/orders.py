"""The verb `orders`: what turns how fast, and which of it a measured frequency follows."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from advisor.computing.errors import listed
from advisor.computing.forms import BEYOND, TEXT, Field, Filled, Form, fill
from advisor.driveline.frequencies import (
    Experiment,
    OrderShare,
    Turning,
    likely_orders,
    separating_experiments,
)
from advisor.driveline.rotation import (
    NO_ORDER,
    RESOLUTION_HZ,
    SPEED_TOLERANCE,
    engine_frequency,
    shaft_frequency,
    wheel_frequency,
)
from advisor.driveline.tyres import tyre_diameter

PLAUSIBLE: Final = 0.05
"""An order less probable than this is not pursued; as a condition is false, design section 4."""

TRANSFER_SHAFT: Final = "1x-transfer-input"
"""The shaft into a transfer case in low range, which turns faster than the propeller shaft."""

ENGINE_ORDERS: Final = frozenset({"half-engine", "1x-engine", "firing-order"})
_GEAR_RATIOS: Final = (0.4, 10.0)

FORM: Final = Form(
    "orders",
    "frequencies of all that turns at a road speed, and which of them a measured one fits",
    (
        Field(
            "measured",
            "frequency",
            "measured frequency of the vibration",
            optional=True,
            usual=("2 Hz", "300 Hz"),
        ),
        Field("road_speed", "speed", "true road speed then", usual=("5 km/h", "250 km/h")),
        Field(
            "tyre_size",
            TEXT,
            "tyre size on the side wall, like 265/70R17 or 31x10.50R15",
            optional=True,
            shape="265/70R17",
        ),
        Field(
            "circumference",
            "length",
            "way that the loaded wheel rolls in one turn, measured; instead of tyre_size",
            optional=True,
            usual=("1.2 m", "4 m"),
        ),
        Field(
            "axle_ratio",
            "ratio",
            "turns of the propeller shaft for one of the wheels",
            usual=("1", "8"),
        ),
        Field(
            "gear_ratio",
            "ratio",
            "turns of the gearbox's input for one of its output, in the gear of the complaint",
            optional=True,
            usual=("0.4", "10"),
        ),
        Field(
            "engine_speed",
            "frequency",
            "engine speed read then; instead of gear_ratio",
            optional=True,
            usual=("400 rpm", "8000 rpm"),
        ),
        Field("cylinders", "count", "of a four-stroke engine", optional=True, usual=("1", "16")),
        Field(
            "transfer_ratio",
            "ratio",
            "turns of the transfer case's input for one of the propeller shaft, in low range",
            optional=True,
            usual=("1", "5"),
        ),
        Field(
            "slip",
            "ratio",
            "slip of an open converter, as a share of the engine speed; with gear_ratio",
            optional=True,
            usual=("0", "15 %"),
            above_zero=False,
        ),
        Field(
            "other_gear_ratio",
            "ratio",
            "another gear that this road speed can be driven in",
            optional=True,
            usual=("0.4", "10"),
        ),
        Field(
            "idle_speed",
            "frequency",
            "idle speed of the engine",
            optional=True,
            usual=("400 rpm", "1500 rpm"),
        ),
        Field(
            "resolution",
            "frequency",
            "spacing of the lines of the record; 0.5 Hz if not given",
            optional=True,
            usual=("0.05 Hz", "5 Hz"),
        ),
        Field(
            "tolerance",
            "ratio",
            "how far what is worked out may be off, as a share; 3 % if not given",
            optional=True,
            usual=("0.1 %", "10 %"),
        ),
    ),
    'advisor orders measured="42.4 Hz" road_speed="100 km/h" tyre_size=265/70R17 axle_ratio=3.73 '
    "gear_ratio=0.70 cylinders=8",
    "handbook section 9, ROT-01 to ROT-14 (F, D; P for the tolerance), section 16, CAU-02 and "
    "CAU-03 (D)",
)


@dataclass(frozen=True, slots=True)
class Pair:
    """Two orders that fit nearly alike, and the experiments, those that part them first.

    `wanted` names the inputs that would allow further experiments.
    """

    first: str
    second: str
    experiments: tuple[Experiment, ...]
    wanted: tuple[str, ...]

    @property
    def with_engine(self) -> bool:
        """Whether one of them turns with the engine, the other with the wheels."""
        return len({self.first, self.second} & ENGINE_ORDERS) == 1


@dataclass(frozen=True, slots=True)
class Found:
    """The orders by name in Hz; with a measured frequency the shares and the pairs to part."""

    filled: Filled
    turning: Turning
    orders: Mapping[str, float]
    shares: tuple[OrderShare, ...]
    pairs: tuple[Pair, ...]
    warnings: tuple[str, ...]


def find_orders(words: Sequence[str]) -> Found:
    """What the words of the command give. Raises ComputeError with all that is wrong with them."""
    filled, problems = fill(FORM, words)
    problems += _contradictions(filled)
    circumference = filled.si("circumference")
    if "tyre_size" in filled.texts:
        try:
            diameter = tyre_diameter(filled.texts["tyre_size"])
        except ValueError as error:
            problems.append(f"tyre_size: {error}")
    if problems:
        raise FORM.refused(problems)
    speed, axle = filled.si("road_speed"), filled.si("axle_ratio")
    assert speed is not None, "road_speed is needed"
    assert axle is not None, "axle_ratio is needed"
    try:
        if circumference is None:
            wheel = wheel_frequency(speed, diameter)
        else:
            wheel = wheel_frequency(speed, circumference / math.pi, 1.0)
        turning = _turning(filled, wheel, shaft_frequency(wheel, axle))
        return _found(filled, turning)
    except ValueError as error:
        raise FORM.refused([str(error)]) from error
    except ArithmeticError as error:
        raise FORM.refused([BEYOND]) from error


def _contradictions(filled: Filled) -> Iterator[str]:
    if "tyre_size" in filled and "circumference" in filled:
        yield "tyre_size and circumference are both given; leave one out"
    elif "tyre_size" not in filled and "circumference" not in filled:
        yield 'the wheel is missing; write tyre_size=265/70R17 or circumference="2.45 m"'
    if "gear_ratio" in filled and "engine_speed" in filled:
        yield "gear_ratio and engine_speed are both given; leave one out"
    if "slip" in filled and "gear_ratio" not in filled:
        yield "slip is given without gear_ratio; an engine speed that was read has it in it"
    has_engine = "gear_ratio" in filled or "engine_speed" in filled
    idle = [name for name in ("cylinders", "idle_speed", "other_gear_ratio") if name in filled]
    if idle and not has_engine:
        verb = "is" if len(idle) == 1 else "are"
        yield f"{listed(idle)} {verb} given without the engine; write gear_ratio or engine_speed"
    slip, tolerance = filled.quantities.get("slip"), filled.quantities.get("tolerance")
    if slip and not 0.0 <= slip.si < 1.0:
        yield f"slip: read {slip}; write a share from 0 % to less than 100 %, such as 3 %"
    if tolerance and tolerance.si >= 1.0:
        yield f"tolerance: read {tolerance}; write a share below 100 %, such as 3 %"


def _turning(filled: Filled, wheel_hz: float, shaft_hz: float) -> Turning:
    engine = filled.si("engine_speed")
    gear = filled.si("gear_ratio")
    if gear is not None:
        engine = engine_frequency(shaft_hz, _overall(filled, gear))
    return Turning(wheel_hz, shaft_hz, engine, filled.si("cylinders"))


def _overall(filled: Filled, gear_ratio: float) -> float:
    """Turns of the engine for one of the propeller shaft; slip is (engine - input) / engine."""
    return gear_ratio * (filled.si("transfer_ratio") or 1.0) / (1.0 - (filled.si("slip") or 0.0))


def _found(filled: Filled, turning: Turning) -> Found:
    orders = turning.orders()
    transfer = filled.si("transfer_ratio")
    if transfer is not None and turning.shaft_hz is not None and transfer != 1.0:
        orders[TRANSFER_SHAFT] = turning.shaft_hz * transfer
    warnings = (*filled.warnings, *_implied_gear(filled, turning))
    measured = filled.si("measured")
    if measured is None:
        return Found(filled, turning, orders, (), (), warnings)
    shares = likely_orders(
        measured, orders, resolution_hz=resolution_of(filled), tolerance=tolerance_of(filled)
    )
    pairs = tuple(_pairs(filled, turning, shares))
    return Found(filled, turning, orders, shares, pairs, warnings)


def resolution_of(filled: Filled) -> float:
    """The frequency resolution in Hz, as typed or the usual one."""
    return filled.si("resolution") or RESOLUTION_HZ


def tolerance_of(filled: Filled) -> float:
    """How far the orders may be off, as a share."""
    return filled.si("tolerance") or SPEED_TOLERANCE


def _implied_gear(filled: Filled, turning: Turning) -> Iterator[str]:
    engine = filled.quantities.get("engine_speed")
    if engine and turning.shaft_hz:
        ratio = engine.si / turning.shaft_hz / (filled.si("transfer_ratio") or 1.0)
        if not _GEAR_RATIOS[0] <= ratio <= _GEAR_RATIOS[1]:
            yield (
                f"engine_speed: {engine} at this road speed means a gear ratio of {ratio:.3g}; "
                "expected 0.4 to 10; look at both speeds"
            )


def _pairs(filled: Filled, turning: Turning, shares: Sequence[OrderShare]) -> Iterator[Pair]:
    likely = [one.order for one in shares if one.order != NO_ORDER and one.probability >= PLAUSIBLE]
    other = filled.si("other_gear_ratio")
    for second in likely[1:]:
        first = likely[0]
        experiments: tuple[Experiment, ...] = ()
        if TRANSFER_SHAFT not in (first, second):
            experiments = separating_experiments(
                first,
                second,
                turning,
                other_gear_ratio=None if other is None else _overall(filled, other),
                idle_hz=filled.si("idle_speed"),
                resolution_hz=resolution_of(filled),
                tolerance=tolerance_of(filled),
            )
        pair = Pair(first, second, experiments, ())
        if experiments and pair.with_engine:
            missing = [one for one in ("other_gear_ratio", "idle_speed") if one not in filled]
            pair = replace(pair, wanted=tuple(missing))
        yield pair
