"""What the verbs share on the way out: results on standard output, messages on standard error."""

from __future__ import annotations

import json
import sys
from typing import Any

from advisor.lastresort import silence

DONE, FOUND, WRONG, INTERRUPTED = 0, 1, 2, 130
PLAIN_WIDTH = 100  # columns where the output is no terminal


class WrongUse(Exception):  # noqa: N818 - the words on the command line, not an error of ours
    """Words on the command line that mean nothing here; the text says which and what would."""


def show(text: str) -> None:
    """Print text wrapped to the window, or to a fixed width where there is none."""
    from advisor.layout import clean, wrap

    print(wrap(clean(text), width()))


def show_json(data: Any) -> None:
    """Print JSON in ASCII: no window is steered by it, and no encoding loses a sign of it."""
    print(json.dumps(data, indent=2, allow_nan=False))


def width() -> int:
    import shutil

    return shutil.get_terminal_size().columns if sys.stdout.isatty() else PLAIN_WIDTH


def say(message: str) -> None:
    """Print a message on standard error; it may quote text from files and from the command line."""
    from advisor.layout import clean

    try:
        print(clean(message), file=sys.stderr)
    except OSError:  # nobody can be told any more, and the exit status still speaks
        silence(sys.stderr)


def show_progress(done: int, whole: int) -> None:
    """Tell on standard error how far a long work is, where a person is watching."""
    if sys.stderr.isatty():
        end = "\n" if done == whole else ""
        print(f"\rvehicle {done} of {whole}", end=end, file=sys.stderr, flush=True)
