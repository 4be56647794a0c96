"""One record for every complaint about a file, and the one place that turns it into text.

Lines and columns start at 1; columns count characters; `end_column` is the column after the
last character complained about.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum
from typing import Any, NamedTuple

from .codes import CODES, LIKELY, WARNINGS


class Severity(Enum):
    """What a problem costs the author: an error stops loading, a warning does not."""

    ERROR = "error"
    WARNING = "warning"


class Mark(NamedTuple):
    """A stretch of text on one line, 1-based; `end_column` is one past its last character."""

    line: int
    column: int
    end_column: int


FILE_START = Mark(1, 1, 1)
LONGEST_SOURCE = 400  # characters shown of a line; a file can be one line of a million
LONGEST_WORDS = 1000  # characters shown of a message, which may quote what was read
_CUT = ".."


@dataclass(frozen=True, slots=True)
class Related:
    """Another place that belongs to a problem, and what is there."""

    path: str
    line: int
    column: int
    message: str

    def __str__(self) -> str:
        return f"{self.path}:{self.line}:{self.column}: {self.message}"


@dataclass(frozen=True, slots=True)
class Problem:
    """One complaint about one place in a file.

    `source` is the text of that line ("" when the file has no such line), `hint` says what to
    write instead. The code is one of `CODES` or `LIKELY`.
    """

    path: str
    line: int
    column: int
    end_column: int
    code: str
    message: str
    hint: str = ""
    related: tuple[Related, ...] = ()
    source: str = ""

    def __post_init__(self) -> None:
        if self.code not in CODES and self.code not in LIKELY:
            raise ValueError(f"problem code {self.code!r} is not in the table of codes")
        if self.line < 1 or self.column < 1 or self.end_column < self.column:
            raise ValueError(f"line and column of a problem start at 1: {self.line}:{self.column}")

    @property
    def severity(self) -> Severity:
        """Each code is always an error or always a warning."""
        return Severity.WARNING if self.code in WARNINGS else Severity.ERROR

    @property
    def order(self) -> tuple[str, int, int, str, str]:
        """Key that sorts problems by file, line, column and code."""
        return (self.path, self.line, self.column, self.code, self.message)

    def __str__(self) -> str:
        head = f"{self.path}:{self.line}:{self.column}: {self.severity.value}[{self.code}]"
        lines = [f"{head}: {_shortened(self.message)}", *self._shown_source()]
        if self.hint:
            lines.append(f"   {_shortened(self.hint)}")
        lines.extend(f"   {place}" for place in self.related)
        return "\n".join(lines)

    def _shown_source(self) -> tuple[str, ...]:
        """The line, or the part of a long one about the place, and the carets under it."""
        if not self.source:
            return ()
        text, column = _part_about(self.source, self.column)
        prefix = f"{self.line:>5} | "
        # Tabs stay tabs, or the caret drifts.
        before = "".join("\t" if character == "\t" else " " for character in text[: column - 1])
        width = max(1, min(self.end_column - self.column, len(text) + 1 - column))
        carets = "^" + "~" * (width - 1)
        return (prefix + text, " " * (len(prefix) - 2) + "| " + before + carets)

    def as_dict(self) -> dict[str, Any]:
        """The problem as plain data for JSON."""
        return {
            "path": self.path,
            "line": self.line,
            "column": self.column,
            "end_column": self.end_column,
            "code": self.code,
            "severity": self.severity.value,
            "message": self.message,
            "hint": self.hint,
            "related": [
                {
                    "path": place.path,
                    "line": place.line,
                    "column": place.column,
                    "message": place.message,
                }
                for place in self.related
            ],
        }


class LoadError(Exception):
    """A file or a rulebook that cannot be used; `problems` says why, in order of place."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(sorted(problems, key=lambda problem: problem.order))
        super().__init__("\n".join(str(problem) for problem in self.problems))

    def __reduce__(self) -> tuple[type[LoadError], tuple[tuple[Problem, ...]]]:
        """How it gets from one process to another: made anew from its problems."""
        return LoadError, (self.problems,)


def _part_about(source: str, column: int) -> tuple[str, int]:
    """The line, or the stretch of a long one that the column lies in, and the column in it."""
    if len(source) <= LONGEST_SOURCE:
        return source, column
    start = max(0, min(column - LONGEST_SOURCE // 2, len(source) - LONGEST_SOURCE))
    end = start + LONGEST_SOURCE
    lead, rest = _CUT if start else "", _CUT if end < len(source) else ""
    return f"{lead}{source[start:end]}{rest}", column - start + len(lead)


def _shortened(words: str) -> str:
    """The words, without the middle of very long ones."""
    if len(words) <= LONGEST_WORDS:
        return words
    return words[: LONGEST_WORDS * 2 // 3] + _CUT + words[-LONGEST_WORDS // 3 :]


def system_reason(error: OSError) -> str:
    """Why the system refused, in its own words, for the middle of a sentence."""
    return (error.strerror or "the system gave no reason").lower()
