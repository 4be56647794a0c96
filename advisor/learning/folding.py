"""Takes cases in, chunk by chunk, and adds up what each of them tells.

Only counts and exact sums are kept, so the memory does not grow with the number of cases, and
the result does not depend on who added up which chunk.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import islice
from pathlib import Path
from typing import Generic, Protocol, Self, TypeVar

from advisor.rulebook import LoadError, Rulebook

from .closed import ClosedCase, closed_if_fitting
from .intake import Intake
from .origin import Item, Origin
from .source import Source, fingerprint, loaded_once
from .workers import Workers

MOST_AT_ONCE = 16  # cases; few, so that a stop is soon obeyed
LEAST_PARTS = 64  # of the work where there are cases enough, so that all workers end together
Progress = Callable[[int, int], None]  # cases done, of so many


class Tally(Protocol):
    """What is added up over closed cases."""

    def add(self, closed: ClosedCase, rulebook: Rulebook) -> None:
        """Take in one case."""

    def merge(self, other: Self) -> None:
        """Take in another tally."""


T = TypeVar("T", bound=Tally)


@dataclass(slots=True)
class Folded(Generic[T]):
    """What the cases, or a part of them, add up to."""

    tally: T
    intake: Intake = field(default_factory=Intake)


@dataclass(frozen=True, slots=True)
class _Job(Generic[T]):
    """What a worker needs to know."""

    source: Source
    expected: str
    new_tally: Callable[[], T]
    origin: Origin

    def fold(self, items: Sequence[Item]) -> Folded[T]:
        """Take in these cases."""
        rulebook = loaded_once(self.source, self.expected)
        folded = Folded(self.new_tally())
        for item in items:
            self._take(folded, item, rulebook)
        return folded

    def _take(self, folded: Folded[T], item: Item, rulebook: Rulebook) -> None:
        intake = folded.intake
        intake.files += 1
        try:
            read = self.origin.read(item, rulebook.retired)
            closed = closed_if_fitting(read, rulebook)
        except LoadError as error:
            intake.refuse(self.origin.as_typed(error.problems, item))
            return
        if closed is None:
            intake.open += 1
            return
        intake.closed += 1
        named = read.case.rulebook
        intake.versions[f"{named.id} {named.version}"] += 1
        folded.tally.add(closed, rulebook)


def fold(
    cases: Path,
    source: Source,
    new_tally: Callable[[], T],
    *,
    workers: Workers,
    progress: Progress,
) -> Folded[T]:
    """Take in every case of a folder, or of a file with a case a line.

    LearningError when they cannot be listed, or a worker fails. `new_tally` makes an empty tally;
    it and the tallies must be able to travel to the workers.
    """
    origin = Origin(cases.resolve(), cases)
    count = origin.count()
    job = _Job(source.absolute(), fingerprint(source.load()), new_tally, origin)
    whole = Folded(new_tally())
    progress(0, count)
    for part in workers.in_order(job.fold, _chunks(origin.items(), count)):
        whole.intake.merge(part.intake)
        whole.tally.merge(part.tally)
        progress(whole.intake.files, count)
    return whole


def _chunks(items: Iterator[Item], count: int) -> Iterator[tuple[Item, ...]]:
    size = max(1, min(MOST_AT_ONCE, count // LEAST_PARTS))
    while chunk := tuple(islice(items, size)):
        yield chunk
