"""The example that goes with a new finding: a vehicle on which it is true."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from advisor import units
from advisor.engine.values import Kind
from advisor.interview import Fault, Tone
from advisor.rulebook import AnswerError, read_answer

from .conditions import ALL, ANY
from .fields import Fields
from .world import Record
from .yamltext import Quoted


class ExampleGuide:
    """Asks for a vehicle; its answers are offered from the condition of the finding."""

    def __init__(self, fields: Fields) -> None:
        self._fields = fields

    def example(self, finding: str, cause: str | None) -> tuple[str, Record]:
        """Id and record of an example that shows the finding, and finds the cause first."""
        fields, world = self._fields, self._fields.world
        fields.dialogue.tell("The example: a vehicle that proves the rule", Tone.HEADING)
        help_text = "Invented or real, without names of people or shops."
        says = fields.text("The vehicle and its trouble in one line", help_text)
        name = fields.new_id("examples", "example", says)
        answers: dict[str, str] = {}
        for fact, wanted in _comparisons(world.made["findings", finding]["when"]):
            if fact in world.ids("questions"):
                answers[fact] = self._answer(fact, self._likely(fact, wanted))
            else:
                fields.dialogue.tell(f'"{fact}" is worked out; answer what it comes from')
        while question := self._another():
            answers[question] = self._answer(question, None)
        expect: Record = {"first": cause} if cause else {}
        return name, {
            "says": says,
            "answers": {question: Quoted(answer) for question, answer in answers.items()},
            "expect": {**expect, "findings": {finding: True}},
        }

    def _another(self) -> str:
        return self._fields.pick(
            "Another answer of this vehicle? The id of a question, or a word of it",
            "question",
            self._fields.world.ids("questions"),
            help_text="What else the technician would have found, such as the complaint.",
            default="",
        )

    def _answer(self, question: str, default: str | None) -> str:
        world = self._fields.world
        kind = world.fact_type(question)
        labels = world.labels(question) if kind.options else {}

        def check(typed: str) -> Fault | None:
            try:
                read_answer(typed, kind.kind, labels, kind.unit, 0.0)
            except AnswerError as error:
                return Fault(error.reason, error.position)
            return None

        listed = "".join(f"\n- {one}: {label}" for one, label in labels.items())
        text = f'The answer to "{question}": {world.ids("questions")[question]}{listed}'
        return self._fields.dialogue.ask(text, check, default=default, words=tuple(labels))

    def _likely(self, question: str, wanted: Any) -> str | None:
        """An answer that makes the comparison true, where one can be told."""
        if isinstance(wanted, bool):
            return "yes" if wanted else "no"
        if isinstance(wanted, str):
            return wanted
        kind = self._fields.world.fact_type(question)
        if "one_of" in wanted:
            return str(wanted["one_of"][0])
        if kind.kind is not Kind.NUMBER or kind.unit is None or "known" in wanted:
            return None
        return _inside(wanted, kind.unit)


def _inside(wanted: dict[str, Any], unit: units.Unit) -> str | None:
    """A number well inside the comparison; None when its limit is no measure of how far."""
    ((word, limit),) = wanted.items()
    if word == "between":
        low, high = (units.parse(end, unit.dimension).si for end in limit)
        return units.show((low + high) / 2, unit)
    end = units.parse(limit, unit.dimension).si
    if end <= 0:
        return None
    return units.show(end * (2.0 if word == "above" else 0.5), unit)


def _comparisons(condition: dict[str, Any]) -> Iterator[tuple[str, Any]]:
    """The facts of a condition with what makes it true: of any, the first is enough."""
    for fact, wanted in condition.items():
        if fact in (ALL, ANY):
            for part in wanted if fact == ALL else wanted[:1]:
                yield from _comparisons(part)
        else:
            yield fact, wanted
