"""Scripted interviews through either port, with what was told kept aside."""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.output import DummyOutput

from advisor.cases import CaseFile, CaseSession, read_case
from advisor.interview import Interrupted, PlainPort, Port, Prompt, Tone, run_interview
from advisor.interview.terminal import TerminalPort
from advisor.rulebook import Rulebook

CTRL_C = "\x03"
CLOSING = "the closing report"
# A refused line stays in the terminal's line: go to its end and delete it.
_CLEAR = "\x05\x15"


@dataclass(frozen=True, slots=True)
class Refused:
    """A line that is no answer; the next line is typed in its stead."""

    text: str


Line = str | Refused


@dataclass(slots=True)
class Recorder:
    """A port that keeps what was asked and told, and hands everything on to another one."""

    port: Port
    asked: list[Prompt] = field(default_factory=list)
    told: list[tuple[Tone, str]] = field(default_factory=list)
    on_ask: Callable[[], None] = lambda: None

    @property
    def columns(self) -> int:
        return self.port.columns

    def ask(self, prompt: Prompt) -> str:
        self.on_ask()
        self.asked.append(prompt)
        return self.port.ask(prompt)

    def tell(self, text: str, tone: Tone = Tone.PLAIN) -> None:
        self.told.append((tone, text))
        self.port.tell(text, tone)

    @property
    def text(self) -> str:
        """All that was told."""
        return "\n".join(text for _, text in self.told)

    def questions(self) -> list[str]:
        """The first line of each prompt."""
        return [prompt.text.split("\n")[0] for prompt in self.asked]


@dataclass(frozen=True, slots=True)
class Talk:
    """How an interview went."""

    status: int
    screen: Recorder
    case: CaseFile


class _Keys(io.StringIO):
    """Lines of which one may be Ctrl-C."""

    def readline(self, size: int = -1, /) -> str:  # type: ignore[override]
        line = super().readline(size)
        if line.startswith(CTRL_C):
            raise KeyboardInterrupt
        return line


def closing(_session: CaseSession) -> str:
    return CLOSING


def _run(rulebook: Rulebook, path: Path, port: Port, role: str) -> Talk:
    screen = Recorder(port)
    try:
        status = run_interview(rulebook, path, port=screen, role=role, render=closing)
    except Interrupted:
        status = 130
    return Talk(status, screen, read_case(path))


def talk_plain(
    rulebook: Rulebook, path: Path, lines: Sequence[Line], role: str = "technician"
) -> Talk:
    typed = "".join(f"{_text(line)}\n" for line in lines)
    return _run(rulebook, path, PlainPort(_Keys(typed), io.StringIO(), width=60), role)


def talk_terminal(
    rulebook: Rulebook, path: Path, lines: Sequence[Line], role: str = "technician"
) -> Talk:
    with create_pipe_input() as keys:
        for line in lines:
            clear = _CLEAR if isinstance(line, Refused) else ""
            enter = "" if line == CTRL_C else "\r"
            keys.send_text(_text(line) + enter + clear)
        keys.send_text(_CLEAR + "\x04")  # Ctrl-D on an empty line ends what a script leaves open
        return _run(rulebook, path, TerminalPort(keys, DummyOutput()), role)


def _text(line: Line) -> str:
    return line.text if isinstance(line, Refused) else line


TALKS = {"plain": talk_plain, "terminal": talk_terminal}
Talker = Callable[..., Talk]
