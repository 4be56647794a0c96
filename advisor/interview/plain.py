"""The plain-lines port: for pipes, screen readers, dumb terminals and whoever prefers it."""

from __future__ import annotations

import io
import shutil
import sys
from typing import Final, TextIO

from advisor.layout import NARROWEST, clean, wrap

from .port import Prompt, Tone

LONGEST_LINE: Final = 10_000  # characters kept of a line; no answer is half as long
_MARK = "> "


class PlainPort:
    """Asks and tells on two text streams, by default the standard ones.

    `width` is the number of columns; by default that of the window. A closed output pipe raises
    BrokenPipeError, which is the caller's to handle.
    """

    def __init__(
        self,
        source: TextIO | None = None,
        target: TextIO | None = None,
        *,
        width: int | None = None,
    ) -> None:
        self._source = sys.stdin if source is None else source
        self._target = sys.stdout if target is None else target
        self._width = width
        if isinstance(self._source, io.TextIOWrapper):
            # One byte that is no UTF-8 must not end an interview.
            self._source.reconfigure(errors="replace")

    def ask(self, prompt: Prompt) -> str:
        """The next line of the source; EOFError when there is none."""
        self.tell(f"\n{prompt.text}")
        self._write(_MARK)
        line = rest = self._source.readline(LONGEST_LINE)
        while len(rest) == LONGEST_LINE and not rest.endswith("\n"):
            rest = self._source.readline(LONGEST_LINE)
        if not self._source.isatty():
            self._write("\n")  # nobody's Enter ended the line of the prompt
        if not line:
            raise EOFError
        return line.rstrip("\r\n")

    def tell(self, text: str, tone: Tone = Tone.PLAIN) -> None:
        """Write the text, wrapped if it is no command, with a blank line before a heading."""
        lead = "\n" if tone is Tone.HEADING else ""
        shown = clean(text) if tone is Tone.COMMAND else wrap(clean(text), self.columns)
        self._write(f"{lead}{shown}\n")

    @property
    def columns(self) -> int:
        """The width of the lines written, at least NARROWEST."""
        if self._width is not None:
            return max(self._width, NARROWEST)
        return max(shutil.get_terminal_size().columns, NARROWEST)

    def _write(self, text: str) -> None:
        encoding = getattr(self._target, "encoding", None) or "utf-8"
        self._target.write(text.encode(encoding, "replace").decode(encoding))
        self._target.flush()
