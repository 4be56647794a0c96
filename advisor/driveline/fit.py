"""Retaining rings and end play: how a cross sits in its fork.

Span and width are those of the joint in hand. Rings in the fork's outer grooves: the span is the
distance of the groove walls, the width that over the two caps pressed home. Rings on the caps: the
span is the distance of the fork's inner faces, the width that of the caps' groove walls.
"""

from __future__ import annotations

import math
from typing import Final

from advisor.driveline import _limits

TARGET_END_PLAY_M: Final = 25e-6
"""Middle of the usual 0 to 0.05 mm; maker manuals, handbook section 8 (F for the limits)."""


def ring_stack_end_play(span_m: float, width_m: float, ring_1_m: float, ring_2_m: float) -> float:
    """End play in m of a cross in its fork; below zero means that the rings are under preload.

    All four above 0, else ValueError.
    Source: e = S - W - t1 - t2; handbook section 8, EP-01 (P, D).
    """
    gap = _limits.length("the span", span_m) - _limits.length("the width", width_m)
    return gap - _ring(1, ring_1_m) - _ring(2, ring_2_m)


def ring_offset(ring_1_m: float, ring_2_m: float) -> float:
    """Offset in m of the cross from the middle of its fork; positive means away from ring 1.

    This is the middle of its play. Both rings above 0, else ValueError.
    Source: (t1 - t2) / 2; handbook section 8, EP-02 (D).
    """
    return (_ring(1, ring_1_m) - _ring(2, ring_2_m)) / 2.0


def largest_offset(ring_1_m: float, ring_2_m: float, end_play_m: float) -> float:
    """Farthest in m that the cross can be from the middle of its fork, along one axis.

    `end_play_m` below zero (preload) leaves no play. Both rings above 0, else ValueError.
    Source: |t1 - t2| / 2 + e / 2; handbook section 8, EP-03 (D).
    """
    play = max(0.0, _limits.finite("the end play", end_play_m, "mm"))
    return abs(ring_offset(ring_1_m, ring_2_m)) + play / 2.0


def ring_stack_runout(ring_1_m: float, ring_2_m: float, end_play_m: float) -> float:
    """Greatest total indicator reading in m at the shaft's end, from one axis of the cross.

    As `largest_offset`.
    Source: twice the largest offset; handbook section 8, EP-03 (D).
    """
    return 2.0 * largest_offset(ring_1_m, ring_2_m, end_play_m)


def two_axis_offset(offset_1_m: float, offset_2_m: float) -> float:
    """Offset in m of the shaft's end from the offsets in the two forks of a joint.

    The forks stand at right angles. ValueError when one is no finite number.
    Source: vector sum; handbook section 8, EP-06 (D).
    """
    return math.hypot(
        _limits.finite("the first offset", offset_1_m, "mm"),
        _limits.finite("the second offset", offset_2_m, "mm"),
    )


def equal_ring_thickness(
    span_m: float, width_m: float, target_m: float = TARGET_END_PLAY_M
) -> float:
    """Thickness in m of two equal rings that leave `target_m` of end play (0 or more).

    Raises ValueError for impossible sizes and when no room is left for rings.
    Source: (S - W - e) / 2; handbook section 8, EP-04 (D).
    """
    span = _limits.length("the span", span_m)
    width = _limits.length("the width", width_m)
    room = span - width - _limits.clearance("the target end play", target_m)
    if room <= 0.0:
        raise ValueError(
            f"no room for rings: the span is {span * 1e3:g} mm, the width {width * 1e3:g} mm and "
            f"the target end play {target_m * 1e3:g} mm"
        )
    return room / 2.0


def end_play_change(  # noqa: PLR0913 - one argument a part
    old_ring_1_m: float,
    old_ring_2_m: float,
    new_ring_1_m: float,
    new_ring_2_m: float,
    *,
    old_width_m: float | None = None,
    new_width_m: float | None = None,
) -> float:
    """How much in m the new parts add to the end play; below zero means tighter.

    The fork stays. Both widths over the caps or neither. All above 0, else ValueError.
    Source: parts taken out less parts put in; handbook section 8, EP-05 (D).
    """
    taken_out = _ring(1, old_ring_1_m) + _ring(2, old_ring_2_m)
    put_in = _ring(1, new_ring_1_m) + _ring(2, new_ring_2_m)
    if old_width_m is None and new_width_m is None:
        return taken_out - put_in
    if old_width_m is None or new_width_m is None:
        missing = "old" if old_width_m is None else "new"
        raise ValueError(f"the {missing} width is missing; give both widths or neither")
    widths = _limits.length("the old width", old_width_m) - _limits.length(
        "the new width", new_width_m
    )
    return taken_out - put_in + widths


def difference(first_m: float, second_m: float) -> float:
    """The first length less the second, in m, with its sign.

    ValueError when one is no finite number. Source: definition.
    """
    return _limits.finite("the first length", first_m, "mm") - _limits.finite(
        "the second length", second_m, "mm"
    )


def _ring(number: int, thickness_m: float) -> float:
    return _limits.length(f"the thickness of ring {number}", thickness_m)
