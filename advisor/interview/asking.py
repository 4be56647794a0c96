"""Asking one question until it is answered, kept, or left open."""

from __future__ import annotations

from collections.abc import Callable
from enum import Enum

from advisor.cases import LONGEST_ANSWER, CaseSession, WriteError
from advisor.layout import clean_line, under_caret
from advisor.rulebook import AnswerError, Rulebook

from . import texts
from .entry import Entry
from .port import Fault, Port, Prompt, Tone
from .roles import Role
from .words import Word, completions, help_text, why_not_of, word_in

DONT_KNOW = "dont-know"


class Stopped(Exception):  # noqa: N818 - not an error: the person leaves
    """The person wants to leave; everything answered is on disk."""


class Step(Enum):
    """How a question was left."""

    ANSWERED = "answered"
    KEPT = "kept"
    SKIPPED = "skipped"
    BACK = "back"


class Asker:
    """Asks questions of an open case through a port, and saves each answer before it goes on."""

    def __init__(self, session: CaseSession, port: Port, role: Role) -> None:
        self._session = session
        self._port = port
        self._role = role
        self._told_stops: set[str] = set()
        self._pointed_out: set[str] = set()  # questions

    def ask(self, question: str) -> Step:
        """Ask until there is an answer on disk, or a word that leads away from the question."""
        entry = texts.entry_of(self._session.rulebook, question)
        bare = not entry.takes_words
        prompt = Prompt(
            texts.question(self._session, question, self._role),
            completions=(*entry.completions(), *completions(bare=bare)),
            check=self.check_of(question, entry),
            status=texts.status(self._session),
        )
        while True:
            typed = clean_line(self._port.ask(prompt))
            word = word_in(typed, bare=bare, answers=entry.answers())
            if word is Word.BACK:
                return Step.BACK
            if word is Word.SKIP:
                return Step.SKIPPED
            if word is Word.DONT_KNOW:
                typed = DONT_KNOW
            elif word is not None:
                self.explain(word, question, typed, bare=bare)
                continue
            if not typed and self._session.diagnosis.is_answered(question):
                return Step.KEPT
            if self._take(question, entry, typed):
                return Step.ANSWERED

    def check_of(self, question: str, entry: Entry) -> Callable[[str], Fault | None]:
        """The check of what is typed at a question: the rulebook's own, words excepted."""
        bare = not entry.takes_words

        def check(typed: str) -> Fault | None:
            if not typed.strip() or word_in(typed, bare=bare, answers=entry.answers()):
                return None
            return fault_of_answer(self._session.rulebook, question, entry, typed)

        return check

    def _take(self, question: str, entry: Entry, typed: str) -> bool:
        """Save the answer; False when it has to be asked again, the reason told."""
        if not typed:
            self._port.tell(f"nothing was typed; expected {entry.hint}", Tone.PROBLEM)
            return False
        fault = fault_of_answer(self._session.rulebook, question, entry, typed)
        if fault is not None:
            self._tell_fault(typed, fault)
            return False
        text = entry.read(typed).text
        if not is_meant(self._port, self._session.rulebook, question, text):
            return False
        try:
            self._session.answer(question, text, by=self._role.id)
        except WriteError as error:
            self._port.tell(f"{error}. Mend that and answer again, or stop", Tone.PROBLEM)
            return False
        self.tell_stops()
        self._point_out(question)
        return True

    def _point_out(self, question: str) -> None:
        """Say once in a sitting when the others make an answer very unlikely; it is kept."""
        if question in self._pointed_out:
            return
        text = texts.surprise(self._session, question)
        if text is not None:
            self._pointed_out.add(question)
            self._port.tell(text)

    def _tell_fault(self, typed: str, fault: Fault) -> None:
        caret = under_caret(typed, fault.position, self._port.columns)
        self._port.tell(f"{caret}\n{fault.reason}", Tone.PROBLEM)

    def explain(self, word: Word, question: str, typed: str, *, bare: bool) -> None:
        """Answer a word that asks something, or leave on `stop`."""
        match word:
            case Word.WHY:
                self._port.tell(texts.why(self._session, question))
            case Word.WHY_NOT:
                self._port.tell(texts.why_not(self._session, why_not_of(typed)))
            case Word.HOW:
                self._port.tell(texts.how(self._session, question))
            case Word.RANKING:
                self._port.tell(texts.ranking(self._session))
            case Word.STOP:
                raise Stopped
            case _:
                self._port.tell(help_text(bare=bare))

    def tell_stops(self) -> None:
        """Show each finding that makes driving unsafe, once, as soon as it is true."""
        for finding in self._session.diagnosis.stops():
            if finding not in self._told_stops:
                self._told_stops.add(finding)
                text = texts.stop_driving(self._session, finding)
                self._port.tell(text, Tone.CAUTION)


def fault_of_answer(rulebook: Rulebook, question: str, entry: Entry, typed: str) -> Fault | None:
    """Why a typed text is no answer to a question of the rulebook."""
    if len(typed) > LONGEST_ANSWER:
        reason = f"read {len(typed)} characters; an answer has at most {LONGEST_ANSWER}"
        return Fault(reason, LONGEST_ANSWER)
    read = entry.read(typed)
    try:
        rulebook.parse_answer(question, read.text)
    except AnswerError as error:
        return Fault(error.reason, read.typed_position(error.position))
    return None


def is_meant(port: Port, rulebook: Rulebook, question: str, text: str) -> bool:
    """Ask back when a number lies outside its plausible range."""
    warning = rulebook.range_warning(question, rulebook.parse_answer(question, text))
    if warning is None:
        return True
    prompt = Prompt(f"{warning}\nIs it right? (yes or no)", completions=("yes", "no"))
    while True:
        typed = clean_line(port.ask(prompt)).casefold()
        if typed in {"yes", "y"}:
            return True
        if typed in {"no", "n", ""} or word_in(typed, bare=True) is Word.BACK:
            return False
        if word_in(typed, bare=True) is Word.STOP:
            raise Stopped
        port.tell('expected "yes" to keep it or "no" to type it again', Tone.PROBLEM)
