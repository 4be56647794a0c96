"""What is fed with inputs by chance. A target takes bytes; what it raises is a finding.

Errors that are meant for people are no findings, and are made into text as a person would see
them, since that can fail too.
"""

from __future__ import annotations

import atexit
import contextlib
import io
import tempfile
from collections.abc import Callable
from functools import cache
from pathlib import Path

from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.output import DummyOutput

from advisor import units
from advisor.cases import open_case
from advisor.interview import PlainPort, run_interview
from advisor.interview.terminal import TerminalPort
from advisor.proof.reading import read_examples
from advisor.report import assess, assessment_text
from advisor.rulebook import AnswerError, LoadError, Rulebook, load, read_overlay, shipped
from advisor.settings import read_settings
from advisor.stock import read_stock
from advisor.teaching.practicefile import read_practice
from tests.cases.shop import write_shop

Target = Callable[[bytes], object]
END = b"\r\x03"  # Enter, then Ctrl-C: nothing goes on for ever
MOST_LINES = 60


def _in_file(data: bytes, read: Callable[[Path], object], name: str = "input.yaml") -> None:
    """Let a file that holds the data be read; a complaint about it is told in full."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, name)
        path.write_bytes(data)
        try:
            read(path)
        except LoadError as error:
            for problem in error.problems:
                str(problem)
                if problem.line < 1 or problem.column < 1:
                    raise AssertionError(f"a problem without a place: {problem}") from error


def rulebook_file(data: bytes) -> None:
    """A rulebook of one file."""
    _in_file(data, lambda path: load(path.parent))


def case_file(data: bytes) -> None:
    """A case of a small rulebook; when it can be read, it is also ranked."""

    def read(path: Path) -> None:
        session = open_case(path, _shop())
        assessment_text(assess(session.case, _shop(), session.diagnosis))

    _in_file(data, read)


def examples_file(data: bytes) -> None:
    """Examples beside a small rulebook."""
    _in_file(data, lambda path: read_examples(path.parent, _shop()))


def stock_file(data: bytes) -> None:
    """A stock of rings."""
    _in_file(data, lambda path: read_stock(path, _shipped()))


def practice_file(data: bytes) -> None:
    """A practice file."""
    _in_file(data, lambda path: read_practice(path, _shop()))


def settings_file(data: bytes) -> None:
    """A user's settings."""
    _in_file(data, read_settings)


def overlay_file(data: bytes) -> None:
    """Rates from closed cases, laid over those of a small rulebook."""
    _in_file(data, lambda path: load(_shop_folder(), overlay=read_overlay(path)))


def quantity(data: bytes) -> None:
    """A typed quantity of each dimension; what can be read is shown and read again."""
    text = data.decode("utf-8", "replace")
    for dimension in units.DIMENSIONS:
        with contextlib.suppress(units.UnitError):
            read = units.parse(text, dimension)
            shown = units.show(read.si, read.unit)
            again = units.parse(shown.replace("\u2212", "-"), dimension)
            dust = 1e-12 * read.unit.factor  # what is smaller is shown as 0
            if abs(again.si - read.si) > 1e-3 * abs(read.si) + dust:
                raise AssertionError(f"{text!r} is shown as {shown!r}")


def answer(data: bytes) -> None:
    """A typed answer to each kind of question."""
    text = data.decode("utf-8", "replace")
    rulebook = _shop()
    for question in rulebook.questions:
        with contextlib.suppress(AnswerError):
            rulebook.show_value(question, rulebook.parse_answer(question, text))


def typed_lines(data: bytes) -> None:
    """An interview in plain lines."""
    lines = data.decode("utf-8", "replace").splitlines()[:MOST_LINES]
    source = io.StringIO("".join(f"{line}\n" for line in lines))
    with tempfile.TemporaryDirectory() as folder:
        port = PlainPort(source, io.StringIO(), width=60)
        _interview(Path(folder), port)


def keystrokes(data: bytes) -> None:
    """An interview in a terminal, key by key."""
    with tempfile.TemporaryDirectory() as folder, create_pipe_input() as source:
        source.send_bytes(data[:400] + END * 3)
        source.close()
        with contextlib.suppress(KeyboardInterrupt):
            _interview(Path(folder), TerminalPort(source, DummyOutput()))


def _interview(folder: Path, port: PlainPort | TerminalPort) -> None:
    """Whatever was typed, the case can be opened again with all that was answered."""
    from advisor.interview import Interrupted

    path = folder / "case.yaml"
    rulebook = _shop()
    with contextlib.suppress(Interrupted):
        run_interview(
            rulebook,
            path,
            port=port,
            role="technician",
            render=lambda session: assessment_text(
                assess(session.case, rulebook, session.diagnosis)
            ),
        )
    open_case(path, rulebook)


@cache
def _shipped() -> Rulebook:
    return load(shipped())


@cache
def _shop() -> Rulebook:
    return load(_shop_folder())


@cache
def _shop_folder() -> Path:
    """Deleted when the program ends."""
    folder = tempfile.TemporaryDirectory()
    atexit.register(folder.cleanup)
    return write_shop(Path(folder.name))


TARGETS: dict[str, Target] = {
    "answer": answer,
    "case-file": case_file,
    "examples-file": examples_file,
    "keystrokes": keystrokes,
    "overlay-file": overlay_file,
    "practice-file": practice_file,
    "quantity": quantity,
    "rulebook-file": rulebook_file,
    "settings-file": settings_file,
    "stock-file": stock_file,
    "typed-lines": typed_lines,
}
