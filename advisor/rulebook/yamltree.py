"""Builds plain data and its tree of positions from the events of a YAML parser.

Events rather than composed nodes: the limits then hold before anything is built, so that no
nesting is deep enough to exhaust the stack and no alias is copied before it is counted.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import yaml

from .document import Document, Node
from .problems import FILE_START, LoadError, Mark, Problem
from .scalars import Refusal, read_plain
from .syntax import syntax_problem

MAX_DEPTH = 40
MAX_NODES = 200_000
MAX_ALIASES = 20
MAX_PROBLEMS = 50  # of one file; more would bury the first

_Loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


def build(page: Document) -> tuple[Any, Node]:
    """Data and positions of the text of `page`. Raises LoadError with all problems found."""
    builder = _Builder(page)
    try:
        builder.run(_Loader(page.text))
    except yaml.YAMLError as error:
        builder.problems.append(syntax_problem(page, error))
    except _StopError:
        pass
    if builder.problems:
        raise LoadError(builder.problems)
    if builder.root is None:
        raise LoadError([page.problem(FILE_START, "empty-file", "the file holds no data")])
    return builder.root.data, builder.root.node


class _StopError(Exception):
    """Reading cannot go on sensibly; the problem has been noted."""


@dataclass(slots=True)
class _Item:
    """A finished value, its positions and how many values it holds, itself included."""

    data: Any
    node: Node
    size: int = 1


@dataclass(slots=True)
class _Open:
    """A mapping or list whose end has not come yet."""

    data: dict[str, Any] | list[Any]
    node: Node
    anchor: str | None
    size: int = 1
    key: str | None = None
    key_mark: Mark | None = None
    lines: dict[str, int] = field(default_factory=dict)

    @property
    def wants_key(self) -> bool:
        return isinstance(self.data, dict) and self.key_mark is None


class _Builder:
    """Turns events into data, noting every refused spelling on the way."""

    def __init__(self, page: Document) -> None:
        self.page = page
        self.problems: list[Problem] = []
        self.root: _Item | None = None
        self.open: list[_Open] = []
        self.anchors: dict[str, _Item | None] = {}
        self.aliases = 0
        self.nodes = 0
        self.documents = 0

    def run(self, loader: Any) -> None:
        take: dict[type, Callable[[Any], None]] = {
            yaml.ScalarEvent: self.scalar,
            yaml.MappingStartEvent: self.start,
            yaml.SequenceStartEvent: self.start,
            yaml.MappingEndEvent: self.end,
            yaml.SequenceEndEvent: self.end,
            yaml.AliasEvent: self.alias,
            yaml.DocumentStartEvent: self.document,
        }
        while (event := loader.get_event()) is not None:
            if (step := take.get(type(event))) is not None:
                step(event)

    def complain(self, mark: Mark, code: str, message: str, hint: str = "") -> None:
        self.problems.append(self.page.problem(mark, code, message, hint))
        if len(self.problems) >= MAX_PROBLEMS:
            raise _StopError

    def document(self, event: Any) -> None:
        self.documents += 1
        if self.documents > 1:
            message = "a second YAML document begins here; a file holds one"
            self.complain(self.mark(event), "several-documents", message, 'delete the line "---"')
            raise _StopError

    def scalar(self, event: Any) -> None:
        mark = self.mark(event)
        if event.tag:
            self.check_tag(event, mark)
        data: Any = event.value
        if event.implicit[0] and not event.style and not event.tag:
            data = read_plain(event.value)
        elif event.style not in ("|", ">") and data == "" and self.wants_key:
            self.complain(mark, "key-not-text", "a key cannot be empty")
        if isinstance(data, Refusal):
            self.refuse(data, mark)
            data = event.value
        self.add(_Item(data, Node(mark)), event.anchor, mark)

    def refuse(self, refusal: Refusal, mark: Mark) -> None:
        """Note a refused spelling; an empty value is shown at its key."""
        at_root = not self.open
        if refusal.code == "empty-value":
            if at_root:
                return self.complain(mark, "empty-file", "the file holds no data")
            key_mark = self.open[-1].key_mark
            if key_mark is not None:
                return self.complain(
                    key_mark, refusal.code, f'"{self.open[-1].key}" has no value', refusal.hint
                )
        return self.complain(mark, *refusal)

    @property
    def wants_key(self) -> bool:
        return bool(self.open) and self.open[-1].wants_key

    def start(self, event: Any) -> None:
        mark = self.mark(event)
        self.check_tag(event, mark)
        if self.wants_key:
            self.complain(mark, "key-not-text", "a key must be text, not a list or mapping")
            raise _StopError
        if len(self.open) >= MAX_DEPTH:
            self.complain(mark, "too-deep", f"values are nested deeper than {MAX_DEPTH} levels")
            raise _StopError
        if event.anchor:
            self.anchors[event.anchor] = None
        data: Any = {} if isinstance(event, yaml.MappingStartEvent) else []
        self.open.append(_Open(data, Node(mark), event.anchor))

    def end(self, _event: Any) -> None:
        done = self.open.pop()
        self.add(_Item(done.data, done.node, done.size), done.anchor, done.node.value)

    def alias(self, event: Any) -> None:
        mark = self.mark(event)
        self.aliases += 1
        target = self.anchors.get(event.anchor)
        if target is None:
            known = event.anchor in self.anchors
            what = "refers to a value that it is part of" if known else "has no anchor before it"
            self.complain(mark, "yaml-alias", f'the alias "*{event.anchor}" {what}')
            raise _StopError
        if self.aliases > MAX_ALIASES:
            message = f"the file has more than {MAX_ALIASES} aliases"
            self.complain(mark, "yaml-alias", message, "write the values out")
            raise _StopError
        copy = Node(target.node.value, None, target.node.children)
        self.add(_Item(target.data, copy, target.size), None, mark)

    def add(self, item: _Item, anchor: str | None, mark: Mark) -> None:
        """Put a finished value into the mapping or list around it."""
        self.nodes += item.size
        if self.nodes > MAX_NODES:
            self.complain(mark, "too-many-values", f"the file holds more than {MAX_NODES} values")
            raise _StopError
        if anchor:
            self.anchors[anchor] = item
        if not self.open:
            self.root = item
            return
        around = self.open[-1]
        around.size += item.size
        if isinstance(around.data, list):
            around.node.children[len(around.data)] = item.node
            around.data.append(item.data)
        elif around.key_mark is None:
            self.take_key(around, item.data, mark)
        else:
            item.node.key = around.key_mark
            if around.key is not None:
                around.data[around.key] = item.data
                around.node.children[around.key] = item.node
            around.key = around.key_mark = None

    def take_key(self, around: _Open, key: Any, mark: Mark) -> None:
        around.key_mark = mark
        around.key = None
        if not isinstance(key, str):
            message = "a key must be text, not a number, true or false"
            self.complain(mark, "key-not-text", message, "put the key into quotes")
        elif key in around.lines:
            message = f'the key "{key}" stands twice; first in line {around.lines[key]}'
            self.complain(mark, "duplicate-key", message, "keep one of them")
        else:
            around.key = key
            around.lines[key] = mark.line

    def check_tag(self, event: Any, mark: Mark) -> None:
        if event.tag:
            shown = str(event.tag).replace("tag:yaml.org,2002:", "!!")
            message = f'the tag "{shown}" is not allowed; values are plain data'
            self.complain(
                mark, "yaml-tag", message, "delete the tag; quote the value to make it text"
            )

    def mark(self, event: Any) -> Mark:
        """The event's place, 1-based (PyYAML starts at 0), cut at the end of its first line."""
        start, end = event.start_mark, event.end_mark
        column = start.column + 1
        if end.line == start.line:
            return Mark(start.line + 1, column, max(end.column + 1, column))
        line = self.page.lines[start.line] if start.line < len(self.page.lines) else ""
        return Mark(start.line + 1, column, max(len(line.rstrip()) + 1, column))
