"""Keeping an index in step with its folder: what changed is read again, and nothing else."""

from __future__ import annotations

import hashlib
import os
import sqlite3
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from advisor.cases.folder import case_names
from advisor.rulebook import file_problem, system_reason

from .entry import Entry, began, free_words, problems_as_text, read_entry, searchable
from .errors import LibraryError
from .tables import sealed

SETTLED_NS: Final = 2_000_000_000  # coarsest step of a file's time on common disks, in ns
Tell = Callable[[str, int], None]  # what is being done to how many files
Stamp = tuple[int, int]  # size in bytes, time of the last change in ns


@dataclass(frozen=True, slots=True)
class Filed:
    """How many files were read into the index, found to be the same, and dropped from it."""

    read: int = 0
    same: int = 0
    gone: int = 0


@dataclass(frozen=True, slots=True)
class _Known:
    stamp: Stamp
    digest: str
    settled: bool


def bring_up_to_date(
    connection: sqlite3.Connection,
    folder: Path,
    *,
    clock_ns: Callable[[], int] = time.time_ns,
    tell: Tell = lambda doing, count: None,
) -> Filed:
    """Read what is new or changed, drop what is gone. `tell` hears first how many there are.

    A file counts as unchanged when size and time of change are; one that was changed just before
    it was read might change again within the same tick of the clock, so its content is compared
    until it has settled. Raises LibraryError when the folder can't be listed.
    """
    stamps = _stamps(folder)
    known = {
        name: _Known((size, mtime), digest, bool(settled))
        for name, size, mtime, digest, settled in connection.execute(
            "SELECT name, size, mtime_ns, digest, settled FROM files"
        )
    }
    gone = [(name,) for name in known.keys() - stamps.keys()]
    stale = [
        name
        for name, stamp in stamps.items()
        if name not in known or known[name].stamp != stamp or not known[name].settled
    ]
    if not gone and not stale:
        return Filed()
    tell("reading", len(stale))
    looks = [_look(folder, name, known.get(name), clock_ns) for name in stale]
    fresh = [look for look in looks if look.entry is not None]
    with connection:
        left = [*gone, *((look.name,) for look in fresh)]
        for table in ("files", "cases", "contents", "answers", "weighed"):
            connection.executemany(f"DELETE FROM {table} WHERE name = ?", left)
        connection.executemany(
            "UPDATE files SET size = ?, mtime_ns = ?, settled = ? WHERE name = ?",
            [(*look.stamp, look.settled, look.name) for look in looks if look.entry is None],
        )
        for look in fresh:
            _keep(connection, look)
    return Filed(len(fresh), len(looks) - len(fresh), len(gone))


def unnameable(folder: Path) -> tuple[Entry, ...]:
    """The files whose names are no text, and so can't be cases."""
    return tuple(
        Entry(name, None, (file_problem(shown, "unreadable-file", _NO_TEXT, "rename it"),))
        for name in _names(folder)
        if not _is_text(name)
        for shown in [ascii((folder / name).as_posix())[1:-1]]
    )


_NO_TEXT: Final = "the file's name is not text in UTF-8, so it was not read"


@dataclass(frozen=True, slots=True)
class _Look:
    """A file as it was found; without an entry its content is what the index has."""

    name: str
    stamp: Stamp
    digest: str
    settled: bool
    entry: Entry | None


def _look(folder: Path, name: str, known: _Known | None, clock_ns: Callable[[], int]) -> _Look:
    path, now = folder / name, clock_ns()
    before, digest = _stamp(path), _digest(path)
    settled = before[1] < now - SETTLED_NS
    if known is not None and digest and known.digest == digest:
        return _Look(name, before, digest, settled, None)
    entry = read_entry(folder, name)
    if not digest or _stamp(path) != before:  # it changed under our eyes
        return _Look(name, before, "", False, entry)
    return _Look(name, before, digest, settled, entry)


def _keep(connection: sqlite3.Connection, look: _Look) -> None:
    """Put what a file holds into the tables; another program may have done so just now."""
    name, entry = look.name, look.entry
    assert entry is not None
    case = entry.case
    problems = sealed(problems_as_text(entry.problems)) if entry.problems else None
    file = (name, *look.stamp, look.digest, look.settled, problems)
    connection.execute("INSERT OR REPLACE INTO files VALUES (?, ?, ?, ?, ?, ?)", file)
    if case is None:
        return
    short = (name, case.outcome is not None, began(case), searchable(free_words(case)))
    connection.execute("INSERT OR REPLACE INTO cases VALUES (?, ?, ?, ?)", short)
    data = case.model_dump_json(exclude_none=True, exclude_defaults=True)
    connection.execute("INSERT OR REPLACE INTO contents VALUES (?, ?)", (name, sealed(data)))
    connection.executemany(
        "INSERT OR REPLACE INTO answers VALUES (?, ?, ?)",
        [(name, question, answer) for question, answer in case.latest().items()],
    )


def _names(folder: Path) -> tuple[str, ...]:
    try:
        return case_names(folder)
    except OSError as error:
        reason = system_reason(error)
        raise LibraryError(f"{folder}: the library of cases cannot be read: {reason}") from error


def _stamps(folder: Path) -> dict[str, Stamp]:
    start = os.path.join(folder, "")  # noqa: PTH118 - there may be thousands, at each use
    return {name: _stamp(start + name) for name in _names(folder) if _is_text(name)}


def _stamp(path: str | Path) -> Stamp:
    """Size and time of change; zeros for what can't be looked at, such as a broken link."""
    try:
        found = os.stat(path)  # noqa: PTH116 - as above
    except OSError:
        return 0, 0
    return found.st_size, found.st_mtime_ns


def _digest(path: Path) -> str:
    """The SHA-256 of the content; "" when it is no file to read, and then the reader says why."""
    try:
        if not path.is_file():
            return ""
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except OSError:
        return ""


def _is_text(name: str) -> bool:
    try:
        name.encode("utf-8")
    except UnicodeEncodeError:
        return False
    return True
