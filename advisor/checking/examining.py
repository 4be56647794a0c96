"""Everything that can be said against one rulebook folder."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from advisor.rulebook import LoadError, Overlay, Problem, load

from .checks import likely_problems

FORMAT = 1  # of the JSON form; raised when a field changes its meaning or goes


@dataclass(frozen=True, slots=True)
class Examination:
    """What loading and the checks found, by file, line, column and code.

    `failed` says whether loading found any of it; what the checks find is only likely wrong.
    """

    problems: tuple[Problem, ...]
    failed: bool
    summary: str

    def as_data(self) -> dict[str, Any]:
        """For a program: whether loading failed, and all problems."""
        problems = [problem.as_dict() for problem in self.problems]
        return {"format": FORMAT, "failed": self.failed, "problems": problems}


def examine(folder: Path, overlay: Overlay | None = None) -> Examination:
    """Load the rulebook and, if it loads, run all checks. Raises LoadError without a folder."""
    try:
        rulebook = load(folder, overlay=overlay)
    except LoadError as error:
        if not folder.is_dir():
            raise  # there is no rulebook to find something in
        return Examination(error.problems, True, _summary(str(folder), len(error.problems)))
    found = (*rulebook.warnings, *likely_problems(rulebook))
    rules = rulebook.rules
    what = (
        f"{folder}: {len(rules.questions)} questions, {len(rules.tests)} tests, "
        f"{len(rules.findings)} findings, {len(rules.causes)} causes"
    )
    return Examination(
        tuple(sorted(found, key=lambda problem: problem.order)),
        bool(rulebook.warnings),
        _summary(what, len(found)),
    )


def _summary(what: str, count: int) -> str:
    return f"{what}: {count or 'no'} problem{'' if count == 1 else 's'}"
