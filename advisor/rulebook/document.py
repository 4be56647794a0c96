"""The data of one file together with the place of every key and value in it."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from .problems import FILE_START, Mark, Problem, Related

Loc = Sequence[str | int]
_LINE_BREAK = re.compile(r"\r\n|\r|\n")


@dataclass(slots=True)
class Node:
    """The place of a value (and of its key, in a mapping), with those of the values inside it."""

    value: Mark
    key: Mark | None = None
    children: dict[str | int, Node] = field(default_factory=dict)


def lines_of(text: str) -> tuple[str, ...]:
    """The lines of a text without their ends."""
    return tuple(_LINE_BREAK.split(text))


@dataclass(frozen=True)
class Document:
    """One file's data, its text, and the places of all data in it.

    `find_positions` tells the places; it is asked only when one is wanted, and once.
    """

    path: str
    data: Any
    text: str
    find_positions: Callable[[], Node]

    @cached_property
    def positions(self) -> Node:
        """The places of the keys and values."""
        return self.find_positions()

    @cached_property
    def lines(self) -> tuple[str, ...]:
        """The text's lines."""
        return lines_of(self.text)

    def position_of(self, loc: Loc, *, key: bool = False) -> Mark:
        """The place of the value at `loc`, or with `key` of its key.

        A step of `loc` that is not in the document is skipped when the steps after it go on from
        the same place (pydantic puts such steps in); otherwise the nearest ancestor is given.
        A mapping or list that is the value of a key is shown at that key.
        """
        node = self.positions
        for step in loc:
            node = node.children.get(step, node)
        if node.key is not None and (key or node.children):
            return node.key
        return node.value

    def problem(
        self,
        at: Mark | Loc,
        code: str,
        message: str,
        hint: str = "",
        related: tuple[Related, ...] = (),
    ) -> Problem:
        """A problem at a mark, or at the place of a value, with its line of text."""
        mark = at if isinstance(at, Mark) else self.position_of(at)
        source = self.lines[mark.line - 1] if mark.line <= len(self.lines) else ""
        return Problem(self.path, *mark, code, message, hint, related, source)

    def related(self, loc: Loc, message: str, *, key: bool = True) -> Related:
        """The place of `loc` as a related place."""
        mark = self.position_of(loc, key=key)
        return Related(self.path, mark.line, mark.column, message)


def file_problem(path: str, code: str, message: str, hint: str = "") -> Problem:
    """A problem with a file as a whole."""
    return Problem(path, *FILE_START, code, message, hint=hint)
