"""A folder of case files: which files of it are cases."""

from __future__ import annotations

import errno
import os
from pathlib import Path
from typing import Final

ENDING: Final = ".yaml"


def case_names(folder: Path) -> tuple[str, ...]:
    """The names of the case files that lie in the folder itself, sorted; hidden files are none.

    Sub-folders hold other things, such as a stock. OSError when the folder can't be listed.
    """
    folder = Path(folder)
    if not folder.is_dir():
        raise NotADirectoryError(errno.ENOTDIR, "there is no such folder", str(folder))
    names = os.listdir(folder)  # noqa: PTH208 - there may be thousands, and names are all we need
    return tuple(sorted(name for name in names if name.endswith(ENDING) and name[:1] != "."))


def case_paths(folder: Path) -> tuple[Path, ...]:
    """The paths of the case files of a folder, in the order of their names."""
    return tuple(Path(folder) / name for name in case_names(folder))
