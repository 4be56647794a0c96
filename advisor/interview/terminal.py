"""The terminal port: completion, checking while typing, and a line with what leads."""

from __future__ import annotations

import os
from collections.abc import Iterable

from prompt_toolkit import PromptSession
from prompt_toolkit.completion import CompleteEvent, Completer, Completion
from prompt_toolkit.document import Document
from prompt_toolkit.formatted_text import FormattedText
from prompt_toolkit.history import DummyHistory
from prompt_toolkit.input import Input, create_input
from prompt_toolkit.key_binding import KeyBindings, KeyPressEvent
from prompt_toolkit.keys import Keys
from prompt_toolkit.output import ColorDepth, Output, create_output
from prompt_toolkit.shortcuts import print_formatted_text
from prompt_toolkit.styles import Style
from prompt_toolkit.validation import ValidationError, Validator

from advisor.layout import NARROWEST, clean, status_line, wrap

from .port import Prompt, Tone

_STYLES = {
    Tone.PLAIN: "class:plain",
    Tone.HEADING: "class:heading",
    Tone.CAUTION: "class:caution",
    Tone.PROBLEM: "class:problem",
    Tone.COMMAND: "class:plain",
}
_STYLE = Style.from_dict(
    {
        "heading": "bold",
        "caution": "bold ansired",
        "problem": "ansiyellow",
        "bottom-toolbar": "noreverse",
    }
)
_MARK = "> "


class _WordsCompleter(Completer):
    """Completes the last word typed from the words of the prompt."""

    def __init__(self, words: Iterable[str]) -> None:
        self._words = tuple(words)

    def get_completions(
        self, document: Document, complete_event: CompleteEvent
    ) -> Iterable[Completion]:
        typed = document.text_before_cursor
        begun = typed[max(typed.rfind(" "), typed.rfind(",")) + 1 :]
        if not begun and not complete_event.completion_requested:
            return
        for word in self._words:
            if word.casefold().startswith(begun.casefold()):
                yield Completion(word, start_position=-len(begun))


class _PromptValidator(Validator):
    """The check of the prompt, with the cursor at the fault."""

    def __init__(self, prompt: Prompt) -> None:
        self._prompt = prompt

    def validate(self, document: Document) -> None:
        fault = self._prompt.check(document.text)
        if fault is not None:
            position = min(fault.position, len(document.text))
            raise ValidationError(position, clean(fault.reason))


def _bindings() -> KeyBindings:
    """The mouse is not used; a report of it that came damaged would end the interview."""
    bindings = KeyBindings()

    @bindings.add(Keys.Vt100MouseEvent, eager=True)
    def _(_event: KeyPressEvent) -> None:
        return None

    return bindings


class TerminalPort:
    """Asks with prompt_toolkit. `source` and `target` are those of the process by default.

    A text with a fault is not taken: the reason stands below and the cursor at the fault.
    NO_COLOR and a dumb terminal switch colour off; the words say everything in any case.
    """

    def __init__(self, source: Input | None = None, target: Output | None = None) -> None:
        self._source = create_input() if source is None else source
        self._target = create_output() if target is None else target
        self._depth = ColorDepth.DEPTH_1_BIT if os.environ.get("NO_COLOR") else None
        # No history: the answers to one question are no suggestions for the next.
        self._session: PromptSession[str] = PromptSession(
            input=self._source,
            output=self._target,
            color_depth=self._depth,
            style=_STYLE,
            history=DummyHistory(),
            complete_while_typing=False,
            validate_while_typing=True,
            key_bindings=_bindings(),
        )

    @property
    def columns(self) -> int:
        """The width of the window, at least NARROWEST."""
        return max(self._target.get_size().columns, NARROWEST)

    def ask(self, prompt: Prompt) -> str:
        """The line that the person typed and the prompt's check let through."""
        self.tell(f"\n{prompt.text}")
        return self._session.prompt(
            _MARK,
            completer=_WordsCompleter(prompt.completions),
            validator=_PromptValidator(prompt),
            bottom_toolbar=lambda: status_line(prompt.status, self.columns - 1),
        )

    def tell(self, text: str, tone: Tone = Tone.PLAIN) -> None:
        """Print the text, a blank line before a heading; all but a command is wrapped."""
        lead = "\n" if tone is Tone.HEADING else ""
        shown = lead + (clean(text) if tone is Tone.COMMAND else wrap(clean(text), self.columns))
        print_formatted_text(
            FormattedText([(_STYLES[tone], shown)]),
            output=self._target,
            style=_STYLE,
            color_depth=self._depth,
        )
