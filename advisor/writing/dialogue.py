"""Asks one thing after another, remembers what was answered, and goes back or leaves on request.

Going back and going on later are the same: the questions are gone through anew, and those that
were answered answer themselves.
"""

from __future__ import annotations

from collections.abc import Callable

from advisor.interview import Fault, Port, Prompt, Tone
from advisor.layout import clean_line, under_caret

from .draft import Draft

STOP, BACK, HELP = "/stop", "/back", "/help"
WORDS = (BACK, HELP, STOP)
Check = Callable[[str], Fault | None]


class Stopped(Exception):  # noqa: N818 - not an error: the person leaves
    """The person leaves; what was answered is in the draft."""


class Back(Exception):  # noqa: N818 - not an error: the question before is asked again
    """The person goes back; the questions are to be gone through anew."""


class Dialogue:
    """Asks through a port. Every answer is in the draft before the next question."""

    def __init__(self, port: Port, draft: Draft) -> None:
        self.port = port
        self._draft = draft
        self._at = 0

    def begin(self) -> None:
        """Go to the first question again."""
        self._at = 0

    @property
    def is_new(self) -> bool:
        """Whether the next question was not answered yet, so that people read along."""
        return self._at >= len(self._draft.answers)

    def tell(self, text: str, tone: Tone = Tone.PLAIN) -> None:
        """Show a text, unless it was shown before."""
        if self.is_new:
            self.port.tell(text, tone)

    def ask(
        self,
        text: str,
        check: Check,
        *,
        help_text: str = "",
        default: str | None = None,
        words: tuple[str, ...] = (),
    ) -> str:
        """What was typed and passed the check; `default` stands for an empty line.

        `words` are offered while typing. Raises Stopped, Back, and EOFError and KeyboardInterrupt
        as the port does.
        """
        if not self.is_new:
            given = self._draft.answers[self._at]
            if given == default or check(given) is None:
                self._at += 1
                return given
            del self._draft.answers[self._at :]  # the rulebook has changed since
        answer = self._new_answer(text, check, help_text, default, words)
        self._draft.answers.append(answer)
        self._draft.save()
        self._at += 1
        return answer

    def peek(self, text: str, check: Check, default: str | None = None) -> str:
        """What was typed, without a place among the answers."""
        return self._new_answer(text, check, "", default, ())

    def _new_answer(
        self, text: str, check: Check, help_text: str, default: str | None, words: tuple[str, ...]
    ) -> str:
        def checked(typed: str) -> Fault | None:
            line = clean_line(typed)
            if line.casefold() in WORDS or (not line and default is not None):
                return None
            return check(line) if line else Fault("nothing was typed")

        first, newline, rest = text.partition("\n")
        end = "" if default is None else f" (Enter: {default or 'none'})"
        shown = f"{first}{end}{newline}{rest}"

        def at_once(typed: str) -> Fault | None:
            """What fits on the one line that a terminal has below; the rest is told after Enter."""
            fault = checked(typed)
            if fault is None or "\n" in fault.reason or len(fault.reason) > self.port.columns:
                return None
            return fault

        prompt = Prompt(shown, completions=(*words, *WORDS), check=at_once)
        while True:
            line = clean_line(self.port.ask(prompt))
            if line.casefold() == STOP:
                raise Stopped
            if line.casefold() == BACK:
                self._go_back()
            elif line.casefold() == HELP:
                self.port.tell(help_text or "nothing more can be said of this")
            elif (fault := checked(line)) is not None:
                caret = under_caret(line, fault.position, self.port.columns)
                self.port.tell(f"{caret}\n{fault.reason}", Tone.PROBLEM)
            else:
                return line or (default or "")

    def _go_back(self) -> None:
        if not self._draft.answers:
            self.port.tell("this is the first question", Tone.PROBLEM)
            return
        self._draft.answers.pop()
        self._draft.save()
        raise Back
