"""The lesson as a conversation: the learner chooses tests and repairs, and sees what they show."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

from advisor.cases import WriteError
from advisor.engine.rules import Place, Test
from advisor.interview import Fault, Interrupted, Port, Prompt, Tone, tell_how_to_go_on
from advisor.layout import clean_line
from advisor.units import whole_number

from . import talktexts as texts
from .lesson import Lesson

WORDS = ("repair", "ranking", "facts", "hand-on", "back", "stop", "help")
DRIVE = "drive"
T = TypeVar("T")


class Stopped(Exception):  # noqa: N818 - not an error: the learner leaves
    """The learner wants to leave; every step is on disk."""


class Talk:
    """One sitting on one lesson. `render` makes the score, `resume` is the command to go on."""

    def __init__(self, lesson: Lesson, port: Port, render: Callable[[], str], resume: str) -> None:
        self._lesson = lesson
        self._work = lesson.work
        self._port = port
        self._render = render
        self._resume = resume
        self._told_stops: set[str] = set()

    def run(self) -> None:
        """Talk until the vehicle is cured or handed on, or the learner leaves.

        Raises Interrupted on Ctrl-C; every step is on disk then.
        """
        try:
            self._greet()
            while self._work.end is None:
                self._step()
            self._port.tell("the score:", Tone.HEADING)
            self._port.tell(self._render())
        except (Stopped, EOFError):
            tell_how_to_go_on(self._port, "saved", self._resume)
        except KeyboardInterrupt:
            tell_how_to_go_on(self._port, "interrupted; every step is saved", self._resume)
            raise Interrupted from None

    def _greet(self) -> None:
        self._port.tell(texts.greeting(self._lesson), Tone.HEADING)
        shown = self._lesson.work.shown if self._lesson.practice.steps else self._lesson.opening
        self._port.tell("\n".join(["what is known:", texts.results(self._work, shown)]))
        self._tell_stops()

    def _step(self) -> None:
        """One choice at the top: a place, a test, or a word."""
        places = self._places()
        typed = self._ask(texts.place_lines(self._work, places), self._top_fault(places))
        place = _numbered(typed, places)
        if place is not None:
            self._choose_test(place[1])
        elif not self._obey(typed):
            self._choose_test(self._tests_named(typed))

    def _places(self) -> list[tuple[Place, list[Test]]]:
        """The places where something is left to do, with their tests."""
        left = self._work.tests_left()
        by_place = [
            (place, [test for test in left if test.place == place.id])
            for place in self._lesson.rulebook.rules.places
        ]
        return [pair for pair in by_place if pair[1]]

    def _tests_named(self, typed: str) -> list[Test]:
        """The tests whose id or name holds these words; an id itself means that test alone."""
        left = self._work.tests_left()
        exact = [test for test in left if test.id == typed.casefold()]
        names = self._lesson.rulebook.tests
        return exact or [t for t in left if _has_words(typed, t.id, names[t.id].name)]

    def _top_fault(self, places: Sequence[object]) -> Callable[[str], Fault | None]:
        def check(typed: str) -> Fault | None:
            text = typed.strip()
            known = text.casefold() in WORDS or _numbered(text, places) is not None
            if not text or known or (not text.isdecimal() and self._tests_named(text)):
                return None
            return Fault(
                f'read "{text}"; expected a number from 1 to {len(places)}, '
                f"part of a test's name, {', '.join(WORDS)}"
            )

        return check

    def _choose_test(self, tests: Sequence[Test]) -> None:
        test = (
            tests[0]
            if len(tests) == 1
            else self._choice(tests, texts.lines_of(self._work, tests), self._tests_named)
        )
        if test is None or not self._is_meant(test):
            return
        try:
            shown = self._lesson.test(test.id)
        except WriteError as error:
            self._tell_unwritten(error)
            return
        self._port.tell(texts.results(self._work, shown))
        self._tell_stops()

    def _is_meant(self, test: Test) -> bool:
        """Show the test with its cautions; whether the learner does it."""
        self._port.tell(texts.line_of(self._work, test, with_place=True), Tone.HEADING)
        self._tell_cautions(texts.before_test(self._work, test))
        if not self._work.is_unsafe(test):
            return self._agrees('do it? (Enter or "yes"; "no" leaves it)', ("", "yes", "y"))
        self._tell_cautions(texts.stops(self._work, self._work.diagnosis.stops()))
        return self._agrees(
            f'this drives the vehicle. (Enter leaves it; "{DRIVE}" drives it all the same, '
            "which the score tells as a fault)",
            (DRIVE,),
        )

    def _agrees(self, text: str, yes: Sequence[str]) -> bool:
        wanted = (*yes, "no", "n", "back", "stop", "")

        def check(typed: str) -> Fault | None:
            if typed.strip().casefold() in wanted:
                return None
            words = ", ".join(f'"{word}"' for word in wanted if len(word) > 1)
            return Fault(f'read "{typed.strip()}"; expected Enter, {words}')

        return self._ask(text, check).casefold() in yes

    def _obey(self, typed: str) -> bool:
        """Do what a word says; whether it was one."""
        match typed.casefold():
            case "" | "back":
                pass
            case "help":
                self._port.tell(texts.HELP)
            case "facts":
                self._port.tell(texts.facts(self._work))
            case "repair":
                self._choose_repair()
            case "ranking":
                self._saving(self._lesson.take_hint)
                self._port.tell(texts.ranking(self._work))
            case "hand-on":
                if self._agrees(texts.before_hand_on(self._lesson.rulebook), ("yes",)):
                    self._saving(self._lesson.hand_on)
            case _:
                return False
        return True

    def _saving(self, step: Callable[[], None]) -> None:
        try:
            step()
        except WriteError as error:
            self._tell_unwritten(error)

    def _causes_named(self, typed: str) -> list[str]:
        """The causes not yet mended whose id or name holds these words."""
        causes = self._lesson.rulebook.causes
        left = [cause for cause in causes if cause not in self._work.diagnosis.mended]
        exact = [cause for cause in left if cause == typed.casefold()]
        return exact or [c for c in left if _has_words(typed, c, causes[c].name)]

    def _choose_repair(self) -> None:
        rulebook = self._lesson.rulebook
        causes = self._causes_named("")
        cause = self._choice(causes, texts.cause_lines(rulebook, causes), self._causes_named)
        if cause is None:
            return
        self._port.tell(f"mend: {rulebook.causes[cause].name}", Tone.HEADING)
        where = rulebook.causes[cause].verify.place
        if where is not None and rulebook.places[where].driving:
            self._tell_cautions(texts.stops(self._work, self._work.diagnosis.stops()))
        self._tell_cautions(texts.before_repair(rulebook, cause))
        if not self._agrees('mend it? ("yes"; Enter leaves it)', ("yes", "y")):
            return
        try:
            cured = self._lesson.repair(cause)
        except WriteError as error:
            self._tell_unwritten(error)
            return
        self._port.tell(texts.after_repair(rulebook, cause, cured=cured), Tone.HEADING)

    def _choice(self, items: Sequence[T], text: str, named: Callable[[str], list[T]]) -> T | None:
        """The item of a typed number or the only one of a typed name; None to leave."""

        def check(typed: str) -> Fault | None:
            bare = typed.strip()
            if bare.casefold() in {"", "back", "stop"} or _numbered(bare, items) is not None:
                return None
            found = [] if bare.isdecimal() else named(bare)
            if len(found) == 1:
                return None
            many = f"{len(found)} have these words" if found else "none has these words"
            return Fault(
                f'read "{bare}"; {many}; expected a number from 1 to {len(items)}, or back'
            )

        typed = self._ask(text, check)
        if typed.casefold() in {"", "back"}:
            return None
        chosen = _numbered(typed, items)
        return named(typed)[0] if chosen is None else chosen

    def _ask(self, text: str, check: Callable[[str], Fault | None]) -> str:
        """A line that the check lets through; raises Stopped on "stop"."""
        prompt = Prompt(text, completions=WORDS, check=check, status=texts.status(self._work))
        while True:
            typed = clean_line(self._port.ask(prompt))
            if typed.casefold() == "stop":
                raise Stopped
            fault = check(typed)
            if fault is None:
                return typed
            self._port.tell(fault.reason, Tone.PROBLEM)

    def _tell_cautions(self, text: str) -> None:
        if text:
            self._port.tell(text, Tone.CAUTION)

    def _tell_stops(self) -> None:
        """Each finding that makes driving unsafe, once, as soon as it is known."""
        new = [one for one in self._work.diagnosis.stops() if one not in self._told_stops]
        self._told_stops.update(new)
        self._tell_cautions(texts.stops(self._work, new))

    def _tell_unwritten(self, error: WriteError) -> None:
        self._port.tell(f"{error}. Mend that and choose again, or stop", Tone.PROBLEM)


def _has_words(typed: str, *texts: str) -> bool:
    """Whether one of the texts holds every word that was typed, or a part of it."""
    words = typed.casefold().split()
    return any(all(word in text.casefold() for word in words) for text in texts)


def _numbered(typed: str, items: Sequence[T]) -> T | None:
    """The item of this number, from 1."""
    number = whole_number(typed, len(items))
    return None if number is None else items[number - 1]
