"""The room in a fork for two rings and the end play, and the rings that would suit it."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from advisor.driveline import _limits
from advisor.driveline.normal import probability_between


@dataclass(frozen=True, slots=True)
class RingRoom:
    """What one axis of a joint leaves for both rings and the end play together.

    `room_m` is span less width, in m, and `u_m` its standard uncertainty.
    """

    room_m: float
    u_m: float = 0.0

    def __post_init__(self) -> None:
        _limits.length("the room for the rings", self.room_m)
        _limits.clearance("the uncertainty of the room for the rings", self.u_m)


@dataclass(frozen=True, slots=True)
class RingsWanted:
    """The two equal rings that an axis asks for; all lengths in m.

    `thickness_m` leaves an end play in the middle of the limits. Two equal rings from
    `thinnest_m` to `thickest_m` reach the probability asked for; both are None when none does,
    since the sizes are too uncertain. `largest_u_m` is the greatest standard uncertainty of the end
    play with which rings of `thickness_m` reach it, and `probability` what they reach here.
    """

    thickness_m: float
    thinnest_m: float | None
    thickest_m: float | None
    probability: float
    largest_u_m: float


def room_from_sizes(
    span_m: float, width_m: float, *, u_span_m: float = 0.0, u_width_m: float = 0.0
) -> RingRoom:
    """The room from the measured span and width, with their standard uncertainties, in m.

    Rings outside or inside alike, as in `fit`. Raises ValueError for impossible sizes and when
    the width leaves no room.
    Source: S - W; handbook section 8, EP-01 (P, D), and section 12 (M).
    """
    span = _limits.length("the span", span_m)
    width = _limits.length("the width", width_m)
    if span <= width:
        raise ValueError(
            f"no room for rings: the span is {span * 1e3:g} mm and the width {width * 1e3:g} mm"
        )
    return RingRoom(
        span - width,
        math.hypot(
            _limits.clearance("the uncertainty of the span", u_span_m),
            _limits.clearance("the uncertainty of the width", u_width_m),
        ),
    )


def room_from_old_rings(  # noqa: PLR0913 - one argument a reading
    old_ring_1_m: float,
    old_ring_2_m: float,
    old_end_play_m: float,
    *,
    u_ring_m: float = 0.0,
    u_end_play_m: float = 0.0,
    old_width_m: float | None = None,
    new_width_m: float | None = None,
    u_width_m: float = 0.0,
) -> RingRoom:
    """The room when nothing but the old rings and the old end play by indicator is known.

    Each `u` is the standard uncertainty of one such reading, in m. For a new cross give the old
    and the new width too, else the old cross stays. Raises ValueError for impossible sizes, for
    one width alone and for an old end play of 0, which may hide a preload that no indicator shows.
    Source: e + t1 + t2 of the old stack, plus old less new width; handbook section 8, EP-05 (D),
    and section 12: the play itself is best taken by indicator (D).
    """
    play = _limits.finite("the old end play", old_end_play_m, "mm")
    if play <= 0.0:
        raise ValueError(
            f"the old end play is {play * 1e3:g} mm, which may hide a preload; "
            "measure span and width instead"
        )
    if (old_width_m is None) != (new_width_m is None):
        missing = "old" if old_width_m is None else "new"
        raise ValueError(f"the {missing} width is missing; give both widths or neither")
    room = (
        play
        + _limits.length("the thickness of old ring 1", old_ring_1_m)
        + _limits.length("the thickness of old ring 2", old_ring_2_m)
    )
    u_ring = _limits.clearance("the uncertainty of a ring", u_ring_m)
    u_play = _limits.clearance("the uncertainty of the end play", u_end_play_m)
    u_width = 0.0
    if old_width_m is not None and new_width_m is not None:
        room += _limits.length("the old width", old_width_m)
        room -= _limits.length("the new width", new_width_m)
        u_width = _limits.clearance("the uncertainty of a width", u_width_m)
    return RingRoom(room, math.hypot(u_play, u_ring, u_ring, u_width, u_width))


def wanted_rings(
    room: RingRoom, greatest_m: float, probability: float, u_ring_m: float = 0.0
) -> RingsWanted:
    """Which equal rings reach a probability of an end play above 0 and up to `greatest_m`.

    `probability` above 0 and below 1; `u_ring_m` is the standard uncertainty of a ring as bought.
    Raises ValueError for impossible values and when the room is too small for any rings.
    Source: (S - W - e) / 2 with the normal law; handbook section 8, EP-04, and section 12 (D).
    """
    greatest = _limits.length("the greatest end play", greatest_m)
    if not 0.0 < probability < 1.0:
        raise ValueError(f"the probability is {probability:g}; it must be above 0 and below 1")
    u = math.hypot(
        room.u_m, math.sqrt(2.0) * _limits.clearance("the uncertainty of a ring", u_ring_m)
    )
    middle = greatest / 2.0
    thickness = (room.room_m - middle) / 2.0
    if thickness <= 0.0:
        raise ValueError(f"no room for rings: there are {room.room_m * 1e3:g} mm for both and play")

    def reached(play_m: float, u_m: float) -> bool:
        return probability_between(play_m, u_m, 0.0, greatest) >= probability

    best = probability_between(middle, u, 0.0, greatest)
    # At this u the law is so flat that even the middle falls short of every probability asked for.
    flat = greatest / probability
    largest_u = _last(lambda width: reached(middle, width), flat)
    if not reached(middle, u):
        return RingsWanted(thickness, None, None, best, largest_u)
    # Towards 0 the probability falls no later than the other way, as exactly 0 does not count.
    half = _last(lambda off: reached(middle - off, u), greatest)
    # A little inside, lest the sum of decimal sizes round across the end.
    half = max(0.0, half - 2e-9)
    return RingsWanted(thickness, thickness - half / 2.0, thickness + half / 2.0, best, largest_u)


def _last(holds: Callable[[float], bool], beyond: float) -> float:
    """Where a condition that holds at 0, and no longer at `beyond`, ceases to hold."""
    good, bad = 0.0, beyond
    for _ in range(60):
        middle = (good + bad) / 2.0
        good, bad = (middle, bad) if holds(middle) else (good, middle)
    return good
