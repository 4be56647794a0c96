"""What was found among cases: how many are closed, open, or cannot be read."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from typing import Any

from advisor.rulebook import Problem

MOST_PROBLEMS = 100  # kept of the cases that cannot be read, of which there may be millions


@dataclass(slots=True)
class Intake:
    """Counts of the cases read so far, and the first problems in the order of the cases.

    `refused` are the problems of the first that cannot be read, case by case.
    `versions` counts the closed cases by the rulebook and version that they name.
    """

    files: int = 0
    closed: int = 0
    open: int = 0
    unreadable: int = 0
    versions: Counter[str] = field(default_factory=Counter)
    refused: list[tuple[Problem, ...]] = field(default_factory=list)

    def merge(self, later: Intake) -> None:
        """Take in what was found in the cases after these."""
        self.files += later.files
        self.closed += later.closed
        self.open += later.open
        self.unreadable += later.unreadable
        self.versions.update(later.versions)
        self._keep(later.refused)

    def refuse(self, problems: tuple[Problem, ...]) -> None:
        """Count a case that cannot be read."""
        self.unreadable += 1
        self._keep([problems])

    def _keep(self, refused: list[tuple[Problem, ...]]) -> None:
        room = MOST_PROBLEMS - len(self.problems)
        for problems in refused:
            if room > 0:
                self.refused.append(problems[:room])
                room -= len(problems)

    @property
    def problems(self) -> list[Problem]:
        """The first problems, in the order of the cases."""
        return [one for problems in self.refused for one in problems]

    @property
    def untold(self) -> int:
        """How many unreadable cases no kept problem speaks of."""
        return self.unreadable - len(self.refused)

    def as_data(self) -> dict[str, Any]:
        """The counts as plain data for JSON."""
        return {
            "files": self.files,
            "closed": self.closed,
            "open": self.open,
            "unreadable": self.unreadable,
            "rulebook_versions": dict(sorted(self.versions.items())),
            "problems": [one.as_dict() for one in self.problems],
        }

    def as_text(self) -> list[str]:
        """The counts in lines."""
        many = "s" if self.files != 1 else ""
        unread = f", {self.unreadable} that cannot be read" if self.unreadable else ""
        lines = [f"{self.files} case{many}: {self.closed} closed, {self.open} still open{unread}"]
        if self.versions:
            named = (f"{name} ({count})" for name, count in sorted(self.versions.items()))
            lines.append(f"answered with: {', '.join(named)}")
        return lines
