"""The desk: what a repair order needs is asked in five minutes, and handed on to the technician."""

from __future__ import annotations

from pathlib import Path

from advisor.cases import CaseFile, CaseSession
from advisor.engine.rules import Test
from advisor.life import (
    ASPECTS,
    PRIVATE_FIELDS,
    concern_of,
    concern_questions,
    hand_over_text,
    keep_private,
    read_private,
    statement_of,
)
from advisor.report.wording import minutes

from . import texts
from .choosing import Chooser
from .freewords import ask_words
from .port import Fault, Port, Tone
from .roles import Role
from .walking import open_questions

INTAKE_MINUTES = 5.0
"""What a customer is asked to wait for at the desk. Judgement."""

MORE = "more"


class Intake:
    """Chooses what to ask of a customer: the gaps of the repair order, then what pays."""

    def __init__(self, session: CaseSession, port: Port, chooser: Chooser) -> None:
        self._session = session
        self._port = port
        self._chooser = chooser
        self._desk = session.rulebook.rules.places[0].id
        self._goes_on = False

    def next_test(self) -> Test | None:
        """The next test at the desk; None when none pays, or the time of the desk is used up."""
        test = self._chooser.opening_test() or self._gap()
        if test is not None:
            return test
        if self._session.case.minutes_spent >= INTAKE_MINUTES and not self._wants_more():
            return None
        return self._chooser.next_test()

    def _gap(self) -> Test | None:
        """The most telling test about something that the repair order still lacks."""
        session = self._session
        lacking = concern_of(session.case, session.rulebook, session.diagnosis).not_asked
        if not lacking:
            return None
        ranked = [name for one in session.plan({self._desk}).options for name in one.tests]
        asked = concern_questions(session.rulebook, session.diagnosis)
        for aspect in (about for about, name in ASPECTS.items() if name in lacking):
            about_it = [q for q, model in asked.items() if model.about == aspect]
            tests = [test for q in about_it if self._is_open(test := session.test_of(q), q)]
            tests.sort(key=lambda test: _place_in(ranked, test.id))
            if tests:
                for line in texts.cautions(session.rulebook, tests[0]):
                    self._port.tell(line, Tone.CAUTION)
                return tests[0]
        return None

    def _is_open(self, test: Test, question: str) -> bool:
        is_here = test.place == self._desk and test.id not in self._session.case.put_off
        return is_here and question in open_questions(self._session, test)

    def _wants_more(self) -> bool:
        """Whether to go on although the customer has waited; asked once, and only if it pays."""
        if self._goes_on or self._session.plan({self._desk}).test is None:
            return True
        spent = minutes(self._session.case.minutes_spent)
        typed = ask_words(
            self._port,
            f'{spent} at the desk. Enter: hand over to the technician; "{MORE}": go on asking',
            check=_fault,
            completions=(MORE,),
        )
        self._goes_on = typed is not None
        return self._goes_on


def _place_in(ranked: list[str], test: str) -> int:
    return ranked.index(test) if test in ranked else len(ranked)


def _fault(typed: str) -> Fault | None:
    if typed.strip().casefold() == MORE:
        return None
    return Fault(f'read "{typed.strip()[:40]}"; expected Enter or "{MORE}"')


def is_taken_over(case: CaseFile, role: Role) -> bool:
    """Whether somebody of another role answered last, or the case of a comeback begins."""
    if case.comeback_of is not None and not case.has_own_answers():
        return True
    by = [record.by for record in case.answers if record.by is not None]
    return bool(by) and by[-1] != role.id


def hand_over(session: CaseSession) -> str:
    """The verdict on driving, the concern and the road-test plan."""
    return hand_over_text(statement_of(session.case, session.rulebook, session.diagnosis))


def ask_private(port: Port, case: Path) -> None:
    """Ask for the customer's own data that are not there; each is optional, and kept apart."""
    known = read_private(case)
    have = known.as_data() if known else {}
    for field, name in PRIVATE_FIELDS.items():
        if field not in have:
            words = ask_words(port, f"Private, optional: {name}? Enter: leave it out")
            if words is not None:
                keep_private(case, **{field: words})
