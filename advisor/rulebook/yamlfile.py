"""Strict reading of one YAML file into plain data, with the place of every key and value.

The file is read as YAML 1.2-like plain data: mappings with text keys, lists, text, numbers,
true and false. Everything that two YAML readers could take differently is refused.
"""

from __future__ import annotations

import os
import re
from pathlib import Path

from .datacache import DataCache
from .document import Document, Node, file_problem, lines_of
from .ordinary import open_ordinary
from .problems import FILE_START, LoadError, Mark, Problem
from .yamltree import MAX_PROBLEMS, build

MAX_BYTES = 1024 * 1024

# Besides the C0 and C1 controls: characters that some readers take for a line break, a byte
# order mark inside the text, and the two that YAML forbids.
_CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff]")


def read_yaml(
    path: str | os.PathLike[str], *, max_bytes: int = MAX_BYTES, cache: DataCache | None = None
) -> Document:
    """Read one file. Raises LoadError with every problem that could be found at once.

    With a cache, a text that was read before is not parsed again until a place in it is wanted.
    """
    shown = Path(path).as_posix()
    raw = _read_bytes(Path(path), shown, max_bytes)
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise LoadError([_not_utf_8(raw, error, shown)]) from error
    return parse_yaml(text, shown) if cache is None else _recalled(text, shown, cache)


def parse_yaml(text: str, path: str) -> Document:
    """Read the text of a file; `path` is only shown. Raises LoadError."""
    page = Document(path, {}, text, lambda: Node(FILE_START))
    problems = _character_problems(page)
    if problems:
        raise LoadError(problems)
    data, positions = build(page)
    return Document(path, data, text, lambda: positions)


def _recalled(text: str, path: str, cache: DataCache) -> Document:
    """The document of a text, from the cache if it is there, and from then on."""
    data = cache.recall(text)
    if data is not None:
        return Document(path, data, text, lambda: parse_yaml(text, path).positions)
    document = parse_yaml(text, path)
    cache.remember(text, document.data)
    return document


def _read_bytes(path: Path, shown: str, max_bytes: int) -> bytes:
    try:
        with open_ordinary(path) as file:
            raw = file.read(max_bytes + 1)
    except (OSError, ValueError) as error:
        raise LoadError([_unreadable(shown, _reason(error))]) from error
    if len(raw) > max_bytes:
        message = f"the file is larger than {max_bytes // 1024} KiB, so it was not read"
        hint = "split it into several files, or check that it is the right one"
        raise LoadError([file_problem(shown, "file-too-large", message, hint)])
    return raw


def _reason(error: OSError | ValueError) -> str:
    if isinstance(error, FileNotFoundError):
        return "there is no such file"
    if isinstance(error, IsADirectoryError):
        return "it is a folder, not a file"
    if isinstance(error, OSError) and error.strerror:
        return error.strerror.lower()
    return "its name is not one that a file can have"


def _unreadable(shown: str, reason: str) -> Problem:
    return file_problem(shown, "unreadable-file", f"the file cannot be read: {reason}")


def _not_utf_8(raw: bytes, error: UnicodeDecodeError, shown: str) -> Problem:
    """The first byte that is not UTF-8, by line and column of the readable text before it."""
    lines = lines_of(raw[: error.start].decode("utf-8-sig", errors="replace"))
    column = len(lines[-1]) + 1
    return Problem(
        shown,
        len(lines),
        column,
        column + 1,
        "not-utf-8",
        f"the file is not text in UTF-8: byte {raw[error.start]:#04x} cannot be read here",
        hint="save the file as UTF-8 in your editor",
    )


def _character_problems(page: Document) -> list[Problem]:
    """Tabs (the first of each line) and invisible control characters."""
    tabs: list[Problem] = []
    controls: list[Problem] = []
    if "\t" in page.text:
        for number, line in enumerate(page.lines, 1):
            column = line.find("\t") + 1
            if column and len(tabs) < MAX_PROBLEMS:
                mark = Mark(number, column, column + 1)
                message = "a tab stands here; YAML takes only spaces"
                hint = "replace it by spaces (two a level)"
                tabs.append(page.problem(mark, "tab", message, hint))
    if _CONTROL.search(page.text):
        for number, line in enumerate(page.lines, 1):
            found = _CONTROL.search(line)
            if found and len(controls) < MAX_PROBLEMS:
                mark = Mark(number, found.start() + 1, found.start() + 2)
                message = f"an invisible character (U+{ord(found[0]):04X}) stands here"
                hint = "delete it"
                controls.append(page.problem(mark, "control-character", message, hint))
    return tabs + controls
