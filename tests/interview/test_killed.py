"""A program killed at any moment loses no answer that it acknowledged."""

from __future__ import annotations

import os
import random
import signal
import time
import traceback
import warnings
from collections.abc import Iterator
from pathlib import Path

import pytest

from advisor.cases import CaseLock, new_case, open_case
from advisor.interview import Prompt, Tone, run_interview
from advisor.rulebook import Rulebook

KILLS = 200
SEED = 20240501
# Going back and changing an answer makes the log longer.
SCRIPT = ["2", "no", *["back", "yes", "back", "no"] * 4, "clunk", "/back", "boom", "new rings", "?"]
PASSING = {"", "back", "/back"}


class Acknowledging:
    """A port that writes the answers on disk to a pipe before it gives the next scripted line."""

    columns = 80

    def __init__(self, path: Path, pipe: int) -> None:
        self._lines: Iterator[str] = iter(SCRIPT)
        self._path = path
        self._pipe = pipe
        self._last = ""

    def ask(self, prompt: Prompt) -> str:
        os.write(self._pipe, f"{self._last}\n".encode())
        line = next(self._lines, None)
        if line is None:
            raise EOFError
        self._last = line
        return line

    def tell(self, text: str, tone: Tone = Tone.PLAIN) -> None:
        pass


def interview_in_child(rulebook: Rulebook, path: Path) -> tuple[int, int]:
    """Start a scripted interview in a forked process; its id and the end to read from."""
    reading, writing = os.pipe()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)  # forking beside threads, from 3.12
        pid = os.fork()
    if pid:
        os.close(writing)
        return pid, reading
    try:
        port = Acknowledging(path, writing)
        run_interview(rulebook, path, port=port, role="technician", render=lambda _session: "")
        os._exit(0)
    except BaseException:  # a child of a test must never return into pytest
        traceback.print_exc()
        os._exit(1)


def acknowledged(reading: int) -> list[str]:
    """The typed lines after which the program went on."""
    with os.fdopen(reading, encoding="utf-8") as pipe:
        lines = pipe.read().split("\n")[:-1]
    return [line for line in lines if line not in PASSING]


def in_the_file(line: str) -> str:
    """How the log writes a scripted line."""
    return {"2": "two-piece", "?": "dont-know"}.get(line, line)


def seconds_of_a_whole_interview(rulebook: Rulebook, path: Path) -> float:
    """How long the script takes when nobody kills it; every answer is acknowledged."""
    new_case(path, rulebook, complaint="It shudders")
    start = time.monotonic()
    pid, reading = interview_in_child(rulebook, path)
    everything = acknowledged(reading)
    assert os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1]) == 0
    assert everything == [line for line in SCRIPT if line not in PASSING]
    return time.monotonic() - start


@pytest.mark.slow
@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
def test_no_acknowledged_answer_is_lost_by_a_kill(tmp_path: Path, shop: Rulebook) -> None:
    seconds = min(seconds_of_a_whole_interview(shop, tmp_path / f"whole-{n}.yaml") for n in "123")
    moments = random.Random(SEED)
    killed = 0
    for number in range(KILLS):
        path = tmp_path / f"case-{number}.yaml"
        new_case(path, shop, complaint="It shudders")
        pid, reading = interview_in_child(shop, path)
        time.sleep(moments.uniform(0.0, seconds))
        os.kill(pid, signal.SIGKILL)
        killed += os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1]) == -signal.SIGKILL
        expected = [in_the_file(line) for line in acknowledged(reading)]
        with CaseLock(path):  # that of the dead process is taken over, its leftovers removed
            log = [record.answer for record in open_case(path, shop).case.answers]
        assert log[: len(expected)] == expected
        assert len(log) <= len(expected) + 1  # one may be on disk and not yet acknowledged
        assert not list(tmp_path.glob(f".case-{number}.*"))
    assert killed > KILLS / 4
