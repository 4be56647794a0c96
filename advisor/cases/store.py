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
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import yaml
from pydantic import BaseModel

from advisor.rulebook import MAX_BYTES, open_ordinary

from .casefile import CaseFile, is_case_id
from .errors import CaseIdError, WriteError

Check = Callable[[], object]
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


def write_case(
    path: Path, case: CaseFile, *, fresh: bool = False, check: Check | None = None
) -> str:
    """Write the case at `path`: new file, flush, fsync, rename, fsync of the folder; the text.

    Keeps the comments before the first key and the permissions of the file that was there, and
    follows a symbolic link. Raises WriteError when the system refuses; then the old file is whole
    and no new one is left behind. For `fresh` and `check`, see `replace_file`.
    """
    check_id(case.id)
    return write_record(path, case, fresh=fresh, check=check)


def write_record(
    path: Path, record: BaseModel, *, fresh: bool = False, check: Check | None = None
) -> str:
    """Write any record at `path` as `write_case` writes a case; raises what that raises."""
    text = _leading_comments(path) + record_text(record)
    data = text.encode("utf-8")
    if len(data) > MAX_BYTES:
        raise WriteError(path, f"it has grown past the {MAX_BYTES} bytes that can be read again")
    write_whole(path, data, fresh=fresh, check=check)
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


def write_whole(
    path: Path,
    data: bytes,
    *,
    mode: int | None = None,
    fresh: bool = False,
    check: Check | None = None,
) -> None:
    """Write any file at `path` as `replace_file` does, with WriteError when the system refuses."""
    try:
        replace_file(path, data, mode=mode, fresh=fresh, check=check)
    except FileExistsError:
        raise
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


def replace_file(
    path: Path,
    data: bytes,
    *,
    mode: int | None = None,
    fresh: bool = False,
    check: Check | None = None,
) -> None:
    """Put the data at `path` whole, or leave what was there; OSError when the system refuses.

    A new file is flushed and renamed, so that a crash leaves one of the two. `mode` are
    permissions to have instead of those of the file that was there. A `fresh` file takes no name
    that anything has, be it a link to nothing: FileExistsError. `check` is called last before
    the renaming, and keeps it from being done by raising something.
    """
    target = path if fresh else Path(os.path.realpath(path))
    new = target.with_name(f".{target.name}.{secrets.token_hex(8)}.new")
    try:
        was = _found(target)
        wanted = mode if mode is not None or was is None else stat.S_IMODE(was.st_mode)
        # Nobody may read what is being written who may not read what it replaces.
        at_first = 0o666 if wanted is None else 0o600
        handle = os.open(new, os.O_CREAT | os.O_EXCL | os.O_WRONLY, at_first)
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if was is not None:
            _keep_group(new, was)
        if wanted is not None:
            new.chmod(wanted)
        if check is not None:
            check()
        if fresh:
            _take_name(new, target)
        else:
            new.replace(target)
    except BaseException:
        with contextlib.suppress(OSError):
            new.unlink(missing_ok=True)
        raise
    _sync_folder(target.parent)


def _found(target: Path) -> os.stat_result | None:
    """What is known of the file that is there; None when there is none."""
    try:
        return target.stat()
    except FileNotFoundError:
        return None


def _keep_group(new: Path, was: os.stat_result) -> None:
    """Give a shared file the group that it had, as far as the system lets one, and its owner."""
    made = new.stat()
    if (made.st_uid, made.st_gid) != (was.st_uid, was.st_gid) and os.name != "nt":
        with contextlib.suppress(OSError):
            os.chown(new, -1, was.st_gid)
        with contextlib.suppress(OSError):
            os.chown(new, was.st_uid, -1)


def _take_name(new: Path, target: Path) -> None:
    """Rename a file unless something has the name, even a link to nothing: FileExistsError."""
    try:
        os.link(new, target)
    except FileExistsError:
        raise
    except OSError:  # a disk without hard links
        if os.path.lexists(target):
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(target)) from None
        new.replace(target)
    else:
        new.unlink()


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
