"""What can go wrong with a case on its way to the disk.

CaseError                what a user can mend; `str(error)` is the sentence to show
  CaseIdError            an id that can't be a file name
  CaseExistsError        a new case where there is a file already
  WriteError             the disk or the folder refused; the old file is whole
  NotOverwrittenError    another program has been at the case; nothing was written over its work
    InUseError           it has the case open, or has taken it over
    ChangedError         it has changed or deleted the file while it was open here

A case file that can't be understood is a `LoadError` of the rulebook package, with its problems.
"""

from __future__ import annotations

import errno
from pathlib import Path

from advisor.rulebook import system_reason


class CaseError(Exception):
    """Something about a case that a user can mend."""


class CaseIdError(CaseError):
    """A case id with other characters than a-z, 0-9 and hyphens, or too long a one."""

    def __init__(self, case_id: str) -> None:
        super().__init__(
            f'"{case_id}" is no case id; write small letters, digits and hyphens, '
            'such as "pickup-shudder-2"'
        )
        self.case_id = case_id


class CaseExistsError(CaseError):
    """A new case was to be begun where there is a file already; nothing was overwritten."""

    def __init__(self, path: Path) -> None:
        super().__init__(
            f"{path} is there already; open it, or choose another name"
            if path.exists()
            else f"{path} is a link that leads to no file; name the file itself"
        )
        self.path = path


class WriteError(CaseError):
    """The case could not be saved for certain. The file on disk is whole."""

    def __init__(self, path: Path, reason: str) -> None:
        super().__init__(f"{path} was not saved: {reason}")
        self.path = path
        self.reason = reason

    @classmethod
    def from_system(cls, path: Path, error: OSError) -> WriteError:
        """The error in words, from what the system said."""
        said = system_reason(error)
        return cls(path, _REASONS.get(error.errno or 0, said))


class NotOverwrittenError(CaseError):
    """Another program has been at the case, so nothing was written over its work.

    `kept` is the file with what was to be written, if it was set aside.
    """

    kept: Path | None = None

    def __str__(self) -> str:
        if self.kept is None:
            return super().__str__()
        return (
            f"{super().__str__()}. The case as it stands here, with what was said last, is in "
            f"{self.kept}; compare the two and keep one as {self.kept.with_suffix('').name}"
        )


class ChangedError(NotOverwrittenError):
    """The file is no longer as this program read or wrote it last: changed or deleted."""

    def __init__(self, path: Path) -> None:
        done = "changed" if path.exists() else "deleted"
        super().__init__(
            f"{path} was {done} by another program while it was open here; nothing was written"
        )
        self.path = path


class InUseError(NotOverwrittenError):
    """Another program has the case, so this one writes nothing.

    `while_open` is true when it took the case over while it was open here.
    """

    def __init__(
        self, path: Path, owner: str, lock_path: Path, *, while_open: bool = False
    ) -> None:
        super().__init__(
            f"{path} is open in another program ({owner}); nothing was written. "
            f"Close it there, or delete {lock_path} if that program no longer runs"
        )
        self.path = path
        self.owner = owner
        self.while_open = while_open


_REASONS = {
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "the disk quota is used up",
    errno.EROFS: "the disk can only be read",
    errno.EACCES: "writing in this folder is not permitted",
    errno.EPERM: "writing in this folder is not permitted",
    errno.ENOENT: "the folder does not exist",
    errno.ENOTDIR: "the folder does not exist",
    errno.ENAMETOOLONG: "the file name is too long",
    errno.EFBIG: "no file may grow so large here",
    errno.EIO: "the disk reports a fault",
}
