"""Simplifies conditions, so that one number is compared once.

The engine takes the items of an `all` or `any` as independent. Comparisons of one number are
not: they are merged into one set of disjoint intervals, over which the probability is exact.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence

from advisor.engine.rules import All, AnyOf, Condition, Known, Not, Within
from advisor.engine.values import Interval

Intervals = tuple[Interval, ...]
WHOLE_LINE: Intervals = (Interval(),)


def intersection(first: Intervals, second: Intervals) -> Intervals:
    """What lies in an interval of each; both are sorted and disjoint."""
    met = (one.meets(other) for one in first for other in second)
    return tuple(interval for interval in met if interval is not None)


def union(first: Intervals, second: Intervals) -> Intervals:
    """What lies in an interval of either, as disjoint intervals in rising order."""
    merged: list[Interval] = []
    for interval in sorted((*first, *second), key=lambda one: (one.low, not one.low_closed)):
        if merged and _touch(merged[-1], interval):
            merged[-1] = _span(merged[-1], interval)
        else:
            merged.append(interval)
    return tuple(merged)


def _touch(lower: Interval, upper: Interval) -> bool:
    """Whether no point lies between the two; `lower` does not begin after `upper`."""
    meet = upper.low == lower.high and (upper.low_closed or lower.high_closed)
    return upper.low < lower.high or meet


def _span(lower: Interval, upper: Interval) -> Interval:
    ends = ((lower.high, lower.high_closed), (upper.high, upper.high_closed))
    high, high_closed = max(ends)
    return Interval(lower.low, high, lower.low_closed, high_closed)


def complement(intervals: Intervals) -> Intervals:
    """The rest of the number line."""
    gaps: list[Interval] = []
    low, low_closed = -math.inf, False
    for interval in union(intervals, ()):
        gap = Interval(low, interval.low, low_closed, not interval.low_closed)
        if interval.low > low or (interval.low == low and low in gap):
            gaps.append(gap)
        low, low_closed = interval.high, not interval.high_closed
    if low < math.inf:
        gaps.append(Interval(low, math.inf, low_closed, False))
    return tuple(gaps)


def conjunction(items: Iterable[Condition]) -> Condition:
    """All of the items, with the comparisons of each number merged into one."""
    flat: list[Condition] = []
    for item in items:
        flat.extend(item.items if isinstance(item, All) else (item,))
    merged = _merged(flat, intersection)
    return merged[0] if len(merged) == 1 else All(tuple(merged))


def disjunction(items: Iterable[Condition]) -> Condition:
    """Any of the items, with the comparisons of each number merged into one."""
    flat: list[Condition] = []
    for item in items:
        flat.extend(item.items if isinstance(item, AnyOf) else (item,))
    merged = _merged(flat, union)
    return merged[0] if len(merged) == 1 else AnyOf(tuple(merged))


def negation(item: Condition) -> Condition:
    """The opposite, turned into a comparison or a known/unknown again where it can be."""
    if isinstance(item, Within):
        return Within(item.fact, complement(item.intervals))
    if isinstance(item, Known):
        return Known(item.fact, not item.known)
    return item.item if isinstance(item, Not) else Not(item)


def _merged(
    items: Sequence[Condition], join: Callable[[Intervals, Intervals], Intervals]
) -> list[Condition]:
    """The items in order, each number's comparisons joined where the first of them stands."""
    kept: list[Condition] = []
    place_of: dict[str, int] = {}
    for item in items:
        if not isinstance(item, Within):
            if item not in kept:
                kept.append(item)
        elif item.fact in place_of:
            first = kept[place_of[item.fact]]
            assert isinstance(first, Within)
            kept[place_of[item.fact]] = Within(item.fact, join(first.intervals, item.intervals))
        else:
            place_of[item.fact] = len(kept)
            kept.append(item)
    return kept
