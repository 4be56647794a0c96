"""Pipes, devices, folders and links where a file is looked for: told at once, never waited at."""

from __future__ import annotations

import os
import signal
import socket
from collections.abc import Iterator
from pathlib import Path

import pytest

from advisor.cases import CaseLock, ChangedError, InUseError, open_case
from advisor.cases.lock import Owner
from advisor.cli import main
from advisor.rulebook import Rulebook
from advisor.verbs.output import DONE, WRONG
from tests.cases.shop import write_shop

SECONDS = 60  # a pipe keeps who opens it for ever; nothing here comes near
pytestmark = pytest.mark.skipif(os.name == "nt", reason="needs the pipes of POSIX")


class WaitedError(BaseException):
    """Something was waited at."""


@pytest.fixture(autouse=True)
def never_waits() -> Iterator[None]:
    def stop(_number: int, _frame: object) -> None:
        raise WaitedError

    before = signal.signal(signal.SIGALRM, stop)
    signal.alarm(SECONDS)
    yield
    signal.alarm(0)
    signal.signal(signal.SIGALRM, before)


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return write_shop(tmp_path)


@pytest.fixture
def pipe(tmp_path: Path) -> Path:
    pipe = tmp_path / "pipe.yaml"
    os.mkfifo(pipe)
    return pipe


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["rank", "pipe.yaml"], "not an ordinary file"),
        (["ask", "--plain", "pipe.yaml"], "not an ordinary file"),
        (["close", "pipe.yaml"], "not an ordinary file"),
        (["rank", "van.yaml", "--settings", "pipe.yaml"], "not an ordinary file"),
        (["close", "van.yaml", "--ring", "a=1", "--stock", "pipe.yaml"], "not an ordinary file"),
        (["rank", "van.yaml", "--overlay", "pipe.yaml"], "not an ordinary file"),
        (["page", "van.yaml", "--output", "pipe.yaml"], "not an ordinary file"),
        (["find", "van", "--index", "pipe.yaml"], "not an ordinary file"),
        (["export", "--output", "pipe.yaml"], "there already"),
        (["replay", "pipe.yaml"], "no such folder"),
        (["calibrate", ".", "--write", "pipe.yaml"], "there already"),
        (["practise", "pipe.yaml", "--plain"], "not an ordinary file"),
        (["reopen", "van.yaml", "pipe.yaml", "--ever-right", "no"], "there already"),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, list) else "",
)
def test_pipe_in_place_of_a_file_is_told_at_once(
    words: list[str],
    *,
    told: str,
    path: Path,
    pipe: Path,
    book: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(path.parent)
    if words[0] == "close":
        words = [*words, "--none-of-the-listed"]
    if words[0] == "reopen":
        main(["close", "van.yaml", "--none-of-the-listed", "--rulebook", str(book)])
    assert main([*words, "--rulebook", str(book)]) == WRONG
    assert told in capsys.readouterr().err
    assert pipe.is_fifo()


def test_pipe_among_the_files_of_a_rulebook_is_told(
    path: Path, book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    os.mkfifo(book / "more.yaml")
    words = ["--library", str(path.parent), "--rulebook", str(book)]
    for verb in (["rank", str(path), *words[2:]], ["find", "shudders", *words]):
        assert main(verb) == WRONG
        assert "more.yaml:1:1: error[unreadable-file]" in capsys.readouterr().err


def test_pipe_or_device_among_the_files_of_a_rulebook_keeps_no_shell_waiting(
    book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    os.mkfifo(book / "more.yaml")
    (book / "none.yaml").symlink_to("missing")
    (book / "endless.yaml").symlink_to("/dev/zero")
    line = ["advisor", "why", "van.yaml", "--rulebook", str(book)]
    assert main(["complete-words", "causes", *line]) == DONE
    assert "loose-joint" in capsys.readouterr().out.split()


def test_pipe_in_place_of_a_draft_is_told(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    os.mkfifo(book / ".new-cause.json")
    assert main(["new", "cause", "--plain", "--rulebook", str(book)]) == WRONG
    assert "it is not an ordinary file" in capsys.readouterr().err


def test_pipe_or_folder_in_place_of_a_lock_is_respected(path: Path) -> None:
    lock = CaseLock(path)
    os.mkfifo(lock.path)
    assert Owner.read(lock.path) is None
    with pytest.raises(InUseError, match="whose name can't be read"):
        lock.__enter__()
    lock.path.unlink()
    lock.path.mkdir()
    with pytest.raises(InUseError, match="whose name can't be read"):
        lock.__enter__()


def test_case_that_became_a_pipe_while_it_was_open_is_not_waited_at(
    path: Path, shop: Rulebook
) -> None:
    session = open_case(path, shop)
    path.unlink()
    os.mkfifo(path)
    with pytest.raises(ChangedError, match="changed by another program"):
        session.answer("layout", "two-piece")
    assert path.is_fifo()


def test_library_tells_what_is_no_case_and_goes_on(
    path: Path, book: Path, pipe: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = path.parent
    (folder / "folder.yaml").mkdir()
    (folder / "nowhere.yaml").symlink_to("missing")
    (folder / "ring.yaml").symlink_to("ring.yaml")
    (folder / "device.yaml").symlink_to(os.devnull)
    with socket.socket(socket.AF_UNIX) as listener, pytest.MonkeyPatch.context() as patch:
        patch.chdir(folder)  # the name of a socket must be short
        listener.bind("socket.yaml")
    assert main(["find", "shudders", "--library", str(folder), "--rulebook", str(book)]) == DONE
    out, err = capsys.readouterr()
    assert out.startswith("1 case")
    names = [line.split("left out: ")[1].split(":")[0] for line in err.splitlines()]
    odd = ("device", "folder", "nowhere", "pipe", "ring", "socket")
    assert [Path(name).stem for name in names] == sorted(odd)
