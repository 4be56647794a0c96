"""Putting a case on disk so that it is there whole, or the one before is."""

from __future__ import annotations

import contextlib
import glob
import os
import secrets
import stat
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import yaml

from advisor.rulebook import MAX_BYTES

from .casefile import CaseFile, is_case_id
from .errors import CaseIdError, WriteError


def check_id(case_id: str) -> str:
    """The id itself when it can be a file name of any folder; else CaseIdError."""
    if not is_case_id(case_id):
        raise CaseIdError(case_id)
    return case_id


def case_text(case: CaseFile) -> str:
    """The YAML text of a case: keys plain, every text in double quotes, so nothing is mistaken."""
    return yaml.dump(
        _quoted(case.model_dump(exclude_none=True, exclude_defaults=True)),
        Dumper=_Dumper,
        sort_keys=False,
        allow_unicode=True,
        width=10**6,
    )


def write_case(path: Path, case: CaseFile) -> None:
    """Write the case at `path`: new file, flush, fsync, rename, fsync of the folder.

    Keeps the permissions of the file that was there and follows a symbolic link. Raises WriteError
    when the system refuses; then the old file is whole and no new one is left behind.
    """
    check_id(case.id)
    data = case_text(case).encode("utf-8")
    if len(data) > MAX_BYTES:
        raise WriteError(path, f"it has grown past the {MAX_BYTES} bytes that can be read again")
    write_whole(path, data)


def write_whole(path: Path, data: bytes) -> None:
    """Write any file at `path` as `write_case` does: it is there whole, or the one before is."""
    try:
        replace_whole(Path(os.path.realpath(path)), data)
    except OSError as error:
        raise WriteError.from_system(path, error) from error


def remove_leftovers(path: Path) -> None:
    """Delete half-written files that killed runs left beside the case; call it under the lock."""
    target = Path(os.path.realpath(path))
    for leftover in target.parent.glob(f".{glob.escape(target.name)}.*.new"):
        with contextlib.suppress(OSError):
            leftover.unlink()


def replace_whole(target: Path, data: bytes) -> None:
    """Put a file with this data at `target`, whole or not at all. Raises OSError."""
    new = target.with_name(f".{target.name}.{secrets.token_hex(8)}.new")
    try:
        handle = os.open(new, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o666)
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        with contextlib.suppress(FileNotFoundError):
            new.chmod(stat.S_IMODE(target.stat().st_mode))
        new.replace(target)
    except BaseException:
        with contextlib.suppress(OSError):
            new.unlink(missing_ok=True)
        raise
    _sync_folder(target.parent)


def _sync_folder(folder: Path) -> None:
    if os.name == "nt":
        return  # folders can't be opened there; the rename itself is journalled
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


class _Text(str):
    """A text that is written in double quotes whatever it holds."""

    __slots__ = ()


class _Dumper(getattr(yaml, "CSafeDumper", yaml.SafeDumper)):  # type: ignore[misc]
    def ignore_aliases(self, data: Any) -> bool:
        return True


_Dumper.add_representer(
    _Text, lambda dumper, data: dumper.represent_scalar("tag:yaml.org,2002:str", str(data), '"')
)


def _quoted(data: Any) -> Any:
    if isinstance(data, str):
        return _Text(data)
    if isinstance(data, Mapping):
        return {key: _quoted(value) for key, value in data.items()}
    if isinstance(data, list | tuple):
        return [_quoted(value) for value in data]
    return data
