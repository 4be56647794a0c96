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
    if not os.path.isdir(folder):
        raise NotADirectoryError(errno.ENOTDIR, "there is no such folder", str(folder))
    return tuple(sorted(n for n in os.listdir(folder) if n.endswith(ENDING) and n[:1] != "."))


def case_paths(folder: Path) -> tuple[Path, ...]:
    """The paths of the case files of a folder, in the order of their names."""
    return tuple(Path(folder) / name for name in case_names(Path(folder)))
