"""Our own chain."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.engine.chain import Chain
from advisor.engine.network import Network
from advisor.engine.rules import Rules
from advisor.engine.values import Value

from .work import Derived


class Ours:
    """The chain with its trail and taking back; a new one for each vehicle."""

    name = "ours"
    takes_back = True

    def __init__(self, book: Rules) -> None:
        self._rules = book
        self._network = Network(book)
        self._blank = Chain(book, self._network)
        self._chain = self._blank

    def begin(self, known: Mapping[str, Value]) -> None:
        """A new vehicle with these answers."""
        self._chain = self._blank.copy()
        self._chain.answer_all(known)

    def answer(self, question: str, value: Value) -> None:
        """One answer more."""
        self._chain.answer(question, value)

    def take_back(self, question: str) -> None:
        """One answer less."""
        self._chain.take_back(question)

    def derived(self) -> Derived:
        """The findings that are known."""
        weights = {finding.id: self._chain.weights(finding.id) for finding in self._rules.findings}
        return {name: pair[0] == 1.0 for name, pair in weights.items() if pair is not None}
