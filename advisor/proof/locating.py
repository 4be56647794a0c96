"""Where an item of a condition stands in the condition as it is written."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from advisor.engine.rules import All, AnyOf, Condition, Is, Not

Steps = tuple[str | int, ...]


def steps_to(written: Any, item: Condition) -> Steps:
    """The way through a condition as written to an item of it as compiled, by the fact it reads.

    Compiling flattens and merges conditions, so an item has no place of its own; where a fact
    stands several times, the one with the same value is taken, else the first.
    """
    while isinstance(item, All | AnyOf | Not):
        item = item.item if isinstance(item, Not) else item.items[0]
    found = list(_mentions(written, item.fact))
    if isinstance(item, Is):
        found.sort(key=lambda mention: mention[1] != item.value)
    return found[0][0] if found else ()


def _mentions(written: Any, fact: str) -> Iterator[tuple[Steps, Any]]:
    """Each place in a condition where the fact stands, with what is wanted of it."""
    parts: Iterable[tuple[str | int, Any]] = ()
    if isinstance(written, Mapping):
        parts = written.items()
    elif isinstance(written, list):
        parts = enumerate(written)
    for step, value in parts:
        if step == fact:
            yield (step,), value
        else:
            for steps, wanted in _mentions(value, fact):
                yield (step, *steps), wanted
