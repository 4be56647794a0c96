"""rule-engine: two expressions a finding, in the order of the layers. All anew for each answer."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import rule_engine

from advisor.engine.rules import ByCondition, Rules
from advisor.engine.values import Number, Value

from .expressions import expression
from .work import Derived


class RuleEngine:
    """It matches one expression at a time; the facts of a vehicle are a plain mapping."""

    name = "rule-engine"
    takes_back = False

    def __init__(self, book: Rules) -> None:
        context = rule_engine.Context(default_value=None)
        self._rules: list[tuple[str, Any]] = []
        for finding in book.findings:
            assert isinstance(finding.source, ByCondition)
            for truth in (True, False):
                text = expression(finding.source.when, truth, _name)
                self._rules.append((_name(finding.id, truth), rule_engine.Rule(text, context)))
        self._facts: dict[str, object] = {}

    def begin(self, known: Mapping[str, Value]) -> None:
        """A new vehicle with these answers."""
        self._facts = {name: _plain(value) for name, value in known.items()}
        for name, rule in self._rules:
            if rule.matches(self._facts):
                self._facts[name] = True

    def derived(self) -> Derived:
        """The findings that are known."""
        found = [name.rsplit("_", 1) for name in self._facts if name.startswith("f")]
        return {finding: truth == "True" for finding, truth in found}


def _name(fact: str, truth: bool) -> str:
    return f"{fact}_{truth}" if fact.startswith("f") else fact


def _plain(value: Value) -> object:
    return value.value if isinstance(value, Number) else value
