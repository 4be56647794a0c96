"""A library: a folder of cases, and an index that answers in a moment what lies in it."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from advisor.cases import CaseFile
from advisor.rulebook import Rulebook

from .entry import Entry, problems_from_text
from .filing import Filed, Tell, bring_up_to_date, unnameable
from .tables import unsealed, with_index
from .weighing import Light, Weighed, weighed_cases

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Library:
    """The cases of a folder as they are now. The files are the truth; the index is a cache."""

    folder: Path
    light: Light
    filed: Filed
    _index: sqlite3.Connection
    _tell: Tell

    @property
    def rulebook(self) -> Rulebook:
        """The rulebook that cases are weighed with, loaded when first asked for."""
        return self.light.rulebook

    def select(self, where: str = "", values: Sequence[object] = ()) -> tuple[str, ...]:
        """The names of the files of readable cases, sorted by when they began, the latest first.

        `where` is SQL over the table `cases`, of this program's own words; `values` fill its marks.
        """
        only = f"WHERE {where} " if where else ""
        rows = self._index.execute(
            f"SELECT name FROM cases {only}ORDER BY began IS NULL, began DESC, name",
            values,
        )
        return tuple(name for (name,) in rows)

    def answers_to(self, question: str) -> tuple[str, ...]:
        """The different answers that the cases give to a question, as typed."""
        query = "SELECT DISTINCT answer FROM answers WHERE question = ?"
        return tuple(answer for (answer,) in self._index.execute(query, (question,)))

    def that_answered(self, question: str, answers: Sequence[str]) -> frozenset[str]:
        """The names of the files whose case answers a question in one of these ways."""
        query = "SELECT name FROM answers WHERE question = ? AND answer = ?"
        return frozenset(
            name for answer in answers for (name,) in self._index.execute(query, (question, answer))
        )

    def cases(self, names: Sequence[str]) -> Iterator[tuple[str, CaseFile]]:
        """The cases in these files, one after another."""
        query = "SELECT data FROM contents WHERE name = ?"
        for name in names:
            ((data,),) = self._index.execute(query, (name,)).fetchall()
            yield name, CaseFile.model_validate_json(unsealed(data))

    def began(self, name: str) -> str | None:
        """When a case began, in UTC, if it says so."""
        query = "SELECT began FROM cases WHERE name = ?"
        ((moment,),) = self._index.execute(query, (name,)).fetchall()
        return None if moment is None else str(moment)

    def weighed(self, names: Sequence[str]) -> dict[str, Weighed]:
        """These cases in the light of the rulebook, by the names of their files."""
        return weighed_cases(self._index, self.folder, names, self.light, self._tell)

    def unreadable(self) -> tuple[Entry, ...]:
        """The files that are no readable cases, with their problems."""
        query = "SELECT name, problems FROM files WHERE problems IS NOT NULL ORDER BY name"
        told = [
            Entry(name, None, problems_from_text(unsealed(text), self.folder / name))
            for name, text in self._index.execute(query)
        ]
        return (*told, *unnameable(self.folder))


def consult(
    folder: Path,
    index: Path | None,
    light: Light,
    work: Callable[[Library], T],
    *,
    tell: Tell = lambda doing, count: None,
) -> T:
    """What `work` finds in the library of this folder; it may be called twice, and only reads.

    `index` is the file of the index, or None for one in memory. `tell` hears what is being
    done to how many files. Raises LibraryError when the folder can't be listed.
    """

    def look(connection: sqlite3.Connection) -> T:
        filed = bring_up_to_date(connection, folder, tell=tell)
        return work(Library(folder, light, filed, connection, tell))

    return with_index(index, folder, look)
