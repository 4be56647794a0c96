"""The plain data of YAML files read before, so that an unchanged rulebook loads in less time.

An entry is named by the SHA-256 of the file's text and of what reads it, so a changed file or
program never meets an old entry. It holds JSON, which can carry data and nothing that runs, after
its own SHA-256. Only text that was read without a problem is remembered; whatever is wrong with
an entry or its folder makes it as good as absent.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import re
import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Final

from advisor import __version__

from .cachefolder import cache_folder

PART: Final = "rulebooks"
MOST_ENTRIES = 500  # the oldest go when there are more
_READERS = ("yamlfile.py", "yamltree.py", "scalars.py")
_ENDING = ".json"
_ENTRY = re.compile(r"[0-9a-f]{64}\.json")
_UNFINISHED = re.compile(r"\.[0-9a-f]{16}\.new")


@dataclass(frozen=True, slots=True)
class DataCache:
    """Entries in one folder, which is made when first needed."""

    folder: Path

    def recall(self, text: str) -> Any:
        """The data of this text, or None when it is not remembered (no YAML file holds None)."""
        try:
            raw = self._entry(text).read_bytes()
        except OSError:
            return None
        digest, _, body = raw.partition(b"\n")
        if hashlib.sha256(body).hexdigest().encode("ascii") != digest:
            return None
        try:
            return json.loads(body)
        except (ValueError, RecursionError):
            return None

    def remember(self, text: str, data: Any) -> None:
        """Keep the data of this text; a folder that can't be written to is no fault."""
        body = json.dumps(data, separators=(",", ":")).encode("ascii")
        digest = hashlib.sha256(body).hexdigest().encode("ascii")
        entry = self._entry(text)
        new = entry.with_name(f".{secrets.token_hex(8)}.new")
        with contextlib.suppress(OSError):
            self.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            try:
                new.write_bytes(digest + b"\n" + body)
                new.replace(entry)
            except OSError:
                new.unlink(missing_ok=True)
                raise
            self._forget_oldest()

    def _entry(self, text: str) -> Path:
        name = hashlib.sha256(text.encode("utf-8", "surrogatepass"))
        name.update(_reader().encode("ascii"))
        return self.folder / f"{name.hexdigest()}{_ENDING}"

    def _forget_oldest(self) -> None:
        """Keep the newest; the user may have named a folder that holds other files, too."""
        entries = [
            path
            for path in self.folder.iterdir()
            if _ENTRY.fullmatch(path.name) or _UNFINISHED.fullmatch(path.name)
        ]
        if len(entries) > MOST_ENTRIES:
            entries.sort(key=lambda path: path.stat().st_mtime_ns)
            for path in entries[: len(entries) - MOST_ENTRIES]:
                path.unlink(missing_ok=True)


@cache
def _reader() -> str:
    """What reads the files: the version, and when its modules were last changed."""
    here = Path(__file__)
    changed = (here.with_name(name).stat().st_mtime_ns for name in _READERS)
    return " ".join([__version__, *map(str, changed)])


def usual_cache(environ: Mapping[str, str]) -> DataCache | None:
    """The user's cache, or None where there is no folder for it, see `cache_folder`."""
    folder = cache_folder(environ, PART)
    return None if folder is None else DataCache(folder)
