"""Walking through questions: those of a test one after another, and back through earlier ones."""

from __future__ import annotations

from advisor.cases import CaseSession
from advisor.engine.rules import Test

from .asking import Asker, Step
from .port import Port
from .roles import Role


def open_questions(session: CaseSession, test: Test) -> list[str]:
    """The questions of a test to be asked now: without an answer, even "don't know"."""
    diagnosis = session.diagnosis
    return [
        question
        for question in test.questions
        if diagnosis.is_asked(question)
        and not diagnosis.is_answered(question)
        and question not in session.closed
    ]


class Walker:
    """Leads through the questions of a case."""

    def __init__(self, session: CaseSession, port: Port, asker: Asker, role: Role) -> None:
        self._session = session
        self._port = port
        self._asker = asker
        self._role = role
        self._skipped: set[str] = set()  # left open in this sitting

    def do(self, test: Test) -> None:
        """Ask the open questions of a test; one left open puts the test off."""
        self._session.take_up(test.id)
        self._skipped.difference_update(test.questions)
        while ahead := self._ahead(test):
            if self._visit([*self._history(), ahead[0]]) is Step.SKIPPED:
                self._skipped.add(ahead[0])
        if self._skipped.intersection(open_questions(self._session, test)):
            self._session.put_off(test.id)

    def _ahead(self, test: Test) -> list[str]:
        return [q for q in open_questions(self._session, test) if q not in self._skipped]

    def go_back(self) -> None:
        """Ask the last answered question again."""
        history = self._history()
        if not history:
            self._port.tell("there is no question before this")
            return
        if self._visit(history) is Step.SKIPPED:
            self._leave_open(history[-1])

    def _history(self) -> list[str]:
        """The answered questions that still apply, in the order in which they were answered."""
        is_asked = self._session.diagnosis.is_asked
        return [question for question in self._session.case.latest() if is_asked(question)]

    def _visit(self, trail: list[str]) -> Step:
        """Ask the last question of the trail; `back` walks towards its start.

        Gives how the last question was left; KEPT when an earlier one was dealt with instead.
        """
        place = len(trail) - 1
        while True:
            step = self._asker.ask(trail[place])
            if step is Step.BACK:
                if place == 0:
                    self._port.tell("there is no question before this")
                place = max(place - 1, 0)
                continue
            if place == len(trail) - 1:
                return step
            if step is Step.SKIPPED:
                self._leave_open(trail[place])
            return Step.KEPT

    def _leave_open(self, question: str) -> None:
        """Skipping an answered question takes the answer back; the log keeps it."""
        self._session.take_back(question, by=self._role.id)
        self._session.put_off(self._session.test_of(question).id)
        self._skipped.add(question)
        self._port.tell("the answer is taken back and the test put off")
