"""A diagnosis that the planner leads: which tests it takes, for how many minutes, to what end."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from advisor.engine.diagnosis import Diagnosis
from advisor.engine.rules import Test
from advisor.engine.values import UNKNOWN, Value
from advisor.rulebook import Rulebook


@dataclass(frozen=True, slots=True)
class Step:
    """One test that was done; `minutes` include the way to its place."""

    test: str
    minutes: float
    questions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Walk:
    """The tests in the order in which they were done, and the state at the end."""

    steps: tuple[Step, ...]
    diagnosis: Diagnosis

    @property
    def minutes(self) -> float:
        """Minutes of all tests and ways."""
        return sum(step.minutes for step in self.steps)

    @property
    def questions(self) -> int:
        """How many questions were asked, those that nobody could answer included."""
        return sum(len(step.questions) for step in self.steps)


def walk(rulebook: Rulebook, answers: Mapping[str, Value]) -> Walk:
    """Start with nothing, do the opening tests, then what the plan advises, until no test pays.

    A question that `answers` leaves out is answered "don't know". One starts at the rulebook's
    first place; the minutes are counted as in a case.
    """
    return _Walker(rulebook, answers).walk()


class _Walker:
    def __init__(self, rulebook: Rulebook, answers: Mapping[str, Value]) -> None:
        self._answers = answers
        self._rules = rulebook.rules
        self._tests = {test.id: test for test in self._rules.tests}
        self._minutes_to = {place.id: place.minutes for place in self._rules.places}
        self._at = self._rules.places[0].id
        self._begun: set[str] = set()
        self._diagnosis = Diagnosis(rulebook.engine)

    def walk(self) -> Walk:
        steps: list[Step] = []
        while (test := self._next()) is not None:
            steps.append(self._do(test))
        return Walk(tuple(steps), self._diagnosis)

    def _next(self) -> Test | None:
        for name in self._rules.opening:
            if self._open_question(self._tests[name]) is not None:
                return self._tests[name]
        plan = self._diagnosis.plan(at=self._at)
        return None if plan.test is None else self._tests[plan.test]

    def _do(self, test: Test) -> Step:
        """Ask what is open, one question after another."""
        asked: list[str] = []
        while (question := self._open_question(test)) is not None:
            self._diagnosis.answer(question, self._answers.get(question, UNKNOWN))
            asked.append(question)
        assert asked, f"nothing can be asked in {test.id!r}"  # else the walk would never end
        minutes = 0.0 if test.id in self._begun else test.minutes
        minutes += 0.0 if test.place == self._at else self._minutes_to[test.place]
        self._begun.add(test.id)
        self._at = test.place
        return Step(test.id, minutes, tuple(asked))

    def _open_question(self, test: Test) -> str | None:
        """The first question that is asked now and has no answer; an answer can open another."""
        diagnosis = self._diagnosis
        return next(
            (
                question
                for question in test.questions
                if diagnosis.is_asked(question) and not diagnosis.is_answered(question)
            ),
            None,
        )
