"""Conditions as boolean expressions over facts that are null while they are not known."""

from __future__ import annotations

from collections.abc import Callable

from advisor.engine.rules import All, AnyOf, Condition, Is, Not, Within


def expression(condition: Condition, truth: bool, name_of: Callable[[str, bool], str]) -> str:
    """An expression that holds when the condition has this truth.

    `name_of` gives the name under which a fact (or, with True, "finding f is true"; with False,
    "finding f is false") is read.
    """
    match condition:
        case All(items) | AnyOf(items):
            word = " and " if isinstance(condition, All) is truth else " or "
            return "(" + word.join(expression(item, truth, name_of) for item in items) + ")"
        case Not(item):
            return expression(item, not truth, name_of)
        case Is(fact, _) if fact.startswith("f"):
            return f"({name_of(fact, truth)} == true)"
        case Is(fact, value):
            word = str(value).lower() if isinstance(value, bool) else f'"{value}"'
            name = name_of(fact, truth)
            return f"({name} == {word})" if truth else f"({name} != null and {name} != {word})"
        case Within(fact, (interval,)):
            name, sign = name_of(fact, truth), ">" if truth else "<="
            return f"({name} != null and {name} {sign} {interval.low})"
        case _:
            raise TypeError(condition)
