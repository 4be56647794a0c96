"""What keeps a traceback from the user: streams that can't fail, and details kept in a file.

And what lets the program be ended from outside without leaving things about.
"""

from __future__ import annotations

import contextlib
import io
import os
import signal
import sys
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import NoReturn, TextIO


def make_streams_safe() -> None:
    """Make the standard streams usable: open ones in place of closed, no sign too strange."""
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        stream: TextIO | None = getattr(sys, name)
        if stream is None:  # closed by whoever started the program
            nowhere = Path(os.devnull).open(mode, encoding="utf-8")  # noqa: SIM115 - open to the end
            setattr(sys, name, nowhere)
        elif mode == "w" and isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")  # a sign that the terminal lacks is no failure


@contextlib.contextmanager
def tidy_end() -> Iterator[None]:
    """End by SIGTERM and SIGHUP as by an error: locks are let go and what is half-done is undone.

    The second one ends the program at once. One that is ignored, as under nohup, stays so. The
    exit status is what a shell makes of the signal, 128 and its number.
    """

    def end(number: int, _frame: object) -> NoReturn:
        signal.signal(number, signal.SIG_DFL)
        raise SystemExit(128 + number)

    taken = []
    if threading.current_thread() is threading.main_thread():
        known = (getattr(signal, name, None) for name in ("SIGTERM", "SIGHUP"))
        taken = [one for one in known if one and signal.getsignal(one) is signal.SIG_DFL]
    for number in taken:
        signal.signal(number, end)
    try:
        yield
    finally:
        for number in taken:
            signal.signal(number, signal.SIG_DFL)


def silence(stream: TextIO) -> None:
    """Let go of what can't be written; else Python complains once more when it closes the stream.

    A stream in memory has no file to write to, and stays as it is.
    """
    with contextlib.suppress(OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, stream.fileno())
        os.close(nowhere)


def how_to_report(error: Exception) -> str:
    """Write the details of an error that nobody foresaw into a file; how to report them."""
    import tempfile  # noqa: PLC0415 - seldom needed
    import traceback  # noqa: PLC0415 - seldom needed

    try:
        with tempfile.NamedTemporaryFile(
            "w", prefix="advisor-error-", suffix=".txt", delete=False, encoding="utf-8"
        ) as file:
            traceback.print_exception(error, file=file)
    except OSError:
        *_, place = traceback.extract_tb(error.__traceback__)
        return f'with these words: "{error}" in {Path(place.filename).name}, line {place.lineno}'
    return f"with the file {file.name}"
