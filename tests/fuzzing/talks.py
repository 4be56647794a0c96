"""Conversations in which what is typed comes by chance, in plain lines or key by key."""

from __future__ import annotations

import contextlib
import io
import shutil
import tempfile
from collections.abc import Callable
from functools import cache
from pathlib import Path

from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.output import DummyOutput

from advisor.cases import open_case
from advisor.interview import Interrupted, PlainPort, Port, run_closing, run_interview
from advisor.interview.terminal import TerminalPort
from advisor.report import assess, assessment_text
from advisor.rulebook import load
from advisor.stock import read_stock
from advisor.teaching import Wanted, practise, score_of, score_text
from advisor.vehicles import Vehicles
from advisor.writing import DraftError, write_new
from tests.fuzzing.books import OPEN_CASE, lasting_folder, shop
from tests.fuzzing.files import is_only_more
from tests.helpers_rulebook import small_rulebook
from tests.life.book import write_stock

END = b"\r\x03"  # Enter, then Ctrl-C: nothing goes on for ever
MOST_LINES = 60
MOST_KEYS = 400
KINDS = ("cause", "finding", "question", "test")

Talk = Callable[[Path, Port], None]


def in_lines(talk: Talk, data: bytes) -> None:
    """A conversation in plain lines."""
    lines = data.decode("utf-8", "replace").splitlines()[:MOST_LINES]
    source = io.StringIO("".join(f"{line}\n" for line in lines))
    with tempfile.TemporaryDirectory() as folder:
        talk(Path(folder), PlainPort(source, io.StringIO(), width=60))


def by_keys(talk: Talk, data: bytes) -> None:
    """A conversation in a terminal, key by key."""
    with tempfile.TemporaryDirectory() as folder, create_pipe_input() as source:
        source.send_bytes(data[:MOST_KEYS] + END * 3)
        source.close()
        with contextlib.suppress(KeyboardInterrupt):
            talk(Path(folder), TerminalPort(source, DummyOutput()))


def interview(folder: Path, port: Port) -> None:
    """Whatever was typed, the case can be opened again with all that was answered."""
    path = folder / "case.yaml"
    with contextlib.suppress(Interrupted):
        run_interview(
            shop(),
            path,
            port=port,
            role="technician",
            render=lambda session: assessment_text(assess(session.case, shop(), session.diagnosis)),
            private=True,
        )
    open_case(path, shop())


def closing(folder: Path, port: Port) -> None:
    """The closing of a case; case and stock can be read afterwards."""
    path, stock = folder / "case.yaml", write_stock(folder)
    path.write_text(OPEN_CASE, encoding="utf-8")
    with contextlib.suppress(Interrupted):
        run_closing(shop(), path, port=port, role="technician", stock=stock)
    open_case(path, shop())
    read_stock(stock, shop())


def lesson(folder: Path, port: Port) -> None:
    """A lesson on a practice vehicle; its score can be shown afterwards."""
    path = folder / "lesson.yaml"
    with contextlib.suppress(Interrupted):
        practise(path, _vehicles(), 7, Wanted(), port=port, resume="advisor practise")
    score = score_of(path, _vehicles())
    score_text(score, shop(), told=score.learner.end is not None)


def new_rule(what: str, folder: Path, port: Port) -> None:
    """A new rule of this kind; the rulebook loads afterwards, with every byte that it had."""
    book = folder / "book"
    shutil.copytree(_small_book(), book)
    before = _texts(book)
    with contextlib.suppress(KeyboardInterrupt):
        write_new(what, book, port, "advisor new")
    after = _texts(book)
    for name, text in before.items():
        if after[name] != text and not is_only_more(text, after[name]):
            raise AssertionError(f"{name} was not only added to")
    if after != before:
        load(book)


def draft_file(data: bytes) -> None:
    """The answers of a half-written rule; nobody says more."""
    with tempfile.TemporaryDirectory() as folder:
        book = Path(folder, "book")
        shutil.copytree(_small_book(), book)
        (book / ".new-cause.json").write_bytes(data)
        with contextlib.suppress(DraftError):
            write_new("cause", book, PlainPort(io.StringIO("\n"), io.StringIO()), "advisor new")


def _texts(book: Path) -> dict[str, str]:
    paths = sorted(book.rglob("*.yaml"))
    return {path.as_posix(): path.read_bytes().decode("utf-8") for path in paths}


@cache
def _small_book() -> Path:
    return small_rulebook(lasting_folder())


@cache
def _vehicles() -> Vehicles:
    return Vehicles(shop())
