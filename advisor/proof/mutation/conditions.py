"""Small changes of a condition: a limit moved, a comparison turned round, a part left out."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from advisor.engine.rules import All, AnyOf, Condition, Is, Not, Within
from advisor.engine.values import Interval
from advisor.rulebook import Rulebook
from advisor.rulebook.algebra import complement

from ..wording import condition_text

MOVED_SHARE = 0.1  # of a limit's value
MOVED_GAUGE = 2.0  # standard uncertainties of the gauge; the greater move is taken
Step = Callable[[str, float], float]  # fact and limit -> how far the limit is moved


@dataclass(frozen=True, slots=True)
class Changed:
    """A changed condition: the kind of change, the part that was changed, and how, in words."""

    kind: str
    part: Condition
    says: str
    condition: Condition


def changed_conditions(rulebook: Rulebook, condition: Condition) -> Iterator[Changed]:
    """Every small change of a condition, one at a time; none that leaves it the same."""
    for one in _changes(rulebook, condition):
        if one.condition != condition:
            yield one


def _changes(rulebook: Rulebook, condition: Condition) -> Iterator[Changed]:
    match condition:
        case All(items) | AnyOf(items):
            yield from _gate(rulebook, condition, items)
        case Not(item):
            for one in _changes(rulebook, item):
                yield replace(one, condition=Not(one.condition))
        case Is(fact, bool(value)):
            says = condition_text(rulebook, turned := Is(fact, not value))
            yield Changed("comparison-flipped", condition, says, turned)
        case Within(fact, intervals):
            if around := complement(intervals):
                says = condition_text(rulebook, turned_round := Within(fact, around))
                yield Changed("comparison-flipped", condition, says, turned_round)
            for moved in _moved(intervals, fact, step_of(rulebook, intervals)):
                says = condition_text(rulebook, shifted := Within(fact, moved))
                yield Changed("threshold-moved", condition, says, shifted)


def _gate(rulebook: Rulebook, gate: All | AnyOf, items: tuple[Condition, ...]) -> Iterator[Changed]:
    is_all = isinstance(gate, All)
    says = f"{'all' if is_all else 'any'} became {'any' if is_all else 'all'}"
    yield Changed("gate-swapped", gate, says, AnyOf(items) if is_all else All(items))
    kind = All if is_all else AnyOf
    for place, item in enumerate(items):
        rest = (*items[:place], *items[place + 1 :])
        says = f"without {condition_text(rulebook, item)}"
        yield Changed("item-dropped", item, says, rest[0] if len(rest) == 1 else kind(rest))
        for one in _changes(rulebook, item):
            whole = kind((*items[:place], one.condition, *items[place + 1 :]))
            yield replace(one, condition=whole)


def step_of(rulebook: Rulebook, intervals: tuple[Interval, ...]) -> Step:
    """How far to move a limit: by a share of its value, or by what its gauge cannot tell.

    A limit of 0 has no share; the greatest of the other limits then lends its own.
    """
    ends = [end for one in intervals for end in (one.low, one.high) if math.isfinite(end)]
    greatest = max(map(abs, ends), default=0.0)

    def step(fact: str, limit: float) -> float:
        measure = rulebook.measures.get(fact)
        gauge = MOVED_GAUGE * measure.u if measure else 0.0
        return max(MOVED_SHARE * (abs(limit) or greatest), gauge)

    return step


def _moved(
    intervals: tuple[Interval, ...], fact: str, step: Step
) -> Iterator[tuple[Interval, ...]]:
    """The intervals with one finite limit moved down or up, if it meets no other limit."""
    limits = sorted({end for one in intervals for end in (one.low, one.high)})
    for limit in filter(math.isfinite, limits):
        for sign in (-1.0, 1.0):
            to = limit + sign * step(fact, limit)
            if to != limit and not any(
                min(limit, to) <= x <= max(limit, to) for x in limits if x != limit
            ):
                yield tuple(_with_limit(one, limit, to) for one in intervals)


def moved_bands(
    bands: tuple[Interval, ...], fact: str, step: Step
) -> Iterator[tuple[float, float, tuple[Interval, ...]]]:
    """The bands with one border moved: from where, to where, and the bands."""
    for moved in _moved(bands, fact, step):
        before = {one.low for one in bands} | {one.high for one in bands}
        after = {one.low for one in moved} | {one.high for one in moved}
        ((old,), (new,)) = (before - after, after - before)
        yield old, new, moved


def _with_limit(interval: Interval, limit: float, to: float) -> Interval:
    return replace(
        interval,
        low=to if interval.low == limit else interval.low,
        high=to if interval.high == limit else interval.high,
    )


def renamed(condition: Condition, names: dict[str, str]) -> Condition:
    """The condition reading other facts: each name of `names` stands for another."""
    match condition:
        case All(items):
            return All(tuple(renamed(item, names) for item in items))
        case AnyOf(items):
            return AnyOf(tuple(renamed(item, names) for item in items))
        case Not(item):
            return Not(renamed(item, names))
        case _:
            return replace(condition, fact=names.get(condition.fact, condition.fact))
