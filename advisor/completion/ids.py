"""The ids that a shell offers, found fast: no rulebook is loaded while someone presses Tab.

The files of a rulebook are scanned for the keys of a section as they are usually written, each on
a line of its own two blanks in. A key written in another way is not offered, and that is all.
"""

from __future__ import annotations

import contextlib
import re
from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path
from typing import Final

from advisor.shipped import shipped

_SECTION: Final = re.compile(r"^([a-z]+):\s*(?:#.*)?$")
_KEY: Final = re.compile(r"^  ([a-z0-9-]+):(?:\s|$)")
_LARGEST_FILE: Final = 2_000_000  # bytes; a rulebook's are far smaller


def _keys(section: str, folder: Path | None) -> list[str]:
    found: list[str] = []
    with contextlib.suppress(OSError):  # a shell is told nothing it could not show
        for path in sorted((folder or shipped()).glob("*.yaml")):
            if not path.is_file() or path.stat().st_size > _LARGEST_FILE:
                continue  # a pipe would be waited at, and a device may never end
            here = ""
            for line in path.read_text(encoding="utf-8", errors="replace").splitlines():
                if head := _SECTION.match(line):
                    here = head[1]
                elif here == section and (key := _KEY.match(line)):
                    found.append(key[1])
    return found


def _functions(folder: Path | None) -> list[str]:
    from advisor.driveline.catalog import FUNCTIONS  # noqa: PLC0415 - the others do without

    return list(FUNCTIONS)


SOURCES: Final[Mapping[str, Callable[[Path | None], list[str]]]] = {
    "causes": partial(_keys, "causes"),
    "functions": _functions,
    "gauges": partial(_keys, "gauges"),
    "questions": partial(_keys, "questions"),
}


def ids_of(source: str, folder: Path | None = None) -> list[str]:
    """The ids of one of SOURCES, of the rulebook in the folder, else of the shipped one.

    Sorted, each once; none where nothing can be read.
    """
    return sorted(set(SOURCES[source](folder)))
