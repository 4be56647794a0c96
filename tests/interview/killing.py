"""A scripted conversation in a process of its own, killed at a seeded moment."""

from __future__ import annotations

import os
import random
import signal
import time
import traceback
import warnings
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from advisor.interview import Port, Prompt, Tone


class Acknowledging:
    """A port that writes each scripted line to a pipe once the program has gone on after it."""

    columns = 80

    def __init__(self, script: Sequence[str], pipe: int) -> None:
        self._lines: Iterator[str] = iter(script)
        self._pipe = pipe
        self._last: str | None = None

    def ask(self, prompt: Prompt) -> str:
        self.acknowledge()
        line = next(self._lines, None)
        if line is None:
            raise EOFError
        self._last = line
        return line

    def acknowledge(self) -> None:
        """Say that the program has gone on after the last line; nothing before the first one."""
        if self._last is not None:
            os.write(self._pipe, f"{self._last}\n".encode())
        self._last = None

    def tell(self, text: str, tone: Tone = Tone.PLAIN) -> None:
        pass


@dataclass(frozen=True, slots=True)
class Ended:
    """How a conversation ended: killed or by itself, and the lines after which it went on."""

    killed: bool
    acknowledged: list[str]
    seconds: float


def talk_in_child(
    talk: Callable[[Port], object], script: Sequence[str], kill_after_s: float | None = None
) -> Ended:
    """Run `talk` in a forked process with a port of the script; kill it after so many seconds."""
    reading, writing = os.pipe()
    start = time.monotonic()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)  # forking beside threads, from 3.12
        pid = os.fork()
    if not pid:
        try:
            port = Acknowledging(script, writing)
            talk(port)
            port.acknowledge()
            os._exit(0)
        except BaseException:  # a child of a test must never return into pytest
            traceback.print_exc()
            os._exit(1)
    os.close(writing)
    if kill_after_s is not None:
        time.sleep(kill_after_s)
        os.kill(pid, signal.SIGKILL)
    with os.fdopen(reading, encoding="utf-8") as pipe:
        lines = pipe.read().split("\n")[:-1]
    status = os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1])
    assert status in {0, -signal.SIGKILL}
    return Ended(status != 0, lines, time.monotonic() - start)


def moments(seed: int, seconds: float) -> Iterator[float]:
    """Seeded moments from the beginning to the end of a conversation."""
    source = random.Random(seed)
    while True:
        yield source.uniform(0.0, seconds)
