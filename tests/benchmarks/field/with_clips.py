"""CLIPS through clipspy: a rule for each finding being true, one for its being false.

Support is logical, so that taking an answer back takes with it what rests on it alone.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import clips

from advisor.engine.rules import All, AnyOf, ByCondition, Condition, Is, Not, Rules, Within
from advisor.engine.values import Number, Value

from .work import Derived


class Clips:
    """One environment for all vehicles; a vehicle begins with a reset."""

    name = "clipspy"
    takes_back = True

    def __init__(self, book: Rules) -> None:
        self._environment = clips.Environment()
        for question in book.questions:
            self._environment.build(f"(deftemplate {question.id} (slot v))")
        for finding in book.findings:
            self._environment.build(f"(deftemplate {finding.id} (slot v))")
        for finding in book.findings:
            assert isinstance(finding.source, ByCondition)
            for truth, word in ((True, "TRUE"), (False, "FALSE")):
                pattern = _pattern(finding.source.when, truth)
                self._environment.build(
                    f"(defrule {finding.id}-{word} (logical {pattern}) "
                    f"=> (assert ({finding.id} (v {word}))))"
                )
        self._facts: dict[str, Any] = {}

    def begin(self, known: Mapping[str, Value]) -> None:
        """A new vehicle with these answers."""
        self._facts.clear()
        self._environment.reset()
        for question, value in known.items():
            self._assert(question, value)
        self._environment.run()

    def answer(self, question: str, value: Value) -> None:
        """One answer more."""
        self._assert(question, value)
        self._environment.run()

    def take_back(self, question: str) -> None:
        """One answer less."""
        self._facts.pop(question).retract()
        self._environment.run()

    def _assert(self, question: str, value: Value) -> None:
        text = f"({question} (v {_word(value)}))"
        self._facts[question] = self._environment.assert_string(text)

    def derived(self) -> Derived:
        """The findings that are known."""
        return {
            fact.template.name: str(fact["v"]) == "TRUE"
            for fact in self._environment.facts()
            if fact.template.name.startswith("f")
        }


def _word(value: Value) -> str:
    if isinstance(value, Number):
        return repr(value.value)
    return str(value).upper() if isinstance(value, bool) else str(value)


def _pattern(condition: Condition, truth: bool) -> str:
    """What must be matched for the condition to have this truth."""
    match condition:
        case All(items) | AnyOf(items):
            together = isinstance(condition, All) is truth
            inner = " ".join(_pattern(item, truth) for item in items)
            return f"({'and' if together else 'or'} {inner})"
        case Not(item):
            return _pattern(item, not truth)
        case Is(fact, value):
            return f"({fact} (v {'' if truth else '~'}{_word(value)}))"
        case Within(fact, (interval,)):
            sign = ">" if truth else "<="
            own = f"?{fact}"  # a variable of another pattern would have to match it
            return f"({fact} (v {own}&:({sign} {own} {interval.low})))"
        case _:
            raise TypeError(condition)
