"""After the tests: the choices side by side, which repair was done, and whether it cured."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from advisor.cases import CaseSession, Result
from advisor.engine.repair import RepairStep
from advisor.layout import clean_line
from advisor.report.wording import cause_name, minutes, percent
from advisor.units import whole_number

from . import texts
from .asking import Stopped
from .goingon import GoingOn, going_on, how_to, letter_in
from .port import Fault, Port, Prompt, Tone
from .roles import Role
from .walking import Walker
from .words import Word, help_text, why_not_of, word_in

WORDS = frozenset({Word.STOP, Word.BACK, Word.RANKING, Word.WHY_NOT, Word.HELP})
CURED, NOT_CURED = "cured", "not cured"
_REPLY = re.compile(rf"(\d+)\s*[:,]?\s*({NOT_CURED}|{CURED})")


@dataclass(frozen=True, slots=True)
class Tried:
    """A repair that was done, by its cause, and whether the complaint is gone."""

    cause: str
    cured: bool


@dataclass(frozen=True, slots=True)
class Repairs:
    """The repairs that stand to choose from, in the order in which to try them.

    `letters` name the choices that stand beside them.
    """

    steps: tuple[RepairStep, ...]
    letters: tuple[str, ...] = ()

    def tried(self, typed: str) -> Tried | None:
        """What a reply such as "1 not cured" says, or None when it can't be read."""
        match = _REPLY.fullmatch(typed.strip().casefold())
        number = whole_number(match[1], len(self.steps)) if match else None
        if match is None or number is None:
            return None
        return Tried(self.steps[number - 1].cause, match[2] == CURED)

    def fault(self, typed: str) -> Fault | None:
        """Why a typed text is no reply."""
        text = letter_in(typed)
        if (
            not text
            or self.tried(typed)
            or text in self.letters
            or word_in(typed, bare=True) in WORDS
        ):
            return None
        letter = (
            f"a letter from {self.letters[0]} to {self.letters[-1]}, or " if self.letters else ""
        )
        return Fault(
            f'read "{typed.strip()}"; expected {letter}a number from 1 to {len(self.steps)} with '
            f'"{CURED}" or "{NOT_CURED}", such as "1 {CURED}"; or Enter to leave'
        )


class Mender:
    """Lets a person choose how to go on, and asks how the repairs went.

    A repair that did not cure is evidence, and so is a test that was chosen: the case goes on.
    """

    def __init__(self, session: CaseSession, port: Port, role: Role, walker: Walker) -> None:
        self._session = session
        self._port = port
        self._role = role
        self._walker = walker

    def goes_on(self) -> bool:
        """Whether something was learnt, so that the advice has to be worked out anew.

        A cure closes the case with its outcome.
        """
        session = self._session
        choices = going_on(session)
        repairs = Repairs(session.plan().repair.steps, choices.letters)
        if not repairs.steps:
            return False
        prompt = self._prompt(repairs, choices)
        while True:
            typed = clean_line(self._port.ask(prompt))
            prompt = replace(prompt, text=self._enter())  # the choices stand above
            if not typed:
                return False
            tried, chosen = repairs.tried(typed), choices.choice(typed)
            if tried is not None:
                return self._note(tried)
            if chosen is not None and chosen.tests:
                self._do(chosen.tests)
                return True
            if chosen is not None:
                self._port.tell("\n".join(how_to(session, chosen)), Tone.HEADING)
            elif self._obey(word_in(typed, bare=True), typed, repairs):
                return True

    def _note(self, tried: Tried) -> bool:
        """Keep how a repair went; whether the case goes on."""
        session = self._session
        name = cause_name(session.rulebook, tried.cause)
        if tried.cured:
            session.close(Result(causes=(tried.cause,)), by=self._role.id)
            self._port.tell(f"cured by mending: {name}. The outcome is recorded.", Tone.HEADING)
            return False
        session.mend(tried.cause, by=self._role.id)
        self._port.tell(f"not cured by mending: {name}. That is evidence; going on.", Tone.HEADING)
        return True

    def _do(self, tests: Sequence[str]) -> None:
        """Do the chosen tests, the cautions of each before it."""
        of = {test.id: test for test in self._session.rulebook.rules.tests}
        for test in map(of.__getitem__, tests):
            self._port.tell(texts.announcement(self._session, test, None), Tone.HEADING)
            for line in texts.cautions(self._session.rulebook, test):
                self._port.tell(line, Tone.CAUTION)
            self._walker.do(test)

    def _obey(self, word: Word | None, typed: str, repairs: Repairs) -> bool:
        """Do what a word says; whether the advice has to be worked out anew."""
        match word:
            case Word.STOP:
                raise Stopped
            case Word.BACK:
                self._walker.go_back()
                return True
            case Word.RANKING:
                self._port.tell(texts.ranking(self._session))
            case Word.WHY_NOT:
                self._port.tell(texts.why_not(self._session, why_not_of(typed)))
            case Word.HELP:
                self._port.tell(help_text(bare=True, words=WORDS))
            case _:
                fault = repairs.fault(typed)
                self._port.tell(fault.reason if fault else "", Tone.PROBLEM)
        return False

    def _prompt(self, repairs: Repairs, choices: GoingOn) -> Prompt:
        head = "repairs to choose from:"
        return Prompt(
            "\n".join((*choices.lines(), head, *self._lines(repairs), self._enter())),
            completions=tuple(
                f"{number} {word}"
                for number in range(1, len(repairs.steps) + 1)
                for word in (CURED, NOT_CURED)
            ),
            check=repairs.fault,
            status=texts.status(self._session),
        )

    def _lines(self, repairs: Repairs) -> list[str]:
        return [
            f"{number}. {cause_name(self._session.rulebook, step.cause)} "
            f"({percent(step.probability)}, {minutes(step.minutes)} with its proof)"
            for number, step in enumerate(repairs.steps, 1)
        ]

    def _enter(self) -> str:
        return (
            "A letter: how that is done, or the test itself. When a repair is done, its number and "
            f'how it went: "1 {CURED}" or "1 {NOT_CURED}". Enter: leave it for now'
        )
