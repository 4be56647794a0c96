"""Putting a case on disk so that it is there whole, or the one before is."""

from __future__ import annotations

import contextlib
import errno
import glob
import itertools
import os
import re
import secrets
import stat
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import yaml
from pydantic import BaseModel

from advisor.rulebook import MAX_BYTES, open_ordinary

from .casefile import CaseFile, is_case_id
from .errors import CaseIdError, WriteError

_MOST_SET_ASIDE = 100
_CANNOT_SYNC_FOLDERS = {errno.EINVAL, errno.ENOTSUP, errno.ENOSYS, errno.EBADF}  # over a network


def check_id(case_id: str) -> str:
    """The id itself when it can be a file name of any folder; else CaseIdError."""
    if not is_case_id(case_id):
        raise CaseIdError(case_id)
    return case_id


def case_text(case: CaseFile) -> str:
    """The YAML text of a case."""
    return record_text(case)


def record_text(record: BaseModel) -> str:
    """A record as YAML: keys plain, every text in double quotes, so nothing is mistaken."""
    return yaml.dump(
        _quoted(record.model_dump(exclude_none=True, exclude_defaults=True)),
        Dumper=_Dumper,
        sort_keys=False,
        allow_unicode=True,
        width=10**6,
    )


def write_case(path: Path, case: CaseFile) -> str:
    """Write the case at `path`: new file, flush, fsync, rename, fsync of the folder; the text.

    Keeps the comments before the first key and the permissions of the file that was there, and
    follows a symbolic link. Raises WriteError when the system refuses; then the old file is whole
    and no new one is left behind.
    """
    check_id(case.id)
    return write_record(path, case)


def write_record(path: Path, record: BaseModel) -> str:
    """Write any record at `path` as `write_case` writes a case; raises WriteError."""
    text = _leading_comments(path) + record_text(record)
    data = text.encode("utf-8")
    if len(data) > MAX_BYTES:
        raise WriteError(path, f"it has grown past the {MAX_BYTES} bytes that can be read again")
    write_whole(path, data)
    return text


def text_on_disk(path: Path) -> str | None:
    """The text of the file, without a byte order mark; None when it is not there to be read."""
    try:
        with open_ordinary(path) as file:
            return file.read(MAX_BYTES + 1).decode("utf-8-sig", errors="replace")
    except OSError:
        return None


def set_aside(path: Path, case: CaseFile) -> Path | None:
    """Write the case beside `path` under a name that is free; None when the system refuses.

    No case is read from such a name by itself.
    """
    for number in range(1, _MOST_SET_ASIDE + 1):
        kept = path.with_name(f"{path.name}.unsaved{'' if number == 1 else f'-{number}'}")
        try:
            file = kept.open("x", encoding="utf-8", newline="\n")
        except FileExistsError:
            continue
        except OSError:
            return None
        try:
            with file:
                file.write(case_text(case))
                file.flush()
                os.fsync(file.fileno())
        except OSError:
            with contextlib.suppress(OSError):
                kept.unlink()
            return None
        return kept
    return None


def write_whole(path: Path, data: bytes, *, mode: int | None = None) -> None:
    """Write any file at `path` as `write_case` does: it is there whole, or the one before is.

    `mode` are permissions to have instead of those of the file that was there.
    """
    try:
        replace_file(path, data, mode=mode)
    except OSError as error:
        raise WriteError.from_system(path, error) from error


def remove_leftovers(path: Path) -> None:
    """Delete half-written files that killed runs left beside the case; call it under the lock."""
    target = Path(os.path.realpath(path))
    for leftover in target.parent.glob(f".{glob.escape(target.name)}.*.new"):
        with contextlib.suppress(OSError):
            leftover.unlink()


def _leading_comments(path: Path) -> str:
    """The comments at the head of the file that is there, such as the one that names its schema."""
    is_comment = re.compile(r"[ ]*(#.*)?")
    lines = itertools.takewhile(is_comment.fullmatch, (text_on_disk(path) or "").splitlines())
    kept = "\n".join(lines).strip("\n")
    return f"{kept}\n" if kept else ""


def replace_file(path: Path, data: bytes, *, mode: int | None = None) -> None:
    """Put the data at `path` whole, or leave what was there; OSError when the system refuses.

    A new file is flushed and renamed, so that a crash leaves one of the two.
    """
    target = Path(os.path.realpath(path))
    new = target.with_name(f".{target.name}.{secrets.token_hex(8)}.new")
    try:
        handle = os.open(new, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o666 if mode is None else mode)
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        with contextlib.suppress(FileNotFoundError):
            new.chmod(stat.S_IMODE(target.stat().st_mode) if mode is None else mode)
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
    except OSError as error:
        if error.errno not in _CANNOT_SYNC_FOLDERS:
            raise
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
