"""The conversation: opening tests, then the test that pays most, until none does or one stops."""

from __future__ import annotations

from collections.abc import Callable

from advisor.cases import LONGEST_ANSWER, CaseSession
from advisor.layout import clean_line

from . import texts
from .asking import Asker, Stopped
from .choosing import Chooser
from .intake import Intake, ask_private, hand_over, is_taken_over
from .mending import Mender
from .port import Port, Prompt, Tone, tell_how_to_go_on
from .roles import Role
from .walking import Walker
from .words import Word, word_in

Render = Callable[[CaseSession], str]


class Interrupted(Exception):  # noqa: N818 - not an error: Ctrl-C was pressed
    """Ctrl-C ended the conversation; the case is on disk and the person was told how to go on."""


class Conversation:
    """One sitting on one open case.

    `render` makes the last text: what to repair and what to expect. `resume` is the command that
    goes on later; with `private` the customer's own data are asked for, which are kept apart.
    """

    def __init__(  # noqa: PLR0913 - one call for the whole sitting
        self,
        session: CaseSession,
        port: Port,
        role: Role,
        render: Render,
        resume: str,
        *,
        private: bool = False,
    ) -> None:
        self._session = session
        self._port = port
        self._render = render
        self._resume = resume
        self._asker = Asker(session, port, role)
        self._walker = Walker(session, port, self._asker, role)
        places = role.places(session.rulebook.rules)
        self._role = role
        self._private = private
        self._mender = Mender(session, port, role, self._walker)
        self._chooser = Chooser(session, port, self._walker, places)
        self._intake = Intake(session, port, self._chooser)

    def run(self) -> None:
        """Talk until the end; raises Interrupted on Ctrl-C. All else that ends it is a return."""
        try:
            self._greet()
            while self._advise():
                continue
        except (Stopped, EOFError):
            tell_how_to_go_on(self._port, "saved", self._resume)
        except KeyboardInterrupt:
            tell_how_to_go_on(self._port, "interrupted; every answer is saved", self._resume)
            raise Interrupted from None

    def _advise(self) -> bool:
        """Test until no test pays, then tell what to repair; whether a repair brought no cure."""
        chooser = self._intake if self._role.stays else self._chooser
        while (test := chooser.next_test()) is not None:
            self._walker.do(test)
        self._finish()
        return not self._role.stays and self._mender.goes_on()

    def _greet(self) -> None:
        for line in self._session.warnings:
            self._port.tell(f"warning: {line}", Tone.PROBLEM)
        case = self._session.case
        if not case.complaint and not case.has_own_answers():
            vehicle = case.vehicle or self._words("Which vehicle is it? In your own words.")
            self._session.describe(vehicle=vehicle, complaint="")
            complaint = self._words("What does the customer complain of? In their own words.")
            self._session.describe(vehicle=vehicle, complaint=complaint)
        if self._private:
            ask_private(self._port, self._session.path)
        self._port.tell(texts.header(self._session), Tone.HEADING)
        if is_taken_over(case, self._role):
            self._port.tell(hand_over(self._session))
        self._port.tell('At every question "/help" lists the words that work there.')
        self._asker.tell_stops()

    def _words(self, ask: str) -> str:
        prompt = Prompt(ask, completions=("/skip", "/stop"))
        while True:
            typed = clean_line(self._port.ask(prompt))
            word = word_in(typed, bare=False)
            if word is Word.STOP:
                raise Stopped
            if word in {Word.SKIP, Word.DONT_KNOW}:
                return ""
            if typed and word is None and len(typed) <= LONGEST_ANSWER:
                return typed
            self._port.tell(
                f"expected a few words, at most {LONGEST_ANSWER} characters; "
                'or "/skip", or "/stop"',
                Tone.PROBLEM,
            )

    def _finish(self) -> None:
        if self._role.stays:
            self._port.tell(hand_over(self._session), Tone.HEADING)
        else:
            self._port.tell("No further test pays for its minutes here.", Tone.HEADING)
        left = self._chooser.left_to_others()
        if left:
            lines = [f"- {texts.test_line(self._session, test)}" for test in left]
            self._port.tell("\n".join(["left for the technician:", *lines]))
        if not self._role.stays:
            self._port.tell(self._render(self._session))
