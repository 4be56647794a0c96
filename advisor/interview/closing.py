"""Closing a case in a conversation: cause, work, rings, readings after it, proof, minutes.

Each reply is on disk before the next is asked, so that a closing may be left and taken up again.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from advisor.cases import CaseError, CaseSession, Noted, ProofStep, Result
from advisor.layout import command
from advisor.life import (
    Wanted,
    cautions_of_proof,
    in_words,
    proof_step,
    questions_of_proof,
    statement_of,
    statement_text,
    steps_of_proof,
    still_wanted,
    take_rings,
    things_to_note,
)
from advisor.life.closing import MOST_COUNTED, NOT_DONE
from advisor.report.wording import NONE_OF_THE_LISTED, cause_name, percent
from advisor.rulebook import LoadError, Rulebook, did_you_mean
from advisor.units import whole_number

from .asking import fault_of_answer, is_meant
from .freewords import ask_words, ask_yes_no
from .port import Fault, Port, Tone, tell_how_to_go_on
from .roles import Role
from .texts import entry_of

MOST_CAUSES_LISTED = 7
MOST_MINUTES = 10_000
NONE = "none"


@dataclass(frozen=True, slots=True)
class CauseList:
    """The causes to choose from, likeliest first, and any other of the rulebook by its id."""

    rulebook: Rulebook
    listed: tuple[str, ...]

    def chosen(self, typed: str) -> Result | None:
        """What a reply such as "1", "1, 3", an id or "none" says; None when it can't be read."""
        parts = [part.strip().casefold() for part in typed.split(",")]
        if parts == [NONE]:
            return Result(none_of_the_listed=True)
        causes = [self._cause(part) for part in parts]
        if None in causes or not causes:
            return None
        return Result(causes=tuple(dict.fromkeys(cause for cause in causes if cause)))

    def _cause(self, part: str) -> str | None:
        number = whole_number(part, len(self.listed))
        if number is not None:
            return self.listed[number - 1]
        return part if part in self.rulebook.causes else None

    def fault(self, typed: str) -> Fault | None:
        """Why a typed text is no reply."""
        if self.chosen(typed) is not None:
            return None
        hint = did_you_mean(typed.strip(), self.rulebook.causes)
        return Fault(
            f'read "{typed.strip()[:60]}"; expected numbers from 1 to {len(self.listed)}, '
            f'ids of causes, or "{NONE}"' + (f"; {hint}" if hint else "")
        )


class Closer:
    """Asks what it was, what was done, and what proves it. `stock` is the shop's stock file."""

    def __init__(self, session: CaseSession, port: Port, role: Role, stock: Path | None) -> None:
        self._session = session
        self._port = port
        self._role = role
        self._stock = stock

    def run(self) -> bool:
        """Ask all that is still open; whether the case is closed. Raises Stopped and EOFError."""
        self._port.tell(f"closing case {self._session.case.id}", Tone.HEADING)
        self._port.tell('Enter or "/skip" leaves a thing open, "/stop" saves and leaves.')
        if not self._settle_cause():
            return False
        result = self._session.case.outcome
        causes = result.causes if result is not None else ()
        self._ask_work()
        self._ask_rings()
        self._ask_parts()
        self._tell_cautions(causes)
        self._ask_readings(causes)
        self._ask_proof(causes)
        self._ask_notes(causes)
        self._ask_minutes()
        session = self._session
        statement = statement_of(session.case, session.rulebook, session.diagnosis)
        self._port.tell(statement_text(statement), Tone.HEADING)
        return True

    def _settle_cause(self) -> bool:
        """Whether there is an outcome; a repair that brought no cure is evidence instead."""
        session = self._session
        if session.case.outcome is not None:
            return True
        gone = session.closing.complaint_gone
        if gone is None:
            gone = ask_yes_no(self._port, "Is the complaint gone after the work?")
            if gone is not None:
                session.note_closing(complaint_gone=gone)
        result = self._ask_cause("What was mended?" if gone is False else "What was it?")
        if result is None:
            self._port.tell("left open: nothing was chosen")
            return False
        if gone is False:
            session.mend(*result.causes, by=self._role.id)
            tell_how_to_go_on(
                self._port,
                "noted as a repair without a cure, which is evidence",
                command("ask", session.path),
            )
            return False
        session.close(result, by=self._role.id)
        return True

    def _ask_cause(self, ask: str) -> Result | None:
        book = self._session.rulebook
        ranked = self._session.diagnosis.ranking().causes[:MOST_CAUSES_LISTED]
        causes = CauseList(book, tuple(one.cause for one in ranked))
        lines = [
            f"{number}. {cause_name(book, one.cause)} ({percent(one.probability)})"
            for number, one in enumerate(ranked, 1)
        ]
        head = f'{ask} Numbers or ids with commas between, or "{NONE}" for {NONE_OF_THE_LISTED}.'
        typed = ask_words(
            self._port,
            "\n".join((head, *lines)),
            check=causes.fault,
            completions=(*causes.listed, NONE),
        )
        return None if typed is None else causes.chosen(typed)

    def _ask_work(self) -> None:
        if self._session.closing.work is None:
            work = ask_words(self._port, "What was done? In your own words.")
            if work is not None:
                self._session.note_closing(work=work)

    def _ask_rings(self) -> None:
        """Take rings out of the stock until no more are named."""
        if self._stock is None:
            return
        ask = (
            f"Which rings out of {self._stock.name} did this vehicle get? The box and how many "
            'in all, such as "tray-1 2"; Enter: no others.'
        )
        while True:
            counts: Counter[str] = Counter()
            for use in self._session.closing.rings:
                counts[use.box] += use.count
            noted = ", ".join(f"{count} of {box}" for box, count in counts.items())
            so_far = f"\nso far: {noted}" if noted else ""
            typed = ask_words(self._port, ask + so_far, check=_ring_fault)
            if typed is None:
                return
            box, _, count = typed.rpartition(" ")
            try:
                wanted = still_wanted(self._session.closing, [Wanted(box.strip(), int(count))])
                take_rings(self._session, self._stock, wanted)
            except (CaseError, LoadError) as error:
                self._port.tell(str(error), Tone.PROBLEM)

    def _ask_parts(self) -> None:
        while True:
            parts = self._session.closing.parts
            so_far = f" So far: {'; '.join(parts)}." if parts else ""
            part = ask_words(self._port, f"Another part used? Enter: none.{so_far}")
            if part is None:
                return
            self._session.note_closing(parts=(*parts, part))

    def _tell_cautions(self, causes: Sequence[str]) -> None:
        for caution in cautions_of_proof(self._session, causes):
            self._port.tell(f"caution: {caution}", Tone.CAUTION)

    def _ask_readings(self, causes: Sequence[str]) -> None:
        """The same questions again, for what the work may have changed."""
        session = self._session
        before = session.case.latest()
        for question in questions_of_proof(session.rulebook, causes, before):
            if question not in session.closing.latest_after():
                self._ask_reading(question, before.get(question))

    def _ask_reading(self, question: str, before: str | None) -> None:
        book = self._session.rulebook
        entry = entry_of(book, question)
        was = "" if before is None else f" Before: {in_words(book, question, before)}."
        text = f"After the work: {book.questions[question].ask}{was} Enter: not read again."
        lines = "\n".join((text, *entry.lines(), f"({entry.hint})"))
        while True:
            typed = ask_words(
                self._port, lines, check=lambda typed: fault_of_answer(book, question, entry, typed)
            )
            if typed is None:
                return
            answer = entry.read(typed).text
            if is_meant(self._port, book, question, answer):
                self._session.read_after(question, answer)
                return

    def _ask_proof(self, causes: Sequence[str]) -> None:
        for step in steps_of_proof(self._session, causes):
            proof = self._session.closing.proof
            if any(one.step == step for one in proof):
                continue
            typed = ask_words(
                self._port,
                f'Proof: {step}\nWhat did it show? Or "{NOT_DONE}".',
                completions=("quiet", NOT_DONE),
            )
            if typed is not None:
                said: ProofStep = proof_step(step, typed)
                self._session.note_closing(proof=(*proof, said))

    def _ask_notes(self, causes: Sequence[str]) -> None:
        for what in things_to_note(self._session, causes):
            noted = self._session.closing.noted
            if any(one.what == what for one in noted):
                continue
            words = ask_words(self._port, f"For the next time: {what}?")
            if words is not None:
                self._session.note_closing(noted=(*noted, Noted(what=what, words=words)))

    def _ask_minutes(self) -> None:
        if self._session.closing.minutes is None:
            typed = ask_words(
                self._port, "How many minutes did work and proof take?", check=_minutes_fault
            )
            if typed is not None:
                self._session.note_closing(minutes=_minutes(typed))


def _ring_fault(typed: str) -> Fault | None:
    box, _, count = typed.strip().rpartition(" ")
    if box and whole_number(count, MOST_COUNTED) is not None:
        return None
    return Fault(f'read "{typed.strip()[:60]}"; expected a box and a number, such as "tray-1 2"')


def _minutes(typed: str) -> float | None:
    text = typed.strip().casefold().removesuffix("min").strip().replace(",", ".")
    if text.isascii() and text.replace(".", "", 1).isdigit() and float(text) <= MOST_MINUTES:
        return float(text)
    return None


def _minutes_fault(typed: str) -> Fault | None:
    if _minutes(typed) is not None:
        return None
    return Fault(f'read "{typed.strip()[:40]}"; expected minutes from 0 to {MOST_MINUTES}: "45"')
