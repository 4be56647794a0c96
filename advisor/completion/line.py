"""What the line that is being completed says so far, as a shell has split it into words."""

from __future__ import annotations

import shlex
from collections.abc import Sequence
from pathlib import Path

_OPTION = "--rulebook"


def rulebook_on(line: Sequence[str]) -> Path | None:
    """The folder that --rulebook names, of several the last; None where it names none.

    bash splits "--rulebook=FOLDER" at the equals sign and leaves quotes and "~" as they were typed.
    """
    found = None
    for place, word in enumerate(line):
        option, equals, value = word.partition("=")
        if option != _OPTION:
            continue
        if not equals:
            behind = [one for one in line[place + 1 : place + 3] if one != "="]
            value = behind[0] if behind else ""
        if value:
            found = Path(_unquoted(value)).expanduser()
    return found


def _unquoted(word: str) -> str:
    """A word without its quotes; one that has none may hold blanks and stays as it is."""
    try:
        parts = shlex.split(word)
    except ValueError:
        return word
    return parts[0] if len(parts) == 1 else word
