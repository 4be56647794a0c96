"""Feeding a target one input, with a limit on its time."""

from __future__ import annotations

import signal
from collections.abc import Iterator
from contextlib import contextmanager

from .targets import TARGETS

MOST_SECONDS = 2.0


class HangError(Exception):
    """An input took longer than it may."""


@contextmanager
def limited(seconds: float = MOST_SECONDS) -> Iterator[None]:
    """Raises HangError when the work takes more process time than this (not on Windows)."""
    if not hasattr(signal, "setitimer"):
        yield
        return

    def stop(_number: int, _frame: object) -> None:
        raise HangError(f"more than {seconds:g} s")

    before = signal.signal(signal.SIGVTALRM, stop)
    signal.setitimer(signal.ITIMER_VIRTUAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_VIRTUAL, 0.0)
        signal.signal(signal.SIGVTALRM, before)


def feed(target: str, data: bytes) -> None:
    """Give the target the input; whatever comes out of this is a finding."""
    with limited():
        TARGETS[target](data)
