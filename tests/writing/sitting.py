"""Scripted sittings with the small rulebook, through either port."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.output import DummyOutput

from advisor.interview import PlainPort, Port
from advisor.interview.terminal import TerminalPort
from advisor.writing import write_new
from tests.helpers_rulebook import small_rulebook
from tests.interview.talk import Recorder

CTRL_C = "\x03"
RESUME = "advisor new again"
EXAMPLES = (
    "examples:\n  old:\n    says: Old\n    answers: {vibrates: true}\n    expect: {stops: []}\n"
)

QUESTION = ["Is the damper loose?", "damper-moves", "yes-no", "It rattles.", "", "bench", "2", ""]
FINDING = [
    *("The damper is loose", "", "new", *QUESTION, "yes", ""),
    *("2 in 100", "8 in 10", "", "It rattles.", "", ""),
]
CAUSE = [
    *("A loose damper", "", "It shakes.", "2", "", "15", "Tighten it.", "", ""),
    *("10", "road", "Drive again.", "", "", "judgement"),
    *FINDING,
]
EXAMPLE = ["A van that shakes", "", "", "", "dampers.yaml"]


@dataclass(frozen=True, slots=True)
class Sitting:
    """How a sitting went: the folder, and what was asked and told."""

    folder: Path
    screen: Recorder

    def text(self, name: str) -> str:
        return (self.folder / name).read_text(encoding="utf-8")

    def names(self) -> set[str]:
        return {path.relative_to(self.folder).as_posix() for path in self.folder.rglob("*.*")}


def rulebook(tmp_path: Path) -> Path:
    folder = small_rulebook(tmp_path)
    (folder / "examples").mkdir(exist_ok=True)
    (folder / "examples" / "old.yaml").write_text(EXAMPLES, encoding="utf-8")
    return folder


class _Keys(io.StringIO):
    def readline(self, size: int = -1, /) -> str:  # type: ignore[override]
        line = super().readline(size)
        if line.startswith(CTRL_C):
            raise KeyboardInterrupt
        return line


def sit(folder: Path, what: str, lines: Sequence[str], port: Port | None = None) -> Sitting:
    """One sitting in plain lines; the input ends after the lines."""
    typed = "".join(f"{line}\n" for line in lines)
    screen = Recorder(port or PlainPort(_Keys(typed), io.StringIO(), width=70))
    try:
        write_new(what, folder, screen, RESUME)
    except KeyboardInterrupt:
        assert CTRL_C in lines
    return Sitting(folder, screen)


def sit_in_terminal(folder: Path, what: str, lines: Sequence[str]) -> Sitting:
    with create_pipe_input() as keys:
        keys.send_text("".join(f"{line}\r" for line in lines) + "\x05\x15\x04")
        return sit(folder, what, lines, TerminalPort(keys, DummyOutput()))
