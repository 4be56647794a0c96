"""The smallest sets of findings that, with other outcomes, would put a cause first.

Every set of up to MOST_EXACT findings is ruled in or out. A set is passed over without working it
out only when bounds show that it cannot lead: with x, y, z the factors of three changes on the
parts of a cause's mass, and E the mean over these parts, E[xyz] is at most the product of the
cube roots of E[x^3], E[y^3] and E[z^3] (Hoelder's inequality; likewise for two), and log E[xyz] is
at least E[log x] + E[log y] + E[log z] (Jensen's). The work is limited; where it is given up,
the answer says up to which size all sets were ruled out.

Findings are taken as free of one another, but for those that restate one observation: of these a
set holds one at most.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from operator import le, mul, truediv

from .belief import Belief
from .effects import Effect

MOST_EXACT = 3  # findings in a set, up to which every set is ruled in or out
MOST_TRIED = 4_000  # sets worked out; about a fifth of a second
MOST_SCANNED = 200_000  # sets whose bounds are looked at; about as long
ENOUGH = 100  # smallest sets; more are not compared
BOUNDED = 3  # rivals, besides none of the listed, whose bounds are kept


@dataclass(frozen=True, slots=True)
class Change:
    """Another outcome of a finding: what then counts for its observation, and what counts now."""

    finding: str
    outcome: int
    observation: str
    then: Effect
    now: Effect | None


@dataclass(frozen=True, slots=True)
class Smallest:
    """The smallest sets found, all of one size; all sets of up to `ruled_out` were ruled out."""

    sets: tuple[tuple[Change, ...], ...]
    ruled_out: int


def row_of(effect: Effect, cause: int, count: int) -> list[float]:
    """What an effect does to a cause: alone, at its own place, and beside each other cause."""
    row = [1.0] * count
    own = 1.0
    for i, ratio in effect.silent:
        if i == cause:
            own = ratio
        else:
            row[i] = ratio
    row = [ratio * own for ratio in row]
    for i, j, ratio in effect.both:
        if cause in (i, j):
            row[j if i == cause else i] *= ratio
    row[cause] = next((ratio for i, ratio in effect.single if i == cause), 1.0)
    return row


class Search:
    """Tries sets of changes of one belief. `mended` are the places of causes out of the race.

    All masses are against that of *none of the listed*, which no change touches.
    """

    def __init__(
        self, belief: Belief, changes: Sequence[Change], mended: Collection[int] = ()
    ) -> None:
        self._none = belief.none
        self._parts = [row.copy() for row in belief.pair]
        for i, alone in enumerate(belief.single):
            self._parts[i][i] = alone
        self._mass = list(map(sum, self._parts))
        self._changes = changes
        out = frozenset(mended)
        racing = [i for i, mass in enumerate(self._mass) if mass > 0.0 and i not in out]
        self._racing = sorted(racing, key=lambda i: -self._mass[i])
        self._rows: dict[tuple[int, int], list[float]] = {}
        self._falls: dict[tuple[int, int], float] = {}

    def smallest(self, cause: int) -> Smallest:
        """The smallest sets that put a cause first, of at most MOST_EXACT changes.

        When the work takes too long, sets of the last size begun may be missing.
        """
        if cause not in self._racing:
            return Smallest((), MOST_EXACT)
        tried = 0
        for size in range(1, MOST_EXACT + 1):
            found: list[tuple[Change, ...]] = []
            for places in self._promising(cause, size):
                tried += 1
                if places is None or tried > MOST_TRIED:
                    return Smallest(tuple(found), size - 1)
                if self._leads(places, cause):
                    found.append(tuple(self._changes[place] for place in places))
                if len(found) == ENOUGH:
                    break
            if found:
                return Smallest(tuple(found), size - 1)
        return Smallest((), MOST_EXACT)

    def _promising(self, cause: int, size: int) -> Iterator[tuple[int, ...] | None]:
        """The sets of this size that no bound rules out; None when there are too many to scan."""
        rivals = [rival for rival in self._racing if rival != cause][:BOUNDED]
        lifts = [self._lift(place, cause, size) for place in range(len(self._changes))]
        gains = [
            [lift - self._fall(place, rival) for place, lift in enumerate(lifts)]
            for rival in rivals
        ]
        gains.append(lifts)
        needed = [
            math.log(mass / self._mass[cause]) if mass > 0.0 else -math.inf
            for mass in (*(self._mass[rival] for rival in rivals), self._none)
        ]
        hardest = max(range(len(needed)), key=needed.__getitem__)
        order = sorted(range(len(lifts)), key=lambda place: -gains[hardest][place])
        columns = [tuple(column[place] for column in gains) for place in order]
        scan = _Scan(columns, needed, hardest, size)
        for at in scan.sets():
            if at is None:
                yield None
                return
            places = tuple(order[one] for one in at)
            if len({self._changes[place].observation for place in places}) == size:
                yield places

    def _lift(self, place: int, cause: int, size: int) -> float:
        """The most, in nepers, that one of so many changes can add to the mass of a cause."""
        parts, row = self._parts[cause], self._row(place, cause)
        mean = sum(mass * ratio**size for mass, ratio in zip(parts, row, strict=True))
        return math.log(mean / self._mass[cause]) / size

    def _fall(self, place: int, cause: int) -> float:
        """The least, in nepers, that a change adds to the mass of a cause: mostly below 0."""
        key = (place, cause)
        if key not in self._falls:
            parts, row = self._parts[cause], self._row(place, cause)
            self._falls[key] = sum(map(mul, parts, map(math.log, row))) / self._mass[cause]
        return self._falls[key]

    def _leads(self, places: Sequence[int], cause: int) -> bool:
        mass = self._after(places, cause)
        if mass <= self._none:
            return False
        return all(self._after(places, rival) < mass for rival in self._racing if rival != cause)

    def _after(self, places: Sequence[int], cause: int) -> float:
        """The mass of a cause after these changes."""
        parts = self._parts[cause]
        for place in places:
            parts = list(map(mul, parts, self._row(place, cause)))
        return sum(parts)

    def _row(self, place: int, cause: int) -> list[float]:
        """What a change does to a cause, alone and beside each other one, against now."""
        key = (place, cause)
        if key not in self._rows:
            change = self._changes[place]
            row = row_of(change.then, cause, len(self._parts))
            if change.now is not None:
                row = list(map(truediv, row, row_of(change.now, cause, len(self._parts))))
            self._rows[key] = row
        return self._rows[key]


class _Scan:
    """Finds the sets of columns whose sums exceed what is needed, in every row.

    The columns fall in the row of the hardest need.
    """

    def __init__(
        self,
        columns: Sequence[tuple[float, ...]],
        needed: Sequence[float],
        hardest: int,
        size: int,
    ) -> None:
        self._columns = columns
        self._needed = needed
        self._hardest = hardest
        self._size = size
        self._most = [max(row, default=0.0) for row in zip(*columns, strict=True)]
        self._scanned = 0

    def sets(self) -> Iterator[tuple[int, ...] | None]:
        """The sets, by their places in rising order; None when the work is given up."""
        yield from self._beyond((), 0, list(self._needed))

    def _beyond(
        self, chosen: tuple[int, ...], begin: int, needed: Sequence[float]
    ) -> Iterator[tuple[int, ...] | None]:
        left = self._size - len(chosen)
        allowed = [need - (left - 1) * most for need, most in zip(needed, self._most, strict=True)]
        hardest = self._hardest
        for at in range(begin, len(self._columns)):
            column = self._columns[at]
            if left * column[hardest] <= needed[hardest]:
                return  # in falling order: nothing behind it brings more
            self._scanned += 1
            if self._scanned > MOST_SCANNED:
                yield None
                return
            if any(map(le, column, allowed)):
                continue
            if left == 1:
                yield (*chosen, at)
                continue
            rest = [need - gain for need, gain in zip(needed, column, strict=True)]
            yield from self._beyond((*chosen, at), at + 1, rest)
