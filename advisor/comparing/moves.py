"""How one vehicle stands in each of two rulebooks, and what of it differs."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.engine.diagnosis import Diagnosis
from advisor.proof.expecting import Standing, standing
from advisor.proof.naming import NONE

REPAIR = "repair"  # the next step when no test pays any more
FIRST = 3  # causes whose order is compared
THRESHOLD = 0.05  # the least change of a probability that is told


@dataclass(frozen=True, slots=True)
class Stand:
    """What one rulebook says of a vehicle; `next_test` is None where it was not asked for."""

    standing: Standing
    stops: tuple[str, ...]
    next_test: str | None

    @property
    def leading(self) -> str:
        """The cause that leads, or none-of-the-listed."""
        return self.standing.leading

    @property
    def first(self) -> tuple[str, ...]:
        """The first causes, in their order."""
        return tuple(self.standing.ordered[:FIRST])

    def probability(self, name: str) -> float:
        """The probability of a cause or of none-of-the-listed; 0 where there is no such cause."""
        return self.standing.probability(name)


def stand(diagnosis: Diagnosis, place: str | None, *, with_plan: bool) -> Stand:
    """How a vehicle stands; its next test is planned from the place where one is."""
    next_test = None
    if with_plan:
        at = place or diagnosis.engine.rules.places[0].id
        next_test = diagnosis.plan(at=at).test or REPAIR
    return Stand(standing(diagnosis.ranking()), diagnosis.stops(), next_test)


@dataclass(frozen=True, slots=True)
class Shift:
    """A probability that changed."""

    name: str
    before: float
    after: float

    @property
    def by(self) -> float:
        """The change."""
        return self.after - self.before


@dataclass(frozen=True, slots=True)
class Move:
    """What differs for a vehicle; empty and equal parts do not. `shifts`: the greatest first.

    `right` is what its trouble is, by the ids of the newer rulebook; `was_right` by those of the
    older one.
    """

    before: Stand
    after: Stand
    shifts: tuple[Shift, ...]
    was_right: frozenset[str]
    right: frozenset[str]

    @property
    def leader_changed(self) -> bool:
        """Whether another cause leads, or none-of-the-listed does or no longer does."""
        return self.before.leading != self.after.leading

    @property
    def order_changed(self) -> bool:
        """Whether the first three causes are others, or in another order."""
        return self.before.first != self.after.first

    @property
    def stops_changed(self) -> bool:
        """Whether other findings say to stop driving."""
        return set(self.before.stops) != set(self.after.stops)

    @property
    def next_changed(self) -> bool:
        """Whether another test comes next."""
        return self.before.next_test != self.after.next_test

    @property
    def is_any(self) -> bool:
        """Whether anything differs that is told."""
        changed = (self.leader_changed, self.order_changed, self.stops_changed, self.next_changed)
        return any(changed) or bool(self.shifts)

    @property
    def verdict(self) -> str | None:
        """`better`, `worse` or `neither`, where it is known what is right; else None.

        That the right cause leads now, or no longer does, decides; else its probability, by the
        changes that are told.
        """
        if not self.right:
            return None
        led, leads = self.before.leading in self.was_right, self.after.leading in self.right
        told = sum(one.by for one in self.shifts if one.name in self.was_right | self.right)
        gain = (leads - led) or told
        return "better" if gain > 0 else "worse" if gain < 0 else "neither"


def move(
    before: Stand,
    after: Stand,
    right: tuple[frozenset[str], frozenset[str]],
    threshold: float,
) -> Move:
    """What differs between how a vehicle stood and how it stands; `right` is by both's ids."""
    names = dict.fromkeys((NONE, *before.standing.probabilities, *after.standing.probabilities))
    shifts = [Shift(one, before.probability(one), after.probability(one)) for one in names]
    told = [shift for shift in shifts if abs(shift.by) >= threshold and shift.by]
    return Move(before, after, tuple(sorted(told, key=lambda one: -abs(one.by))), *right)
