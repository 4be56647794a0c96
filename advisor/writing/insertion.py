"""Puts a record into the text of a file, and leaves every other byte of it as it was."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from advisor.rulebook import Document, LoadError, parse_yaml

from .yamltext import record_text

_BYTE_ORDER_MARK = "\ufeff"
_LINE = re.compile(r"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+")


class CannotInsertError(Exception):
    """The file is laid out so that a record can't be put in without changing the rest of it."""

    def __init__(self, path: str, section: str) -> None:
        super().__init__(
            f'{path}: its layout leaves no place for another record in "{section}"; '
            "choose another file, or a new one"
        )


def with_record(text: str, path: str, section: str, name: str, record: Mapping[str, Any]) -> str:
    """The text with the record at the end of the section, which is made where there is none.

    `path` is only shown. Raises CannotInsertError, and LoadError for a file that is no YAML.
    """
    if text.startswith(_BYTE_ORDER_MARK):
        return _BYTE_ORDER_MARK + with_record(text[1:], path, section, name, record)
    before = _data(text, path)
    if not isinstance(before.data, dict):
        raise CannotInsertError(path, section)
    lines = _LINE.findall(text)
    ends = "\r\n" if any(line.endswith("\r\n") for line in lines) else "\n"
    if section in before.data:
        at, indent, apart = _end_of(before, lines, section)
        block = record_text(name, record, indent)
    else:
        at, apart = len(lines), any(not line.strip() for line in lines)
        block = f"{section}:\n{record_text(name, record)}"
    block = block.replace("\n", ends)
    if at and apart:
        block = ends + block
    if at and not lines[at - 1].endswith(("\r", "\n")):
        block = ends + block.removesuffix(ends)
    after = "".join([*lines[:at], block, *lines[at:]])
    if not _is_only_more(before.data, after, section, name, record):
        raise CannotInsertError(path, section)
    return after


def _data(text: str, path: str) -> Document:
    """The file as read; one without any data is an empty mapping."""
    has_data = any(line.strip() and not line.lstrip().startswith("#") for line in text.split("\n"))
    return parse_yaml(text if has_data else "{}\n", path)


def _end_of(document: Document, lines: list[str], section: str) -> tuple[int, str, bool]:
    """How many lines stand before a new last record, its indent, and whether records stand apart.

    Comments without an indent before the next section belong to that one.
    """
    tops = document.positions.children
    start = _key_line(tops[section])
    following = [_key_line(node) for node in tops.values() if _key_line(node) > start]
    at = min(following) - 1 if following else len(lines)
    while at > start and (not lines[at - 1].strip() or lines[at - 1].startswith("#")):
        at -= 1
    records = [node.key for node in tops[section].children.values() if node.key is not None]
    if not records or records[-1].line == start:
        raise CannotInsertError(document.path, section)  # {...} on the line of its key
    before_last = lines[records[-1].line - 2].strip()
    return at, " " * (records[0].column - 1), not before_last


def _key_line(node: Any) -> int:
    return int(node.key.line)


def _is_only_more(
    before: dict[str, Any], after: str, section: str, name: str, record: Mapping[str, Any]
) -> bool:
    """Whether the new text says all that the old one did, in order, and the record besides."""
    try:
        data = parse_yaml(after, "").data
    except LoadError:
        return False
    wanted = {**before, section: {**before.get(section, {}), name: dict(record)}}
    return bool(data == wanted) and _order(data) == _order(wanted)


def _order(data: dict[str, Any]) -> list[tuple[str, list[str]]]:
    """The keys of the file in their order, each with those of its records."""
    return [(one, list(in_it) if isinstance(in_it, dict) else []) for one, in_it in data.items()]
