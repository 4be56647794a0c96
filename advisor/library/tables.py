"""The tables of an index, and opening one: what is not as it should be is begun anew."""

from __future__ import annotations

import contextlib
import os
import sqlite3
import zlib
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Final, TypeVar

from advisor import __version__

from .place import APPLICATION

PATIENCE_SECONDS: Final = 10.0  # of waiting for another program that writes
T = TypeVar("T")
_PACKAGES = ("cases", "engine", "driveline", "library", "rulebook", "units")
# What hinders the use of an index and says nothing against it.
_FROM_OUTSIDE: Final = {
    *(sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED, sqlite3.SQLITE_PERM, sqlite3.SQLITE_READONLY),
    *(sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR, sqlite3.SQLITE_NOMEM),
}
_TABLES = """
CREATE TABLE made_for (folder TEXT NOT NULL, program TEXT NOT NULL);
CREATE TABLE files (
    name TEXT PRIMARY KEY, size INTEGER NOT NULL, mtime_ns INTEGER NOT NULL,
    digest TEXT NOT NULL, settled INTEGER NOT NULL, problems TEXT
) WITHOUT ROWID;
CREATE TABLE cases (
    name TEXT PRIMARY KEY, closed INTEGER NOT NULL, began TEXT, words TEXT NOT NULL
) WITHOUT ROWID;
CREATE TABLE contents (name TEXT PRIMARY KEY, data TEXT NOT NULL) WITHOUT ROWID;
CREATE TABLE answers (
    name TEXT NOT NULL, question TEXT NOT NULL, answer TEXT NOT NULL, PRIMARY KEY (name, question)
) WITHOUT ROWID;
CREATE INDEX by_answer ON answers (question, answer);
CREATE TABLE weighed (
    name TEXT NOT NULL, rulebook TEXT NOT NULL, data TEXT NOT NULL, PRIMARY KEY (name, rulebook)
) WITHOUT ROWID;
"""


def with_index(path: Path | None, folder: Path, work: Callable[[sqlite3.Connection], T]) -> T:
    """What `work` makes of the index of a folder; it may be called again with an empty one.

    A damaged or foreign index is made anew; where none can be kept, it is in memory for this time.
    """
    for _ in range(2 if path is not None else 0):
        assert path is not None
        try:
            with contextlib.closing(_opened(path, folder)) as connection:
                return work(connection)
        except (sqlite3.Error, ValueError, TypeError, LookupError) as error:
            # What is wrong with the program, and not with its index, comes again without one.
            code = getattr(error, "sqlite_errorcode", sqlite3.SQLITE_CORRUPT)
            if code & 0xFF in _FROM_OUTSIDE or not _discarded(path):
                break
        except OSError:
            break
    with contextlib.closing(_in_memory(folder)) as connection:
        return work(connection)


def sealed(text: str) -> str:
    """The text as the index keeps it, with a check sum that tells when the disk has changed it."""
    return f"{zlib.crc32(text.encode('utf-8', 'surrogatepass')):08x} {text}"


def unsealed(kept: object) -> str:
    """The text that was sealed. Raises ValueError for anything else."""
    if not isinstance(kept, str) or sealed(text := kept[9:]) != kept:
        raise ValueError("damaged")
    return text


def _opened(path: Path, folder: Path) -> sqlite3.Connection:
    """The index in this file, for its owner alone; empty when it was made for something else."""
    if not path.exists():
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        with contextlib.suppress(FileExistsError):
            os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
    connection = sqlite3.connect(path, timeout=PATIENCE_SECONDS)
    try:
        if not _fits(connection, folder):
            _make(connection, folder)
    except BaseException:
        connection.close()
        raise
    return connection


def _in_memory(folder: Path) -> sqlite3.Connection:
    connection = sqlite3.connect(":memory:")
    _make(connection, folder)
    return connection


def _fits(connection: sqlite3.Connection, folder: Path) -> bool:
    (mark,) = connection.execute("PRAGMA application_id").fetchone()
    if mark != APPLICATION:
        return False  # and the tables, if any, are not ours
    made_for = connection.execute("SELECT folder, program FROM made_for").fetchall()
    return made_for == [(_named(folder), program_mark())]


def _make(connection: sqlite3.Connection, folder: Path) -> None:
    """Begin the index anew, unless another program has just done so."""
    connection.execute("BEGIN IMMEDIATE")
    with connection:
        if _fits(connection, folder):
            return
        known = connection.execute(
            "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'"
        ).fetchall()
        for (table,) in known:
            connection.execute('DROP TABLE "{}"'.format(table.replace('"', '""')))
        for statement in _TABLES.strip().split(";\n"):
            connection.execute(statement)
        connection.execute("INSERT INTO made_for VALUES (?, ?)", (_named(folder), program_mark()))
        connection.execute(f"PRAGMA application_id = {APPLICATION}")


def _named(folder: Path) -> str:
    return os.fsencode(os.path.realpath(folder)).decode("utf-8", "backslashreplace")


@cache
def program_mark() -> str:
    """What fills an index: the version, and when its modules were last changed."""
    here = Path(__file__).parent.parent
    changed = max(
        file.stat().st_mtime_ns for part in _PACKAGES for file in (here / part).glob("*.py")
    )
    return f"{__version__} {changed}"


def _discarded(path: Path) -> bool:
    try:
        path.unlink(missing_ok=True)
        path.with_name(f"{path.name}-journal").unlink(missing_ok=True)
    except OSError:
        return False
    return True
