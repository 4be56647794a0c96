"""One program at a time on a case: an advisory lock file beside it, with its owner and age.

A lock is taken over when its process has certainly ended: it ran on this computer and is no more,
or the computer was started anew since. Of a process on another computer nothing can be known, so
that its lock counts until nothing was written under it for STALE_AFTER_S. Whoever had it and
wakes up again is told at the next writing, and overwrites nothing.
"""

from __future__ import annotations

import contextlib
import glob
import json
import os
import secrets
import socket
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType

from advisor.rulebook import open_ordinary

from .errors import InUseError, WriteError
from .store import remove_leftovers

STALE_AFTER_S = 24 * 3600.0
"""Seconds without a writing after which a lock of another computer is left behind. Judgement."""

_LARGEST_LOCK_BYTES = 4096
_BOOT_ID = Path("/proc/sys/kernel/random/boot_id")  # another one after each start; Linux only


@dataclass(frozen=True, slots=True)
class Owner:
    """Who holds a lock: the process, its computer, since when (UTC), and a word of its own.

    `boot` tells one running of the computer from the next; "" where that can't be told.
    """

    pid: int
    host: str
    since: str
    token: str
    boot: str = ""

    @classmethod
    def myself(cls) -> Owner:
        """The running process, with a new word."""
        now = datetime.now(UTC).isoformat(timespec="seconds")
        return cls(os.getpid(), socket.gethostname(), now, secrets.token_hex(8), _boot())

    @classmethod
    def read(cls, path: Path) -> Owner | None:
        """The owner that the lock file names; None when there is no file or it names nobody."""
        try:
            with open_ordinary(path) as file:
                fields = json.loads(file.read(_LARGEST_LOCK_BYTES).decode("utf-8", "replace"))
            return cls(
                int(fields["pid"]),
                str(fields["host"]),
                str(fields["since"]),
                str(fields["token"]),
                str(fields.get("boot", "")),
            )
        except (OSError, ValueError, TypeError, KeyError, OverflowError, RecursionError):
            return None

    def is_gone(self, age_s: float) -> bool:
        """True when the process has certainly ended, or may be taken for it.

        Of a process of another computer only the seconds since its last writing tell.
        """
        if self.host != socket.gethostname():
            return age_s > STALE_AFTER_S
        restarted = "" not in (self.boot, _boot()) and self.boot != _boot()
        return restarted or not _is_running(self.pid)

    def __str__(self) -> str:
        return f"process {self.pid} on {self.host}, since {self.since}"


class CaseLock:
    """Holds the lock of the case at `path` while its `with` block runs.

    Raises InUseError when another program holds it, WriteError when the folder refuses.
    The lock of a process that has ended is taken over, and one of another computer under which
    nothing was written for STALE_AFTER_S.
    """

    def __init__(self, path: Path) -> None:
        self.case_path = path
        try:
            target = Path(os.path.realpath(path))
        except OSError as error:  # the folder that one is in is gone
            raise WriteError.from_system(path, error) from error
        if not target.name:  # the root of all folders
            raise WriteError(path, "it is a folder, not a file")
        self.path = target.with_name(f".{target.name}.lock")
        self._owner = Owner.myself()

    def __enter__(self) -> CaseLock:
        try:
            self._take()
        except OSError as error:
            raise WriteError.from_system(self.case_path, error) from error
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if self._is_mine():
            self.path.unlink(missing_ok=True)

    def check(self) -> None:
        """Raise InUseError when another program has taken the lock over."""
        if not self._is_mine():
            owner = _owner_in_words(self.path, 0.0)
            raise InUseError(self.case_path, owner, self.path, while_open=True)
        with contextlib.suppress(OSError):
            os.utime(self.path)  # its age is counted from the last writing

    def _is_mine(self) -> bool:
        return Owner.read(self.path) == self._owner

    def _take(self) -> None:
        # The lock appears with its owner in it: an empty one would look like nobody's.
        own = self.path.with_name(f"{self.path.name}.{self._owner.token}")
        try:
            own.write_text(json.dumps(asdict(self._owner)), encoding="utf-8")
            if not self._place(own):
                holder = Owner.read(self.path)
                # The ages of two files of one folder come from one clock, even on a network.
                age_s = own.stat().st_mtime - _modified_s(self.path, own)
                if holder is None or not holder.is_gone(age_s):
                    owner = _owner_in_words(self.path, age_s)
                    raise InUseError(self.case_path, owner, self.path)
                own.replace(self.path)
        finally:
            own.unlink(missing_ok=True)
        # Two that took over the same dead lock both get here; the last one has it.
        self.check()
        self._remove_leftovers()

    def _remove_leftovers(self) -> None:
        """Delete what killed programs left: half-taken locks and half-written cases."""
        remove_leftovers(self.case_path)
        for leftover in self.path.parent.glob(f"{glob.escape(self.path.name)}.*"):
            # If it is that of a program just now trying, it is refused in any case.
            leftover.unlink(missing_ok=True)

    def _place(self, own: Path) -> bool:
        """Put the lock where none is; False when there is one already."""
        try:
            os.link(own, self.path)
        except FileExistsError:
            return False
        except OSError:
            return self._create()
        return True

    def _create(self) -> bool:
        """The same on a disk without hard links."""
        try:
            handle = os.open(self.path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o644)
        except FileExistsError:
            return False
        try:
            with os.fdopen(handle, "w", encoding="utf-8") as file:
                file.write(json.dumps(asdict(self._owner)))
        except BaseException:  # an empty lock would be respected for ever
            self.path.unlink(missing_ok=True)
            raise
        return True


def _modified_s(path: Path, otherwise: Path) -> float:
    """When the file was written last; that of the other one when it is gone meanwhile."""
    try:
        return path.stat().st_mtime
    except OSError:
        return otherwise.stat().st_mtime


def _owner_in_words(path: Path, age_s: float) -> str:
    owner = Owner.read(path)
    if owner is None:
        return "whose name can't be read"
    minutes = int(age_s // 60.0)
    if minutes < 1:
        return str(owner)
    ago = f"{minutes} min" if minutes < 120 else f"{minutes // 60} h"
    return f"{owner}, last written {ago} ago"


def _boot() -> str:
    """What tells this running of the computer from others; "" where nothing does."""
    try:
        return _BOOT_ID.read_text(encoding="ascii").strip()
    except (OSError, ValueError):
        return ""


def _is_running(pid: int) -> bool:
    if pid <= 0:
        return False
    if os.name == "nt":
        return True  # there a signal 0 would end the process instead of asking for it
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    except (PermissionError, OverflowError):
        return True
    return True
