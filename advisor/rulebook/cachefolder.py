"""The user's folder for what is only kept to be quicker the next time."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path
from typing import Final

VARIABLE: Final = "ADVISOR_CACHE"
PROGRAM: Final = "driveline-advisor"


def cache_folder(environ: Mapping[str, str], part: str) -> Path | None:
    """The folder that ADVISOR_CACHE names (none if empty), or that of this part in the usual place.

    It need not be there yet. None as well for a folder that someone else owns or may write to:
    what lies there could be anyone's. Source of the usual place: XDG Base Directory Specification
    0.8.
    """
    folder = _folder(environ, part)
    return folder if folder is not None and _is_ours(folder) else None


def _folder(environ: Mapping[str, str], part: str) -> Path | None:
    named = environ.get(VARIABLE)
    if named is not None:
        return Path(named) if named else None
    base = Path(environ.get("XDG_CACHE_HOME", ""))
    if base.is_absolute():
        return base / PROGRAM / part
    try:
        return Path.home() / ".cache" / PROGRAM / part
    except RuntimeError:
        return None


def _is_ours(folder: Path) -> bool:
    """Whether the folder is the user's alone to write to; one that is still to be made will be."""
    try:
        found = folder.stat()
    except FileNotFoundError:
        return True
    except OSError:
        return False
    if os.name == "nt":
        return True  # the user's profile is the user's own there, and modes say nothing
    return found.st_uid == os.getuid() and not found.st_mode & 0o022
