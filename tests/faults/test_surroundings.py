"""What lies around the program: homes, caches, names, folders and signals that are not as usual."""

from __future__ import annotations

import argparse
import contextlib
import io
import os
import shlex
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator, Mapping, Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from advisor.cases import CaseLock, InUseError, open_case, read_case, session
from advisor.cli import main
from advisor.lastresort import tidy_end
from advisor.page.writing import MARK
from advisor.rulebook import Rulebook, usual_cache
from advisor.rulebook.problems import LoadError
from advisor.verbs.output import DONE, WRONG
from tests.cases.shop import write_shop

ROOT = Path(__file__).parents[2]
SECONDS = 120  # for a program that hangs; none comes near it
posix = pytest.mark.skipif(os.name == "nt", reason="needs the names and signals of POSIX")


@pytest.fixture
def book(tmp_path: Path) -> str:
    return str(write_shop(tmp_path))


# -- homes and caches --


@posix
@pytest.mark.parametrize(
    "homes",
    [{}, {"HOME": "/nonexistent"}, {"HOME": "/dev/null"}, {"XDG_CACHE_HOME": "/dev/null"}],
    ids=["unset", "missing", "a file", "cache in a file"],
)
def test_home_that_is_no_folder_keeps_nobody_from_ranking(
    homes: dict[str, str],
    path: Path,
    book: str,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    for name in ("HOME", "XDG_CACHE_HOME", "XDG_CONFIG_HOME", "ADVISOR_CACHE"):
        monkeypatch.delenv(name, raising=False)
    for name, value in homes.items():
        monkeypatch.setenv(name, value)
    if not homes:  # a user without an entry among the users has no home at all
        monkeypatch.setattr("pathlib.Path.home", no_home)
    assert main(["rank", str(path), "--rulebook", book]) == DONE
    assert capsys.readouterr().err == ""


def no_home() -> Path:
    raise RuntimeError("could not determine home directory")


def test_user_without_a_home_has_no_cache(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("pathlib.Path.home", no_home)
    assert usual_cache({}) is None


# -- names and folders --


def program(
    words: Sequence[str | bytes], folder: Path, changes: Mapping[str, str]
) -> subprocess.CompletedProcess[bytes]:
    environment = {**os.environ, "PYTHONPATH": str(ROOT), **changes}
    command = [sys.executable, "-m", "advisor", *words]
    return subprocess.run(
        command, cwd=folder, env=environment, capture_output=True, check=False, timeout=SECONDS
    )


@posix
@pytest.mark.parametrize("utf8", ["0", "1"], ids=["ascii", "utf-8"])
def test_file_name_that_is_no_utf_8_is_read_and_written(path: Path, book: str, utf8: str) -> None:
    name = b"k\xe4fer.yaml"
    os.link(path, os.fsencode(path.parent) + b"/" + name)
    changes = {"LC_ALL": "C", "PYTHONUTF8": utf8, "PYTHONCOERCECLOCALE": "0"}
    words = [b"close", name, b"--none-of-the-listed", b"--rulebook", os.fsencode(book)]
    done = program(words, path.parent, changes)
    assert done.returncode == DONE, done.stderr
    outcome = read_case(Path(os.fsdecode(os.fsencode(path.parent) + b"/" + name))).outcome
    assert outcome is not None
    assert outcome.none_of_the_listed


LONG = "x" * 300


@pytest.mark.parametrize(
    "words",
    [
        ["rank", f"{LONG}.yaml"],
        ["ask", "--plain", f"{LONG}.yaml"],
        ["rank", "d/" * 3000 + "van.yaml"],
        ["ask", "--plain", "d/" * 3000 + "van.yaml"],
        ["page", "van.yaml", "--output", f"{LONG}.html"],
        ["rank", "van.yaml", "--settings", LONG],
        ["check", "--rulebook", LONG],
    ],
    ids=lambda words: " ".join(words)[:24],
)
def test_name_that_is_too_long_is_told(
    words: list[str],
    path: Path,
    book: str,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(path.parent)
    more = [] if "--rulebook" in words else ["--rulebook", book]
    assert main([*words, *more]) in (WRONG, 1)
    out, err = capsys.readouterr()
    assert "name too long" in out + err or "name is too long" in out + err


@posix
def test_folder_that_is_gone_under_the_program_is_told(
    tmp_path: Path,
    book: str,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    gone = tmp_path / "gone"
    gone.mkdir()
    monkeypatch.chdir(gone)
    gone.rmdir()
    assert main(["ask", "--plain", "van.yaml", "--rulebook", book]) == WRONG
    assert capsys.readouterr().err == "van.yaml was not saved: the folder does not exist\n"


@pytest.mark.slow
def test_settings_of_the_drawing_library_change_no_page(path: Path) -> None:
    """They are read from any folder that one is in, so also from that of a stranger's cases."""
    page, settings = path.with_suffix(".html"), path.with_name("matplotlibrc")
    words = ["page", "van.yaml"]
    shutil.copy(ROOT / "cases" / "pickup-shake.yaml", path)
    assert program(words, path.parent, {}).returncode == DONE
    plain = page.read_bytes()
    assert plain.count(b"<svg") > 1
    settings.write_text("font.size: 40\npath.sketch: 10, 100, 2\nno setting\n", encoding="utf-8")
    done = program(words, path.parent, {})
    assert (done.returncode, done.stderr) == (DONE, b"van.html: the page is written\n")
    assert page.read_bytes() == plain
    settings.write_bytes(b"\xff\xfe")
    done = program(words, path.parent, {})
    assert done.returncode == WRONG
    assert b"is no text in UTF-8; delete or rename it" in done.stderr


@posix
@pytest.mark.parametrize("folder", [".", "two words", "two\nlines", "-dash", "it's; $HOME"])
@pytest.mark.parametrize("name", ["van.yaml", "-van.yaml"])
def test_command_that_goes_on_with_an_oddly_named_case_can_be_pasted(
    folder: str,
    name: str,
    *,
    path: Path,
    book: str,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(path.parent)
    place = Path(folder)
    place.mkdir(exist_ok=True)
    path.rename(place / name)
    Path("book").symlink_to(book)
    monkeypatch.setattr("sys.stdin", io.StringIO("/stop\n"))
    assert main(["ask", "--plain", "--rulebook", "book", "--", str(place / name)]) == DONE
    _, _, pasted = capsys.readouterr().out.partition("Go on with:\n")
    program, *words = shlex.split(pasted)
    assert program == "advisor"
    monkeypatch.setattr("sys.stdin", io.StringIO("two-piece\n/stop\n"))
    assert main(words) == DONE
    assert read_case(place / name).latest() == {"layout": "two-piece"}


def test_lack_of_memory_is_told_in_one_line(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def need_too_much(_options: argparse.Namespace) -> int:
        return len(bytearray(1 << 62))

    monkeypatch.setattr("advisor.cli.VERBS", {"rank": need_too_much})
    assert main(["rank", "van.yaml"]) == WRONG
    assert capsys.readouterr().err == "there is not memory enough for that here\n"


def test_file_of_a_newer_program_is_refused_and_left_as_it_is(path: Path, shop: Rulebook) -> None:
    path.write_text(path.read_text(encoding="utf-8").replace("format: 1", "format: 2"), "utf-8")
    before = path.read_bytes()
    with CaseLock(path) as lock, pytest.raises(LoadError, match="use a newer version") as caught:
        open_case(path, shop, lock=lock)
    assert [one.code for one in caught.value.problems] == ["unknown-format"]
    assert path.read_bytes() == before


# -- clocks and signals --


def test_clock_that_goes_back_changes_no_answer(
    path: Path, shop: Rulebook, monkeypatch: pytest.MonkeyPatch
) -> None:
    moments = iter([datetime(2024, 5, 1, tzinfo=UTC) - timedelta(days=day) for day in range(3)])
    monkeypatch.setattr(session, "utc_now", lambda: next(moments))
    open_one = open_case(path, shop)
    for answer in ("two-piece", "two-piece", "one-piece"):  # the earliest by the clock
        open_one.answer("layout", answer)
    case = read_case(path)
    assert case.latest() == {"layout": "one-piece"}
    times = [record.at for record in case.answers]
    assert times == sorted(times, key=str, reverse=True)


def test_lock_from_the_future_is_respected(path: Path) -> None:
    with CaseLock(path) as lock:
        ahead = 4_000_000_000.0  # in the year 2096
        os.utime(lock.path, (ahead, ahead))
        with pytest.raises(InUseError):
            CaseLock(path).__enter__()


@posix
@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP", "SIGINT", "SIGQUIT", "SIGKILL"])
def test_signal_in_an_interview_leaves_every_answer_and_a_case_to_go_on_with(
    name: str, path: Path, book: str, shop: Rulebook
) -> None:
    words = [sys.executable, "-c", SIGNALLED, str(path), book, str(signal.Signals[name].value)]
    done = subprocess.run(
        words,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        check=False,
        timeout=SECONDS,
    )
    assert done.returncode != DONE
    assert b"Traceback" not in done.stderr
    with CaseLock(path) as lock:  # that of the dead process is taken over
        assert open_case(path, shop, lock=lock).case.latest() == {"layout": "two-piece"}


@contextlib.contextmanager
def taken_as(number: signal.Signals, action: signal.Handlers) -> Iterator[None]:
    """What this process does at a signal, whoever started it; the work leaves it so."""
    before = signal.signal(number, action)
    try:
        yield
        assert signal.getsignal(number) is action
    finally:
        signal.signal(number, before)


@posix
@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP], ids=["SIGTERM", "SIGHUP"])
@pytest.mark.parametrize(
    "words",
    [
        ["close", "van.yaml", "--none-of-the-listed"],
        ["page", "van.yaml"],
        ["export", "--output", "cases.jsonl"],
        ["calibrate", ".", "--write", "overlay.yaml"],
        ["reopen", "closed.yaml", "again.yaml", "--ever-right", "no"],
        ["practise", "lesson.yaml", "--plain", "--seed", "1"],
        ["practise", "class", "--class", "2", "--seed", "1"],
        ["schema", "case", "--write", "."],
        ["new", "--copy", "copy"],
    ],
    ids=lambda words: " ".join(words[:2]),
)
def test_end_from_outside_in_the_midst_of_writing_leaves_nothing_half_done(
    words: list[str],
    number: signal.Signals,
    path: Path,
    book: str,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(path.parent)
    closed = path.read_text(encoding="utf-8") + "outcome: {none_of_the_listed: true}\n"
    path.with_name("closed.yaml").write_text(closed, encoding="utf-8")
    path.with_name("van.html").write_bytes(MARK + b"an older page")
    path.with_name("class").mkdir()
    before = {one: one.read_bytes() for one in path.parent.rglob("*") if one.is_file()}
    step = (shutil, "copyfile") if "--copy" in words else (os, "fsync")
    monkeypatch.setattr(*step, lambda *_: os.kill(os.getpid(), number))
    with (
        taken_as(number, signal.SIG_DFL),
        pytest.raises(SystemExit) as ended,
    ):
        main(words if words[0] in ("schema", "new") else [*words, "--rulebook", book])
    assert ended.value.code == 128 + number
    assert {one: one.read_bytes() for one in path.parent.rglob("*") if one.is_file()} == before


@posix
def test_hang_up_that_is_ignored_stays_so() -> None:
    """As under nohup."""
    with taken_as(signal.SIGHUP, signal.SIG_IGN), tidy_end():
        os.kill(os.getpid(), signal.SIGHUP)


SIGNALLED = """\
import os, resource, signal, sys
from pathlib import Path
from advisor.interview import Interrupted, run_interview
from advisor.rulebook import load

resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
signal.signal(signal.SIGINT, signal.default_int_handler)


class Port:
    columns = 80
    lines = ["two-piece"]

    def ask(self, prompt):
        if not self.lines:
            os.kill(os.getpid(), int(sys.argv[3]))
            signal.pause()
        return self.lines.pop()

    def tell(self, text, tone=None):
        pass


try:
    run_interview(load(Path(sys.argv[2])), Path(sys.argv[1]), port=Port(), role="technician",
                  render=lambda session: "")
except Interrupted:
    sys.exit(130)
"""
