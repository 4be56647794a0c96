"""Whether readings show what the true values would show, and agree with each other."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.engine.chain import Chain, Weights
from advisor.engine.network import Network
from advisor.engine.rules import Rules
from advisor.engine.values import Value

from .states import Answers, exact


class Check:
    """Compares readings of one group's questions with the true values behind them."""

    def __init__(self, rules: Rules) -> None:
        asked = {question.id for question in rules.questions}
        self._has_both = any(computed.id in asked for computed in rules.computed)
        self._findings = tuple(finding.id for finding in rules.findings)
        self._chain = Chain(rules, Network(rules))
        self._true: dict[tuple[tuple[str, ...], Answers], list[Weights | None]] = {}

    def agree(self, questions: tuple[str, ...], true: Answers, read: Mapping[str, Value]) -> bool:
        """Whether readings lead to the outcomes of the true values, without a contradiction."""
        key = (questions, true)
        if key not in self._true:
            self._true[key] = self._outcomes(dict(zip(questions, true, strict=True)))
        if self._true[key] != self._outcomes({q: exact(v) for q, v in read.items()}):
            return False
        if not self._has_both:
            return True
        self._tell(read)
        return not self._chain.conflicts()

    def _outcomes(self, answers: Mapping[str, Value]) -> list[Weights | None]:
        self._tell(answers)
        return [self._chain.weights(finding) for finding in self._findings]

    def _tell(self, answers: Mapping[str, Value]) -> None:
        """These answers and no others: what the vehicle before was asked must not speak."""
        for question in self._chain.answers.keys() - answers.keys():
            self._chain.take_back(question)
        self._chain.answer_all(answers)
