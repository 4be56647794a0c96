"""Builds a condition by choosing a fact and what it must be."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from advisor import units
from advisor.engine.values import Kind
from advisor.interview import Fault
from advisor.rulebook import FactType, did_you_mean

from .fields import Fields, amount_check, parts

NEW = "new"
ALL, ANY = "all", "any"
_COMPARISON = re.compile(r"(above|below|between)\s+(.+)", re.IGNORECASE)
_AND = re.compile(r"\s+(?:and|to)\s+|\s*,\s*", re.IGNORECASE)


class ConditionBuilder:
    """Asks for a condition; `make_question` asks for a new question and gives its id."""

    def __init__(self, fields: Fields, make_question: Callable[[], str]) -> None:
        self._fields = fields
        self._make_question = make_question

    def build(self) -> dict[str, Any]:
        """One comparison, or several of which all must hold or any one is enough."""
        found: list[dict[str, Any]] = [self._comparison(self._fact("Which fact shows it?"))]
        while more := self._fact("Another fact, together with it or in its place?", default=""):
            found.append(self._comparison(more))
        if len(found) == 1:
            return found[0]
        return _all_of(found) if self._wants_all() else {ANY: found}

    def _wants_all(self) -> bool:
        ways = {ALL: "it is so when every one of these holds", ANY: "one that holds is enough"}
        help_text = 'What mixes both, such as "this and one of those", is written by hand.'
        text = "All of these, or any of them?"
        return self._fields.pick(text, "way", ways, help_text=help_text, default=ALL) == ALL

    def _fact(self, text: str, default: str | None = None) -> str:
        help_text = (
            "A fact is what a question asks, or what is computed or found from others. "
            f'Type its id, or a word of it to find it, or "{NEW}" to write a new question.'
        )
        name = self._fields.pick(
            f'{text} An id, a word of it, or "{NEW}" for a new question',
            "fact",
            self._fields.world.facts(),
            help_text=help_text,
            default=default,
            also=(NEW,),
        )
        return self._make_question() if name == NEW else name

    def _comparison(self, fact: str) -> dict[str, Any]:
        kind = self._fields.world.fact_type(fact)
        if kind.kind is Kind.YES_NO:
            return {fact: self._fields.yes(f'Must "{fact}" be yes or no?', default=True)}
        if kind.kind is Kind.TEXT:
            self._fields.dialogue.tell("Of a text only that there is one can be asked.")
            return {fact: {"known": True}}
        if kind.unit is not None:
            return {fact: self._limit(fact, kind.unit)}
        return {fact: self._option(fact, kind)}

    def _option(self, fact: str, kind: FactType) -> Any:
        labels = self._fields.world.labels(fact)

        def check(typed: str) -> Fault | None:
            wrong = next((one for one in parts(typed) if one not in kind.options), None)
            if wrong is None:
                return None
            return Fault(f'"{fact}" has no option "{wrong}"; {did_you_mean(wrong, kind.options)}')

        listed = "\n".join(f"- {one}: {labels.get(one, one)}" for one in kind.options)
        text = f'Which option of "{fact}"? Several with commas between\n{listed}'
        chosen = parts(self._fields.dialogue.ask(text, check, words=kind.options))
        return chosen[0] if len(chosen) == 1 else {"one_of": chosen}

    def _limit(self, fact: str, unit: units.Unit) -> dict[str, Any]:
        def check(typed: str) -> Fault | None:
            found = _COMPARISON.fullmatch(typed)
            ends = _ends(typed)
            if found is None or len(ends) != 1 + (found[1].casefold() == "between"):
                return Fault(f'read "{typed}"; write above, below or between, with amounts')
            of_amount = amount_check(unit.dimension)
            fault = next((one for one in map(of_amount, ends) if one is not None), None)
            if fault is None and len(ends) == 2:
                low, high = (units.parse(end, unit.dimension).si for end in ends)
                if low >= high:
                    return Fault("the first amount must be the smaller one")
            return None if fault is None else Fault(fault.reason)

        example = f"above 1 {unit.symbol}"
        text = f'Which numbers of "{fact}"? Such as: {example}, or between two amounts'
        typed = self._fields.dialogue.ask(text, check, words=("above", "below", "between"))
        word, ends = typed.split()[0].casefold(), _ends(typed)
        return {word: ends if word == "between" else ends[0]}


def _all_of(items: list[dict[str, Any]]) -> dict[str, Any]:
    names = [name for item in items for name in item]
    if len(set(names)) == len(names):
        return {name: value for item in items for name, value in item.items()}
    return {ALL: items}


def _ends(typed: str) -> list[str]:
    found = _COMPARISON.fullmatch(typed)
    if found is None:
        return []
    return _AND.split(found[2].strip()) if found[1].casefold() == "between" else [found[2].strip()]
