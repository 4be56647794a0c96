"""Where the rulebook comes from, so that each process and computer loads the same one."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from advisor import __version__
from advisor.rulebook import Rulebook, load, read_overlay
from advisor.settings import read_settings

from .errors import LearningError


@dataclass(frozen=True, slots=True)
class Source:
    """The files that make up the rulebook as it is used: its folder, settings and overlay."""

    folder: Path
    settings: Path | None = None
    overlay: Path | None = None

    def absolute(self) -> Source:
        """The same for a process that works in another folder."""
        return Source(
            self.folder.resolve(),
            self.settings and self.settings.resolve(),
            self.overlay and self.overlay.resolve(),
        )

    def load(self) -> Rulebook:
        """The rulebook. Raises LoadError."""
        return load(
            self.folder,
            own=read_settings(self.settings).own if self.settings else None,
            overlay=read_overlay(self.overlay) if self.overlay else None,
        )


@lru_cache(maxsize=1)
def loaded_once(source: Source, expected: str) -> Rulebook:
    """The rulebook, loaded once in each process; LearningError when it is not the expected one."""
    rulebook = source.load()
    if fingerprint(rulebook) != expected:
        message = (
            f"{source.folder}: a worker has another rulebook or program here; "
            "let all of them read the same files with the same version of the program"
        )
        raise LearningError(message)
    return rulebook


def fingerprint(rulebook: Rulebook) -> str:
    """What tells whether two processes rank alike: program, version, commonness and rates."""
    rules = rulebook.rules
    whole = (
        __version__,
        rulebook.meta.id,
        rulebook.meta.version,
        [(one.id, one.commonness) for one in rules.causes],
        [(one.id, one.usual, sorted(one.rates.items())) for one in rules.findings],
        sorted((name, measure.u) for name, measure in rulebook.measures.items()),
    )
    return hashlib.sha256(repr(whole).encode("utf-8")).hexdigest()
