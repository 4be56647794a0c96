"""Putting a page on disk, without ever writing over anything else than a page."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from advisor.cases import write_whole
from advisor.page.errors import PageError
from advisor.rulebook import open_ordinary, system_reason

MARK: Final = b'<meta name="generator" content="driveline advisor">'
_LOOKED_AT: Final = 2000  # bytes, in which the mark of a page stands


def write_page(path: Path, text: str) -> None:
    """Write the page at `path`: whole, or what was there stays.

    Raises PageError when another file than a page is there, and WriteError when the system refuses.
    """
    try:
        if (path.exists() or path.is_symlink()) and MARK not in _beginning(path):
            raise PageError(
                f"{path} is there already and is no page of this program; choose another name"
            )
    except OSError as error:
        reason = system_reason(error)
        raise PageError(f"{path} cannot be written: {reason}") from error
    write_whole(path, text.encode("utf-8"))


def _beginning(path: Path) -> bytes:
    with open_ordinary(path) as file:
        return file.read(_LOOKED_AT)
