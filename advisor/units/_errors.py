"""The one complaint of this package, and how it quotes what was typed."""

from __future__ import annotations

from typing import Final

LONGEST_QUOTE: Final = 40


class UnitError(ValueError):
    """Text that is not a quantity, or not of the dimension asked; `str()` is for a person.

    `text` is all that was typed, `reason` the whole complaint with what to write instead, and
    `position` the index in `text` where the fault is (`len(text)` when something is missing there).
    """

    def __init__(self, text: str, reason: str, position: int) -> None:
        super().__init__(text, reason, position)
        self.text = text
        self.reason = reason
        self.position = position

    def __str__(self) -> str:
        return self.reason


def quoted(text: str) -> str:
    """`text` in double quotes, short, and safe to print."""
    cut = text if len(text) <= LONGEST_QUOTE else text[: LONGEST_QUOTE - 3] + "..."
    safe = "".join(c if c.isprintable() else f"<U+{ord(c):04X}>" for c in cut)
    return f'"{safe}"'


def any_of(names: list[str]) -> str:
    """The names as a person lists them: `mm`, `mm or um`, `mm, um or in`."""
    *firsts, last = names
    return f"{', '.join(firsts)} or {last}" if firsts else last
