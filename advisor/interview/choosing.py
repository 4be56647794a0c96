"""Choosing the next test: the engine's best is offered with its reason; the person decides."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from advisor.cases import CaseSession
from advisor.engine.plan import TestOption, pays
from advisor.engine.rules import Test
from advisor.layout import clean_line
from advisor.units import whole_number

from . import texts
from .asking import Stopped
from .port import Fault, Port, Prompt, Tone
from .walking import Walker, open_questions
from .words import Word, completions, help_text, why_not_of, word_in

MOST_LISTED = 5
WORDS = frozenset(Word) - {Word.DONT_KNOW}  # nothing is asked at an offer


@dataclass(frozen=True, slots=True)
class Offer:
    """The test that stands for acceptance (None: ending does), and those that can be chosen."""

    test: Test | None
    option: TestOption | None
    listed: tuple[Test, ...]

    def choice(self, typed: str) -> Test | None:
        """The listed test that a number or an id names."""
        number = whole_number(typed, len(self.listed))
        if number is not None:
            return self.listed[number - 1]
        return next((test for test in self.listed if test.id == typed.casefold()), None)

    def fault(self, typed: str) -> Fault | None:
        """Why a typed text is no reply to the offer."""
        text = typed.strip()
        if not text or self.choice(text) or word_in(text, bare=True):
            return None
        number = f", a number from 1 to {len(self.listed)}" if self.listed else ""
        return Fault(f'read "{text}"; expected Enter{number}, or a word; "help" lists them')


class Chooser:
    """Finds and offers the tests of a case, within the places of a role."""

    def __init__(
        self, session: CaseSession, port: Port, walker: Walker, places: Collection[str]
    ) -> None:
        self._session = session
        self._port = port
        self._walker = walker
        self._places = frozenset(places)
        self._tests = {test.id: test for test in session.rulebook.rules.tests}
        self._half_done = self._find_half_done()

    def opening_test(self) -> Test | None:
        """The first opening test that still has something to ask; its cautions are shown."""
        for name in self._session.rulebook.rules.opening:
            test = self._tests[name]
            if name not in self._session.case.put_off and self._can_be_done(test):
                self._tell_cautions(test)
                return test
        return None

    def next_test(self) -> Test | None:
        """The test that was accepted; None when no test pays and none that was put off is wanted.

        The person may go back meanwhile; then an opening test may be due first.
        """
        chosen: Test | None = None
        while True:
            if (opening := self.opening_test()) is not None:
                return opening
            offer = self._offer(chosen)
            if offer.test is None and not offer.listed:
                return None
            accepted, chosen = self._settle(offer)
            if accepted:
                return chosen

    def left_to_others(self) -> list[Test]:
        """The tests that would pay in places where this role doesn't go, best first."""
        everywhere = {place.id for place in self._session.rulebook.rules.places}
        if self._places >= everywhere:
            return []
        paying = [option for _, option in self._weighed(everywhere) if pays(option)]
        names = dict.fromkeys(name for option in paying for name in option.tests)
        left = [self._tests[name] for name in names]
        return [test for test in left if test.place not in self._places][:MOST_LISTED]

    def _can_be_done(self, test: Test) -> bool:
        return test.place in self._places and bool(open_questions(self._session, test))

    def _find_half_done(self) -> Test | None:
        """The test in which the last sitting ended, when it still has something to ask."""
        records = self._session.case.answers
        if not records:
            return None
        test = self._session.test_of(records[-1].question)
        put_off = test.id in self._session.case.put_off
        return test if not put_off and self._can_be_done(test) else None

    def _weighed(self, places: Collection[str]) -> list[tuple[Test, TestOption]]:
        """The tests that the engine weighed, best first, each once, with something to ask."""
        session = self._session
        plan = session.plan(places)
        found: dict[str, TestOption] = {}
        for option in plan.options:
            for name in option.tests:
                if open_questions(session, self._tests[name]):
                    found.setdefault(name, option)
                    break
        return [(self._tests[name], option) for name, option in found.items()]

    def _offer(self, chosen: Test | None) -> Offer:
        weighed = self._weighed(self._places)
        worth_it = bool(weighed) and pays(weighed[0][1])
        best = [test for test, _ in weighed[:MOST_LISTED]] if worth_it else []
        put_off = [self._tests[name] for name in self._session.case.put_off]
        listed = (*best, *(test for test in put_off if self._can_be_done(test)))
        if chosen is None and self._half_done and self._can_be_done(self._half_done):
            chosen = self._half_done
        self._half_done = None
        if chosen is None and worth_it:
            chosen = best[0]
        option = next((option for test, option in weighed if test is chosen), None)
        return Offer(chosen, option, listed)

    def _settle(self, offer: Offer) -> tuple[bool, Test | None]:
        """Show the offer and take the reply: whether it is settled, and the test it is about."""
        if offer.test is not None:
            text = texts.announcement(self._session, offer.test, offer.option)
            self._port.tell(text, Tone.HEADING)
            self._tell_cautions(offer.test)
        prompt = self._prompt(offer)
        while True:
            typed = clean_line(self._port.ask(prompt))
            if not typed:
                return True, offer.test
            chosen = offer.choice(typed)
            if chosen is not None:
                return False, chosen
            fault = offer.fault(typed)
            if fault is not None:
                self._port.tell(fault.reason, Tone.PROBLEM)
            elif self._obey(word_in(typed, bare=True), typed, offer):
                return False, None

    def _prompt(self, offer: Offer) -> Prompt:
        lines = [
            f"{number}. {texts.test_line(self._session, test)}"
            + (" - put off" if test.id in self._session.case.put_off else "")
            for number, test in enumerate(offer.listed, 1)
        ]
        others = set(offer.listed) - {offer.test}
        head = ["tests to choose from:", *lines] if others else []
        enter = "No other test pays for its minutes. Enter: finish"
        if offer.test:
            enter = "Enter: do it, skip: put it off"
        number = ", a number: another test" if others else ""
        return Prompt(
            "\n".join([*head, f'{enter}{number}, or why, how, back, stop; "help" lists all']),
            completions=(*(test.id for test in offer.listed), *completions(bare=True)),
            check=offer.fault,
            status=texts.status(self._session),
        )

    def _obey(self, word: Word | None, typed: str, offer: Offer) -> bool:
        """Do what the word says; True when the offer has to be made anew."""
        match word:
            case Word.STOP:
                raise Stopped
            case Word.BACK:
                self._walker.go_back()
                return True
            case Word.SKIP if offer.test is not None:
                self._session.put_off(offer.test.id)
                return True
            case Word.RANKING:
                self._port.tell(texts.ranking(self._session))
            case Word.WHY:
                self._port.tell(texts.why_test(self._session, offer.test, offer.option))
            case Word.WHY_NOT:
                self._port.tell(texts.why_not(self._session, why_not_of(typed)))
            case Word.HOW if offer.test is not None:
                self._port.tell(texts.how_test(self._session, offer.test))
            case Word.HELP:
                self._port.tell(help_text(bare=True, words=WORDS))
            case _:
                self._port.tell("nothing is asked here; choose a test, or stop", Tone.PROBLEM)
        return False

    def _tell_cautions(self, test: Test) -> None:
        for line in texts.cautions(self._session.rulebook, test):
            self._port.tell(line, Tone.CAUTION)
