"""The one complaint of this package, and how it quotes what was typed."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from advisor.driveline.catalog import Function, Parameter

LONGEST_QUOTE: Final = 60


class ComputeError(Exception):
    """What was typed cannot be computed; `str()` is for a person, who can mend it.

    `problems` are all that were found, one line each; `usage` is how to write it.
    """

    def __init__(self, problems: Iterable[str], usage: str) -> None:
        self.problems = tuple(problems)
        self.usage = usage
        super().__init__("\n".join((*self.problems, self.usage)))


def refused(function: Function, *problems: str) -> ComputeError:
    """The error with the usage of that computation."""
    return ComputeError(problems, usage(function))


def usage(function: Function) -> str:
    """How the computation is written, with the dimension of each input for its value."""
    words = [_word(parameter) for parameter in function.parameters]
    return f"usage: advisor compute {function.name} {' '.join(words)}"


def _word(parameter: Parameter) -> str:
    kind = "YES|NO" if parameter.dimension == "yes-no" else parameter.dimension.upper()
    word = f'{parameter.name}="{kind}"'
    return f"[{word}]" if parameter.optional else word


def quote(text: str) -> str:
    """`text` in double quotes, short, and safe to print."""
    cut = text if len(text) <= LONGEST_QUOTE else text[: LONGEST_QUOTE - 3] + "..."
    safe = "".join(c if c.isprintable() else f"<U+{ord(c):04X}>" for c in cut)
    return f'"{safe}"'


def listed(words: Iterable[str], joint: str = "and") -> str:
    """The words as a person lists them: `a`, `a and b`, `a, b and c`."""
    *firsts, last = words
    return f"{', '.join(firsts)} {joint} {last}" if firsts else last
