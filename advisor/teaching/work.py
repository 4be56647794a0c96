"""Work on a practice vehicle: tests and repairs, what they show, and the minutes they take."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from advisor.engine.diagnosis import Diagnosis
from advisor.engine.rules import Test
from advisor.rulebook import Rulebook
from advisor.vehicles import Vehicle

DONT_KNOW = "dont-know"


class End(Enum):
    """How the work on a vehicle ended."""

    CURED = "cured"
    HANDED_ON = "handed-on"


@dataclass(frozen=True, slots=True)
class Shown:
    """The answer of one question, as the technician reads it."""

    question: str
    text: str


class Work:
    """One vehicle in the workshop; minutes are counted as in a case. Its faults stay hidden."""

    def __init__(self, rulebook: Rulebook, vehicle: Vehicle) -> None:
        rules = rulebook.rules
        self.rulebook = rulebook
        self.vehicle = vehicle
        self.diagnosis = Diagnosis(rulebook.engine)
        self.at = rules.places[0].id
        self.minutes = 0.0
        self.end: End | None = None
        self.shown: list[Shown] = []
        self.begun: set[str] = set()
        self._places = {place.id: place for place in rules.places}
        self._tests = {test.id: test for test in rules.tests}

    def open_questions(self, test: Test) -> list[str]:
        """The questions of a test that this vehicle answers, asked now and not answered yet."""
        diagnosis, answers = self.diagnosis, self.vehicle.answers
        return [
            q
            for q in test.questions
            if q in answers and diagnosis.is_asked(q) and not diagnosis.is_answered(q)
        ]

    def tests_left(self) -> list[Test]:
        """The tests that still have something to show, in the order of the files."""
        return [test for test in self.rulebook.rules.tests if self.open_questions(test)]

    def minutes_to(self, place: str) -> float:
        """The minutes of the way to a place from where one is."""
        return 0.0 if place == self.at else self._places[place].minutes

    def minutes_of(self, test: Test) -> float:
        """The minutes of a test with the way there; one begun before costs only the way."""
        return (0.0 if test.id in self.begun else test.minutes) + self.minutes_to(test.place)

    def is_unsafe(self, test: Test) -> bool:
        """Whether the test drives a vehicle that is known to be unsafe, or may well be."""
        return self._places[test.place].driving and bool(self.diagnosis.stops())

    def test(self, name: str) -> list[Shown]:
        """Do a test: what each of its questions shows. Unknown id: KeyError."""
        test = self._tests[name]
        self.minutes += self.minutes_of(test)
        self.begun.add(name)
        self.at = test.place
        found: list[Shown] = []
        while left := self.open_questions(test):  # an answer can open another question
            text = self.vehicle.answers[left[0]]
            self.diagnosis.answer(left[0], self.rulebook.parse_answer(left[0], text))
            found.append(Shown(left[0], text))
        self.shown += found
        return found

    def repair(self, cause: str) -> bool:
        """Mend a cause and prove it; whether the vehicle is cured. Unknown id: KeyError."""
        model = self.rulebook.causes[cause]
        self.minutes += model.remedy.minutes + model.verify.minutes
        self.diagnosis.mend(cause)
        faults = frozenset(self.vehicle.faults)
        if faults and faults <= self.diagnosis.mended:
            self.end = End.CURED
        return self.end is End.CURED

    def hand_on(self) -> None:
        """Hand the vehicle on, which costs the rulebook's minutes for that."""
        self.minutes += self.rulebook.rules.escalation_minutes
        self.end = End.HANDED_ON

    def opening(self) -> Sequence[str]:
        """The tests that begin every interview and still have something to show."""
        return [
            name for name in self.rulebook.rules.opening if self.open_questions(self._tests[name])
        ]

    def begin(self) -> list[Shown]:
        """Do the opening tests: complaint and history."""
        found: list[Shown] = []
        while names := self.opening():
            found += self.test(names[0])
        return found
