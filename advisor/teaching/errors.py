"""What can go wrong with a lesson.

TeachingError                what a user can mend; `str(error)` is the sentence to show
  SeedError                  a seed that is too large or below nought
  NoSuchVehicleError         no vehicle with what was asked for
  ChangedVehicleError        the seed gives another vehicle than when the lesson began
  BegunAlreadyError          a new vehicle was asked for in a file that holds one
  NotBegunError              a score of a lesson that is not there
  ClassError                 a class that can't be written
"""

from __future__ import annotations

from pathlib import Path

from advisor.layout import command


class TeachingError(Exception):
    """Something about a lesson that a user can mend."""


class SeedError(TeachingError):
    """A seed that no practice file can hold."""

    def __init__(self, seed: int, largest: int) -> None:
        super().__init__(f"read {seed} for --seed; expected 0 to {largest}")


class NoSuchVehicleError(TeachingError):
    """No vehicle with what was asked for was found under this seed."""

    def __init__(self, seed: int) -> None:
        super().__init__(
            f"no vehicle of this kind was found for seed {seed}; "
            "take another seed, or leave out --cause, --two or --level"
        )


class ChangedVehicleError(TeachingError):
    """The seed gives another vehicle now: the rulebook or the file was changed."""

    def __init__(self, path: Path) -> None:
        super().__init__(
            f"{path}: its seed and number give another vehicle than it was begun with; "
            "the rulebook or its examples changed without a new version, or the file was edited; "
            "go on with them as they were, or begin a new file"
        )


class BegunAlreadyError(TeachingError):
    """A vehicle was asked for in a file that already holds one."""

    def __init__(self, path: Path) -> None:
        super().__init__(
            f"{path} holds a practice vehicle already; "
            "leave out --seed, --cause, --two and --level to go on with it, or name a new file"
        )


class NotBegunError(TeachingError):
    """The score of a lesson was asked for, and there is no such file."""

    def __init__(self, path: Path) -> None:
        super().__init__(f"{path} does not exist; begin it by: {command('practise', path)}")


class ClassError(TeachingError):
    """A class that can't be written; the text says why."""
