"""The room for the rings of each axis of a joint, from what has been measured of it."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final

from advisor.driveline.ringroom import RingRoom, room_from_old_rings, room_from_sizes
from advisor.driveline.uncertainty import COVERAGE_FACTOR
from advisor.engine.diagnosis import Diagnosis
from advisor.engine.values import Number
from advisor.rulebook import RingAxisModel

SIZES: Final = "span and width"
OLD_STACK: Final = "the old rings and their end play"


@dataclass(frozen=True, slots=True)
class Way:
    """One way to know the room: what it is called, its facts by parameter, and the room."""

    name: str
    facts: Mapping[str, str]
    room: RingRoom


@dataclass(frozen=True, slots=True)
class AxisRoom:
    """What is known of one axis, counted from 1.

    `way` is the least uncertain of the ways that lead to a room. Without one, `missing` are the
    facts to measure (the fewest), or `reason` says why what was measured gives no room.
    `rival` is another way, when it disagrees beyond the uncertainty of both.
    """

    number: int
    way: Way | None
    rival: Way | None = None
    missing: tuple[str, ...] = ()
    reason: str | None = None


def axis_room(number: int, axis: RingAxisModel, diagnosis: Diagnosis, limit_m: float) -> AxisRoom:
    """The room of an axis for rings that leave an end play up to `limit_m`."""
    ways: list[Way] = []
    missing: list[tuple[str, ...]] = []
    reason = None
    for name, facts, work_out in _ways_named(axis):
        values = {parameter: diagnosis.value(fact) for parameter, fact in facts.items()}
        numbers = {one: value for one, value in values.items() if isinstance(value, Number)}
        if len(numbers) < len(facts):
            unknown = (fact for one, fact in facts.items() if one not in numbers)
            missing.append(tuple(unknown))
            continue
        try:
            ways.append(Way(name, facts, _enough(work_out(numbers), limit_m)))
        except ValueError as error:
            reason = reason or str(error)
    if not ways:
        fewest = min(missing, key=len, default=())
        return AxisRoom(number, None, missing=fewest, reason=reason)
    best, *others = sorted(ways, key=lambda way: way.room.u_m)
    return AxisRoom(number, best, next((way for way in others if _disagree(best, way)), None))


def _ways_named(
    axis: RingAxisModel,
) -> list[tuple[str, dict[str, str], Callable[[Mapping[str, Number]], RingRoom]]]:
    """The ways for which the rulebook names facts: what each is called, its facts, its formula."""
    sizes = _named(axis, "span", "width")
    old = _named(axis, "old_ring_1", "old_ring_2", "old_end_play", "old_width", "new_width")
    ways: list[tuple[str, dict[str, str], Callable[[Mapping[str, Number]], RingRoom]]] = []
    if sizes:
        ways.append((SIZES, sizes, _from_sizes))
    if old:
        ways.append((OLD_STACK, old, _from_old_stack))
    return ways


def _named(axis: RingAxisModel, *parameters: str) -> dict[str, str]:
    facts: dict[str, str | None] = {one: getattr(axis, one) for one in parameters}
    return {one: fact for one, fact in facts.items() if fact is not None}


def _from_sizes(read: Mapping[str, Number]) -> RingRoom:
    span, width = read["span"], read["width"]
    return room_from_sizes(span.value, width.value, u_span_m=span.u, u_width_m=width.u)


def _from_old_stack(read: Mapping[str, Number]) -> RingRoom:
    play = read["old_end_play"]
    old, new = read.get("old_width"), read.get("new_width")
    return room_from_old_rings(
        read["old_ring_1"].value,
        read["old_ring_2"].value,
        play.value,
        u_ring_m=_each(read["old_ring_1"], read["old_ring_2"]),
        u_end_play_m=play.u,
        old_width_m=None if old is None else old.value,
        new_width_m=None if new is None else new.value,
        u_width_m=0.0 if old is None or new is None else _each(old, new),
    )


def _each(first: Number, second: Number) -> float:
    """The standard uncertainty that two readings have together, as if both were equally good."""
    return math.hypot(first.u, second.u) / math.sqrt(2.0)


def _enough(room: RingRoom, limit_m: float) -> RingRoom:
    if room.room_m <= limit_m / 2.0:
        raise ValueError(f"only {room.room_m * 1e3:.3g} mm are left for both rings and the play")
    return room


def _disagree(one: Way, other: Way) -> bool:
    difference = abs(one.room.room_m - other.room.room_m)
    return difference > COVERAGE_FACTOR * math.hypot(one.room.u_m, other.room.u_m)
