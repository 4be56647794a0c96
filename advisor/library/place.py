"""Where the index of a library lies."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Mapping
from pathlib import Path
from typing import Final

from advisor.rulebook import cache_folder, open_ordinary, system_reason

from .errors import LibraryError

PART: Final = "library"
APPLICATION: Final = 0x44524C43  # marks our own index among files of SQLite
_MAGIC: Final = b"SQLite format 3\x00"
_MARK_AT: Final = 68  # byte of the mark. Source: SQLite, "Database File Format", 1.3


def index_path(folder: Path, given: Path | None, environ: Mapping[str, str]) -> Path | None:
    """The file given, else one in the user's cache, named by the folder; None if there is none.

    Raises LibraryError for a file given that is something else, since it would be overwritten.
    """
    if given is not None:
        _refuse_foreign(given)
        return given
    place = cache_folder(environ, PART)
    if place is None:
        return None
    whole = os.fsencode(os.path.realpath(folder))
    return place / f"{hashlib.sha256(whole).hexdigest()}.sqlite"


def is_index(head: bytes) -> bool:
    """Whether a file that begins with these 100 bytes is an index of ours, damaged or not."""
    return head.startswith(_MAGIC) and head[_MARK_AT : _MARK_AT + 4] == APPLICATION.to_bytes(4)


def _refuse_foreign(path: Path) -> None:
    try:
        with open_ordinary(path) as file:
            head = file.read(100)
    except FileNotFoundError:
        if path.is_symlink():
            raise LibraryError(f"{path}: it leads to no file; name the index itself") from None
        return
    except OSError as error:
        reason = system_reason(error)
        raise LibraryError(f"{path}: the index cannot be read: {reason}") from error
    if head and not is_index(head):
        raise LibraryError(f"{path}: this is no index of cases; name another file, or a new one")
