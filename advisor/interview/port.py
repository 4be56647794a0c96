"""What the conversation needs of a screen or a pipe: a way to ask, a way to tell."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from typing import Protocol


class Tone(Enum):
    """How a text is meant; a port may colour it, the words say it in any case.

    A command is shown to be copied into a shell, so its line is never broken.
    """

    PLAIN = "plain"
    HEADING = "heading"
    CAUTION = "caution"
    PROBLEM = "problem"
    COMMAND = "command"


@dataclass(frozen=True, slots=True)
class Fault:
    """Why a typed text is no answer; `position` is the index in the text where the fault is."""

    reason: str
    position: int = 0


def no_fault(_typed: str) -> Fault | None:
    """The check of a prompt that takes anything."""
    return None


@dataclass(frozen=True, slots=True)
class Prompt:
    """One thing that a person is asked to type.

    `text` stands above the line, `completions` are offered while typing, `check` tells the fault
    of a typed text, and `status` are the parts of the line at the bottom, where there is one, the
    most important first.
    """

    text: str
    completions: tuple[str, ...] = ()
    check: Callable[[str], Fault | None] = no_fault
    status: tuple[str, ...] = ()


class Port(Protocol):
    """A screen, a pipe, or a script of a test. `columns` is the width of its lines."""

    @property
    def columns(self) -> int: ...

    def ask(self, prompt: Prompt) -> str:
        """The line that the person typed.

        Raises EOFError at the end of the input (Ctrl-D, a closed pipe) and KeyboardInterrupt.
        """

    def tell(self, text: str, tone: Tone = Tone.PLAIN) -> None:
        """Show a text of one or more lines."""


def tell_how_to_go_on(port: Port, said: str, command: str) -> None:
    """Say how things stand, as the words before a full stop, then the command that goes on."""
    port.tell(f"{said}. Go on with:")
    port.tell(command, Tone.COMMAND)
