"""Finds what depends on its own conclusion."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from graphlib import CycleError, TopologicalSorter
from itertools import pairwise

from .document import Document
from .problems import Mark, Problem, Related

MOST_CYCLES = 20


@dataclass(frozen=True, slots=True)
class Link:
    """Where one fact reads another: the place of a value, or with `at_key` of its key."""

    document: Document
    loc: tuple[str | int, ...]
    at_key: bool
    step: str

    @property
    def mark(self) -> Mark:
        return self.document.position_of(self.loc, key=self.at_key)

    @property
    def related(self) -> Related:
        return self.document.related(self.loc, self.step, key=self.at_key)


@dataclass(slots=True)
class Links:
    """Which facts each fact is worked out from, or asked because of."""

    links_of: dict[str, dict[str, Link]] = field(default_factory=dict)

    def add(self, reader: str, read: str, link: Link) -> None:
        """Note that fact `reader` reads fact `read`; the first place is kept."""
        self.links_of.setdefault(reader, {}).setdefault(read, link)

    def cycle_problems(self) -> Iterator[Problem]:
        """One problem for each cycle, with every step of it; at most twenty."""
        reads = {reader: dict.fromkeys(links) for reader, links in self.links_of.items()}
        for _ in range(MOST_CYCLES):
            try:
                TopologicalSorter(reads).prepare()
            except CycleError as error:
                ring = _ring(error.args[1])
                del reads[ring[0]][ring[1]]
                yield self._problem(ring)
            else:
                return

    def _problem(self, ring: list[str]) -> Problem:
        """`ring` reads from left to right and ends where it begins."""
        steps = [self.links_of[reader][read] for reader, read in pairwise(ring)]
        message = f'"{ring[0]}" depends on itself: {" reads ".join(ring)}'
        return steps[0].document.problem(
            steps[0].mark,
            "cycle",
            message,
            "take one of these steps out",
            tuple(step.related for step in steps),
        )


def _ring(found: list[str]) -> list[str]:
    """The cycle, each reading the next, begun at its alphabetically first fact."""
    backwards = found[::-1][:-1]
    start = backwards.index(min(backwards))
    ring = backwards[start:] + backwards[:start]
    return [*ring, ring[0]]
