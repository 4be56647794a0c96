"""A folder of case files: which files of it are cases."""

from __future__ import annotations

import errno
from pathlib import Path

CASE_FILES = "*.yaml"


def case_paths(folder: Path) -> tuple[Path, ...]:
    """The case files that lie in the folder itself, sorted by name; hidden files are none.

    Sub-folders hold other things, such as a stock. OSError when the folder can't be listed.
    """
    folder = Path(folder)
    if not folder.is_dir():
        raise NotADirectoryError(errno.ENOTDIR, "there is no such folder", str(folder))
    return tuple(sorted(path for path in folder.glob(CASE_FILES) if path.name[:1] != "."))
