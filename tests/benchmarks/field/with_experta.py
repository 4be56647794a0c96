"""experta, rules in Python. It has no logical support, so nothing can be taken back."""

from __future__ import annotations

import collections
import collections.abc
from collections.abc import Mapping
from typing import Any

for _name in ("Mapping", "MutableMapping", "Iterable", "Sequence"):  # it imports them from there
    setattr(collections, _name, getattr(collections.abc, _name))

import experta  # noqa: E402

from advisor.engine.rules import (  # noqa: E402
    All,
    AnyOf,
    ByCondition,
    Condition,
    Is,
    Not,
    Rules,
    Within,
)
from advisor.engine.values import Number, Value  # noqa: E402

from .work import Derived  # noqa: E402


class Known(experta.Fact):  # type: ignore[misc]
    """A fact or a finding with its value."""


class Experta:
    """One engine for all vehicles; a vehicle begins with a reset."""

    name = "experta"
    takes_back = False

    def __init__(self, book: Rules) -> None:
        methods: dict[str, Any] = {}
        for finding in book.findings:
            assert isinstance(finding.source, ByCondition)
            for truth in (True, False):
                rule = experta.Rule(_pattern(finding.source.when, truth))
                methods[f"{finding.id}_{truth}"] = rule(_concluding(finding.id, truth))
        self._engine: Any = type("Made", (experta.KnowledgeEngine,), methods)()

    def begin(self, known: Mapping[str, Value]) -> None:
        """A new vehicle with these answers."""
        self._engine.reset()
        for question, value in known.items():
            self._declare(question, value)
        self._engine.run()

    def answer(self, question: str, value: Value) -> None:
        """One answer more."""
        self._declare(question, value)
        self._engine.run()

    def _declare(self, question: str, value: Value) -> None:
        self._engine.declare(Known(id=question, v=_plain(value)))

    def derived(self) -> Derived:
        """The findings that are known."""
        facts = [fact for fact in self._engine.facts.values() if isinstance(fact, Known)]
        return {fact["id"]: fact["v"] for fact in facts if fact["id"].startswith("f")}


def _plain(value: Value) -> object:
    return value.value if isinstance(value, Number) else value


def _concluding(finding: str, truth: bool) -> Any:
    def conclude(engine: Any) -> None:
        engine.declare(Known(id=finding, v=truth))

    return conclude


def _pattern(condition: Condition, truth: bool) -> Any:
    """What must be matched for the condition to have this truth."""
    match condition:
        case All(items) | AnyOf(items):
            inner = [_pattern(item, truth) for item in items]
            return (experta.AND if isinstance(condition, All) is truth else experta.OR)(*inner)
        case Not(item):
            return _pattern(item, not truth)
        case Is(fact, value):
            literal = experta.L(value)
            return Known(id=fact, v=literal if truth else ~literal)
        case Within(fact, (interval,)):
            low = interval.low
            if truth:
                return Known(id=fact, v=experta.P(lambda x: x > low))
            return Known(id=fact, v=experta.P(lambda x: x <= low))
        case _:
            raise TypeError(condition)
