"""A bar on the terminal that says how far the cases are."""

from __future__ import annotations

import shutil
from typing import TextIO

_BAR = 24  # columns at most


class ProgressBar:
    """Draws one line over and over; nothing at all where the stream is no terminal."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream if stream.isatty() else None
        self._shown = ""

    def __call__(self, done: int, whole: int) -> None:
        """Show that so many cases of the whole number are done."""
        if self._stream is None or whole == 0:
            return
        line = bar(done, whole, shutil.get_terminal_size().columns)
        if line != self._shown:
            self._draw(line)

    def clear(self) -> None:
        """Take the line off the screen, for what is printed next."""
        if self._shown:
            self._draw("")

    def _draw(self, line: str) -> None:
        assert self._stream is not None
        self._stream.write(f"\r{line.ljust(len(self._shown))}\r{line}")
        self._stream.flush()
        self._shown = line


def bar(done: int, whole: int, columns: int) -> str:
    """The line, shorter than `columns`: "[######      ] 120 of 400 cases"."""
    words = f"{done} of {whole} cases"
    room = min(_BAR, columns - len(words) - 4)
    if room < 4:
        return words[: max(0, columns - 1)]
    full = room * done // whole
    return f"[{'#' * full}{' ' * (room - full)}] {words}"
