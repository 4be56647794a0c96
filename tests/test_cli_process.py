"""The program as its own process: signals, pipes, disks and windows as they are in real life."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import IO

import pytest

from advisor.cases import read_case
from advisor.layout import cells
from advisor.verbs.output import DONE, INTERRUPTED, WRONG
from tests.cases.shop import write_shop

ROOT = Path(__file__).parents[1]
DEMO = ROOT / "cases" / "pickup-shake.yaml"
# `python -m advisor`, but whoever runs the tests may have told it to ignore Ctrl-C
PROGRAM = (
    "import signal, sys; signal.signal(signal.SIGINT, signal.default_int_handler); "
    "from advisor.cli import main; sys.exit(main())"
)
SECONDS = 120  # for a program that hangs; none comes near it
FULL = Path("/dev/full")

posix = pytest.mark.skipif(os.name == "nt", reason="needs the signals and devices of POSIX")
needs_full = pytest.mark.skipif(not FULL.exists(), reason="needs a device that is always full")


def environment(changes: Mapping[str, str] = MappingProxyType({})) -> dict[str, str]:
    """That of a plain user: output buffered, in UTF-8, without a window's size."""
    kept = {
        name: value
        for name, value in os.environ.items()
        if name
        not in {"COLUMNS", "LINES", "PYTHONUNBUFFERED", "PYTHONIOENCODING", "ADVISOR_SETTINGS"}
    }
    nowhere = str(ROOT / "no-settings-here")
    fixed = {"XDG_CONFIG_HOME": nowhere, "APPDATA": nowhere, "PYTHONPATH": str(ROOT)}
    return kept | fixed | {"PYTHONUTF8": "1", "TERM": "xterm", **changes}


def start(
    *words: str | Path,
    output: int | IO[bytes] = subprocess.PIPE,
    errors: int | IO[bytes] = subprocess.PIPE,
    changes: Mapping[str, str] = MappingProxyType({}),
) -> subprocess.Popen[bytes]:
    """The program, started with pipes."""
    return subprocess.Popen(
        [sys.executable, "-c", PROGRAM, *map(str, words)],
        stdin=subprocess.PIPE,
        stdout=output,
        stderr=errors,
        env=environment(changes),
    )


def end(child: subprocess.Popen[bytes], typed: str = "") -> tuple[int, str, str]:
    """Status, standard output and standard error; nobody may ever see a traceback."""
    out, err = child.communicate(typed.encode(), timeout=SECONDS)
    told = (err or b"").decode()
    assert "Traceback" not in told
    assert "Exception ignored" not in told
    return child.returncode, (out or b"").decode(), told


def run(
    *words: str | Path, typed: str = "", changes: Mapping[str, str] = MappingProxyType({})
) -> tuple[int, str, str]:
    return end(start(*words, changes=changes), typed)


def read_until(child: subprocess.Popen[bytes], wanted: str) -> str:
    """What the program has written once `wanted` is there."""
    assert child.stdout is not None
    watch = threading.Timer(SECONDS, child.kill)
    watch.start()
    seen = b""
    try:
        while wanted.encode() not in seen:
            part = os.read(child.stdout.fileno(), 4096)
            assert part, f"the program ended: {seen.decode()}"
            seen += part
    finally:
        watch.cancel()
    return seen.decode()


def test_module_runs_as_a_program() -> None:
    words = [sys.executable, "-m", "advisor", "rank", str(DEMO)]
    done = subprocess.run(
        words, env=environment(), capture_output=True, check=False, timeout=SECONDS
    )
    assert (done.returncode, done.stderr) == (DONE, b"")
    assert done.stdout.startswith(b"case pickup-shake: rulebook driveline ")


def test_wrong_use_has_status_2() -> None:
    status, out, err = run("rank")
    assert (status, out) == (WRONG, "")
    assert err.startswith("usage: advisor rank ")


# -- Ctrl-C and Ctrl-D --


@posix
def test_ctrl_c_in_an_interview_keeps_the_case_and_says_how_to_go_on(tmp_path: Path) -> None:
    path = tmp_path / "van.yaml"
    child = start("ask", "--plain", path, "--rulebook", write_shop(tmp_path))
    assert child.stdin is not None
    child.stdin.write(b"A van\nIt shudders\ntwo-piece\n")
    child.stdin.flush()
    read_until(child, "Is the rubber of the centre support torn?")
    child.send_signal(signal.SIGINT)
    status, out, err = end(child)
    assert (status, err) == (INTERRUPTED, "")
    assert f"interrupted; every answer is saved. Go on with:\nadvisor ask {path} " in out
    assert read_case(path).latest() == {"layout": "two-piece"}
    assert list(tmp_path.glob(".van.yaml*")) == []


@posix
@pytest.mark.parametrize("number", [signal.SIGHUP, signal.SIGTERM], ids=["SIGHUP", "SIGTERM"])
def test_end_from_outside_lets_the_lock_go_and_leaves_a_case_to_go_on_with(
    tmp_path: Path, number: signal.Signals
) -> None:
    """SIGHUP is what a closed window sends."""
    path, book = tmp_path / "van.yaml", write_shop(tmp_path)
    child = start("ask", "--plain", path, "--rulebook", book)
    assert child.stdin is not None
    child.stdin.write(b"A van\nIt shudders\ntwo-piece\n")
    child.stdin.flush()
    read_until(child, "Is the rubber of the centre support torn?")
    child.send_signal(number)
    status, _, err = end(child)
    assert (status, err) == (128 + number, "")
    assert list(tmp_path.glob(".van.yaml*")) == []
    assert run("ask", "--plain", path, "--rulebook", book)[0] == DONE
    assert read_case(path).latest() == {"layout": "two-piece"}


@posix
@pytest.mark.slow
@pytest.mark.parametrize("number", [signal.SIGHUP, signal.SIGTERM], ids=["SIGHUP", "SIGTERM"])
def test_end_from_outside_leaves_the_terminal_as_it_was(
    tmp_path: Path, number: signal.Signals
) -> None:
    import pty
    import termios

    ours, theirs = pty.openpty()
    before = termios.tcgetattr(theirs)
    words = ["ask", str(tmp_path / "van.yaml"), "--rulebook", str(write_shop(tmp_path))]
    command = [sys.executable, "-c", PROGRAM, *words]
    child = subprocess.Popen(command, env=environment(), stdin=theirs, stdout=theirs, stderr=theirs)
    shown = b""
    while b"Which vehicle is it" not in shown or termios.tcgetattr(theirs) == before:
        shown += os.read(ours, 1024)
    child.send_signal(number)
    assert child.wait(timeout=SECONDS) == 128 + number
    assert termios.tcgetattr(theirs) == before
    os.close(ours)
    os.close(theirs)


def test_ctrl_d_at_once_ends_well(tmp_path: Path) -> None:
    path = tmp_path / "van.yaml"
    status, out, err = run("ask", "--plain", path)
    assert (status, err) == (DONE, "")
    assert f"saved. Go on with:\nadvisor ask {path} " in out


@needs_full
def test_nothing_is_said_to_be_exported_that_could_not_be_written(tmp_path: Path) -> None:
    (tmp_path / "van.yaml").write_bytes(DEMO.read_bytes())
    with FULL.open("wb") as full:
        child = start("export", "--library", tmp_path, output=full)
        status, _, err = end(child)
    assert status == WRONG
    assert err == "reading the input or writing the output failed: no space left on device\n"


@posix
def test_closed_standard_input_is_the_end_of_input(tmp_path: Path) -> None:
    words = [sys.executable, "-m", "advisor", "ask", "--plain", str(tmp_path / "van.yaml")]
    done = subprocess.run(
        ["sh", "-c", 'exec "$@" <&-', "sh", *words],
        env=environment(),
        capture_output=True,
        check=False,
        timeout=SECONDS,
    )
    assert (done.returncode, done.stderr) == (DONE, b"")


# -- pipes and disks --


@posix
@pytest.mark.parametrize(
    "words",
    [["--help"], ["rank", DEMO], ["rank", "--json", DEMO], ["why", DEMO], ["check", "--json"]],
    ids=lambda words: " ".join(word for word in words if isinstance(word, str)),
)
def test_reader_that_has_seen_enough_is_no_failure(words: list[str | Path]) -> None:
    reading, writing = os.pipe()
    os.close(reading)
    with os.fdopen(writing, "wb") as nobody:
        child = start(*words, output=nobody)
    status, _, err = end(child)
    assert status == DONE
    assert err == "" or "no problems" in err


@posix
def test_reader_that_leaves_in_the_middle_of_an_interview_is_no_failure(tmp_path: Path) -> None:
    path = tmp_path / "van.yaml"
    reading, writing = os.pipe()
    os.close(reading)
    with os.fdopen(writing, "wb") as nobody:
        child = start("ask", "--plain", path, output=nobody)
    assert end(child, "A van\n")[0] == DONE
    assert read_case(path).id == "van"


@needs_full
@pytest.mark.parametrize(
    "words",
    [["--help"], ["rank", DEMO], ["rank", "--json", DEMO], ["why", DEMO], ["ask", "--plain"]],
    ids=lambda words: " ".join(word for word in words if isinstance(word, str)),
)
def test_full_disk_under_the_output_is_told_in_one_line(
    words: list[str | Path], tmp_path: Path
) -> None:
    case = [tmp_path / "van.yaml"] if words[0] == "ask" else []
    with FULL.open("wb") as full:
        status, _, err = end(start(*words, *case, output=full))
    assert status == WRONG
    assert err.endswith("writing the output failed: no space left on device\n")
    assert err.count("\n") == 1


@needs_full
def test_message_that_cannot_be_written_still_has_its_status() -> None:
    with FULL.open("wb") as full:
        child = start("rank", "nowhere.yaml", errors=full)
    assert end(child)[:2] == (WRONG, "")


@posix
def test_message_does_not_turn_up_among_the_results_when_standard_error_is_closed() -> None:
    words = [sys.executable, "-m", "advisor", "rank", "nowhere.yaml"]
    done = subprocess.run(
        ["sh", "-c", 'exec "$@" 2>&-', "sh", *words],
        env=environment(),
        capture_output=True,
        check=False,
        timeout=SECONDS,
    )
    assert (done.returncode, done.stdout, done.stderr) == (WRONG, b"", b"")


# -- windows and encodings --


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "utf-16"])
def test_any_encoding_of_the_output_will_do(encoding: str, tmp_path: Path) -> None:
    case = tmp_path / "kaefer.yaml"
    text = DEMO.read_text(encoding="utf-8").replace('"Pickup, ', '"K\u00e4fer \u8f66 \U0001f697, ')
    case.write_text(text.replace("id: pickup-shake", "id: kaefer"), encoding="utf-8")
    child = start("rank", case, changes={"PYTHONIOENCODING": encoding, "PYTHONUTF8": "0"})
    out, err = child.communicate(timeout=SECONDS)
    assert (child.returncode, err) == (DONE, b"")
    shown = out.decode(encoding)
    assert "fer " in shown
    assert "CAUSES, most probable first" in shown


@posix
@pytest.mark.parametrize("columns", [40, 20])
def test_assessment_fits_a_narrow_window(columns: int) -> None:
    pty = pytest.importorskip("pty")
    near, far = pty.openpty()
    child = start("rank", DEMO, output=far, changes={"COLUMNS": str(columns)})
    os.close(far)
    seen = b""
    try:
        while part := os.read(near, 4096):
            seen += part
    except OSError:  # how Linux says that the other end is closed
        pass
    os.close(near)
    assert end(child)[0] == DONE
    lines = seen.decode().replace("\r\n", "\n").split("\n")
    assert len(lines) > 20
    assert max(map(cells, lines)) <= columns


def test_plain_interview_fits_a_narrow_window(tmp_path: Path) -> None:
    typed = "A van\nIt shakes\n" + "why\nhow\n?\n" * 8
    out = run("ask", "--plain", tmp_path / "van.yaml", typed=typed, changes={"COLUMNS": "40"})[1]
    lines = [line.removeprefix("> ") for line in out.split("\n")]
    assert len(lines) > 20
    (command,) = [line for line in lines if cells(line) > 40]  # to be copied as it is
    assert command.startswith(f"advisor ask {tmp_path}")
