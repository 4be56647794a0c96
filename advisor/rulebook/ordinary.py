"""Opening a file to read it, unless it is one that a reader might wait at for ever."""

from __future__ import annotations

import errno
import io
import os
import stat
from pathlib import Path
from typing import Final

NOT_ORDINARY: Final = "it is not an ordinary file"


def open_ordinary(path: Path) -> io.BufferedReader:
    """The file, opened for its bytes. OSError, also for a folder, a pipe or a device.

    A pipe that nobody writes to would never open, and a device may never end.
    """
    mode = path.stat().st_mode
    if stat.S_ISDIR(mode):
        raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR), str(path))
    if not stat.S_ISREG(mode):
        raise OSError(errno.EINVAL, NOT_ORDINARY, str(path))
    return path.open("rb")
