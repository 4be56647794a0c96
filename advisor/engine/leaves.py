"""How true a condition on a single fact is, by the fact's value; made ready once for each leaf."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from .rules import Is, Known, OneOf, Within
from .values import UNKNOWN, Number, Value, probability_within

UNKNOWN_TRUTH: Final = -1.0
TRUE_FROM: Final = 0.95  # a comparison is true from this probability on
FALSE_TO: Final = 0.05  # and false up to this one; between them it is too close to call

Leaf = Is | OneOf | Within | Known
TruthOf = Callable[[Value], float]


def settled(probability: float) -> float:
    """The probability itself, or 1.0 or 0.0 where that is as good as certain."""
    if probability >= TRUE_FROM:
        return 1.0
    return 0.0 if probability <= FALSE_TO else probability


def truth_by_value(leaf: Leaf) -> TruthOf:
    """The leaf as a function of its fact's value: a probability, or UNKNOWN_TRUTH."""
    match leaf:
        case Known(_, wanted):
            return lambda value: 1.0 if (value is not UNKNOWN) == wanted else 0.0
        case Is(_, wanted):
            return _is(wanted)
        case OneOf(_, values):
            return _one_of(values)
        case Within():
            return _within(leaf)


def _is(wanted: bool | str) -> TruthOf:
    def truth(value: Value) -> float:
        if value is UNKNOWN:
            return UNKNOWN_TRUTH
        if value == wanted or (isinstance(value, frozenset) and wanted in value):
            return 1.0
        return 0.0

    return truth


def _one_of(values: frozenset[str]) -> TruthOf:
    def truth(value: Value) -> float:
        if value is UNKNOWN:
            return UNKNOWN_TRUTH
        chosen = value if isinstance(value, frozenset) else frozenset((value,))
        return 1.0 if chosen & values else 0.0

    return truth


def _within(leaf: Within) -> TruthOf:
    intervals = leaf.intervals
    first = intervals[0] if len(intervals) == 1 else None

    def truth(value: Value) -> float:
        if isinstance(value, Number):
            if first is not None and value.u <= 0.0:
                return 1.0 if value.value in first else 0.0
            return settled(probability_within(value, intervals))
        if value is UNKNOWN:
            return UNKNOWN_TRUTH
        raise TypeError(f"fact {leaf.fact!r} is compared as a number and is none")

    return truth
