"""Where cases come from: a folder with a file for each, or one file with a case a line."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from advisor.cases.folder import case_paths
from advisor.cases.lines import Line, lines_of_cases, read_case_line
from advisor.cases.reading import ReadCase, read_with_places
from advisor.rulebook import Problem, Retired, system_reason

from .errors import LearningError

Item = str | Line  # a file name of the folder, or a line of the file


@dataclass(frozen=True, slots=True)
class Origin:
    """A folder or a file of cases; `shown` is its name as the user typed it.

    Lines travel to the workers, who need not see their file; files of a folder are read by them.
    """

    path: Path
    shown: Path

    def count(self) -> int:
        """How many cases there are. Raises LearningError."""
        return sum(1 for _ in self.items())

    def items(self) -> Iterator[Item]:
        """The cases one at a time, in the order of the names or lines. Raises LearningError."""
        try:
            if not self.path.is_file():
                yield from (path.name for path in case_paths(self.path))
            elif self.path.suffix in (".yaml", ".yml"):
                message = "is a single file of YAML; name the folder, or a file with a case a line"
                raise LearningError(f"{self.shown}: this {message}")
            else:
                yield from lines_of_cases(self.path)
        except OSError as error:
            reason = system_reason(error)
            raise LearningError(f"{self.shown}: the cases cannot be listed: {reason}") from error

    def read(self, item: Item, retired: Retired) -> ReadCase:
        """One of them. LoadError with every problem."""
        if isinstance(item, Line):
            return read_case_line(item, self.shown.as_posix(), retired)
        return read_with_places(self.path / item, retired)

    def as_typed(self, problems: Iterable[Problem], item: Item) -> tuple[Problem, ...]:
        """Problems of one of them, with the name of the folder as the user typed it."""
        if isinstance(item, Line):
            return tuple(problems)
        shown = (self.shown / item).as_posix()
        return tuple(replace(one, path=shown) for one in problems)
