"""zen-engine: one decision, its expressions in the order of the layers. All anew each time."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

import zen

from advisor.engine.rules import ByCondition, Rules
from advisor.engine.values import Number, Value

from .expressions import expression
from .work import Derived


class Zen:
    """One compiled decision; a vehicle's facts go in as one context."""

    name = "zen-engine"
    takes_back = False

    def __init__(self, book: Rules) -> None:
        self._questions = [question.id for question in book.questions]
        lines = []
        for finding in book.findings:
            assert isinstance(finding.source, ByCondition)
            for truth in (True, False):
                key = f"{finding.id}_{truth}"
                text = expression(finding.source.when, truth, _name)
                lines.append({"id": key, "key": key, "value": text})
        node = {
            "id": "rules",
            "type": "expressionNode",
            "name": "rules",
            "content": {"expressions": lines},
        }
        content = {
            "nodes": [
                {"id": "in", "type": "inputNode", "name": "in"},
                node,
                {"id": "out", "type": "outputNode", "name": "out"},
            ],
            "edges": [
                {"id": "a", "sourceId": "in", "targetId": "rules", "type": "edge"},
                {"id": "b", "sourceId": "rules", "targetId": "out", "type": "edge"},
            ],
        }
        self._decision: Any = zen.ZenEngine().create_decision(json.dumps(content))
        self._result: dict[str, Any] = {}

    def begin(self, known: Mapping[str, Value]) -> None:
        """A new vehicle with these answers."""
        facts = {name: _plain(value) for name, value in known.items()}
        self._result = self._decision.evaluate(facts)["result"]

    def derived(self) -> Derived:
        """The findings that are known."""
        found = [name.rsplit("_", 1) for name, held in self._result.items() if held is True]
        return {finding: truth == "True" for finding, truth in found}


def _name(fact: str, truth: bool) -> str:
    return f"$.{fact}_{truth}" if fact.startswith("f") else fact


def _plain(value: Value) -> object:
    return value.value if isinstance(value, Number) else value
