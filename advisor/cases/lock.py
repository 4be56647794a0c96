"""One program at a time on a case: an advisory lock file beside it, with its owner and age."""

from __future__ import annotations

import glob
import json
import os
import secrets
import socket
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType

from .errors import InUseError, WriteError
from .store import remove_leftovers

_LARGEST_LOCK_BYTES = 4096


@dataclass(frozen=True, slots=True)
class Owner:
    """Who holds a lock: the process, its computer, since when (UTC), and a word of its own."""

    pid: int
    host: str
    since: str
    token: str

    @classmethod
    def myself(cls) -> Owner:
        """The running process, with a new word."""
        now = datetime.now(UTC).isoformat(timespec="seconds")
        return cls(os.getpid(), socket.gethostname(), now, secrets.token_hex(8))

    @classmethod
    def read(cls, path: Path) -> Owner | None:
        """The owner that the lock file names; None when there is no file or it names nobody."""
        try:
            with path.open(encoding="utf-8", errors="replace") as file:
                fields = json.loads(file.read(_LARGEST_LOCK_BYTES))
            return cls(
                int(fields["pid"]),
                str(fields["host"]),
                str(fields["since"]),
                str(fields["token"]),
            )
        except (OSError, ValueError, TypeError, KeyError):
            return None

    def is_gone(self) -> bool:
        """True when the process has certainly ended: it was on this computer and is no more."""
        return self.host == socket.gethostname() and not _is_running(self.pid)

    def __str__(self) -> str:
        return f"process {self.pid} on {self.host}, since {self.since}"


class CaseLock:
    """Holds the lock of the case at `path` while its `with` block runs.

    Raises InUseError when another program holds it, WriteError when the folder refuses.
    The lock of a process of this computer that no longer runs is taken over.
    """

    def __init__(self, path: Path) -> None:
        self.case_path = path
        try:
            target = Path(os.path.realpath(path))
        except OSError as error:  # the folder that one is in is gone
            raise WriteError.from_system(path, error) from error
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
            raise InUseError(self.case_path, _owner_in_words(self.path), self.path)

    def _is_mine(self) -> bool:
        return Owner.read(self.path) == self._owner

    def _take(self) -> None:
        # The lock appears with its owner in it: an empty one would look like nobody's.
        own = self.path.with_name(f"{self.path.name}.{self._owner.token}")
        try:
            own.write_text(json.dumps(asdict(self._owner)), encoding="utf-8")
            if not self._place(own):
                holder = Owner.read(self.path)
                if holder is None or not holder.is_gone():
                    raise InUseError(self.case_path, _owner_in_words(self.path), self.path)
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
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(json.dumps(asdict(self._owner)))
        return True


def _owner_in_words(path: Path) -> str:
    owner = Owner.read(path)
    return "whose name can't be read" if owner is None else str(owner)


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
