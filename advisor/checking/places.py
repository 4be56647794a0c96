"""Problems at the place of a record of a rulebook, or of a part of it."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.rulebook import Problem, Related, Rulebook


@dataclass(frozen=True, slots=True)
class Spot:
    """A record, by section of the files and id, or the value inside it that the steps lead to."""

    rulebook: Rulebook
    section: str
    id: str
    steps: tuple[str | int, ...] = ()

    def problem(
        self, code: str, message: str, hint: str = "", related: tuple[Related, ...] = ()
    ) -> Problem:
        """A problem at the value, or with the record as a whole, shown at its id."""
        item = self.rulebook.items[self.section, self.id]
        mark = item.document.position_of((*item.loc, *self.steps), key=not self.steps)
        return item.document.problem(mark, code, message, hint, related)
