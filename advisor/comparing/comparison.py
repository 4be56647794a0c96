"""Two rulebooks compared over vehicles: what moves, and which record moved it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from advisor.checking.reading import behind, facts_of, sources_of
from advisor.engine.diagnosis import Diagnosis
from advisor.rulebook import NumberQuestion, Rulebook, load

from .blend import NEW, OLD, THE_REST, Blend, Odds, weights_of
from .differences import Difference, Key, differences
from .moves import THRESHOLD, Move, move, stand
from .vehicles import Taken, Unreadable, Vehicle, vehicles_of_cases, vehicles_of_examples

LEAST_DECIBANS = 0.05  # a record that moves the odds by less is not told
Progress = Callable[[int, int], None]  # vehicles done, of how many


@dataclass(frozen=True, slots=True)
class Wanted:
    """How to compare: the least change of a probability that is told, and whether to plan."""

    threshold: float = THRESHOLD
    with_plan: bool = True
    progress: Progress = lambda done, whole: None


@dataclass(frozen=True, slots=True)
class Reason:
    """A record that weighs otherwise now.

    `decibans` is what it adds to the odds, infinite where it makes a cause possible or not, and
    None where no odds are at stake. `by` are the differences behind it: its own, or those of what
    it hangs on.
    """

    section: str
    id: str
    decibans: float | None
    by: tuple[Difference, ...]


@dataclass(frozen=True, slots=True)
class Moved:
    """A vehicle that moved, and why: the weightiest record first, for the odds that are named."""

    vehicle: Vehicle
    move: Move
    odds: Odds | None
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, slots=True)
class Left:
    """A vehicle that a rulebook cannot take in: which one, older or newer, and why."""

    vehicle: Vehicle
    which: str
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Comparison:
    """All that was found; `compared` is how many vehicles both rulebooks could take in."""

    old: tuple[Path, Rulebook]
    new: tuple[Path, Rulebook]
    wanted: Wanted
    differences: tuple[Difference, ...]
    compared: int
    moved: tuple[Moved, ...]
    left: tuple[Left, ...] = field(default=())

    @property
    def matters(self) -> bool:
        """Whether a leading cause or a finding that stops driving changed."""
        return any(one.move.leader_changed or one.move.stops_changed for one in self.moved)


def compare(old_folder: Path, new_folder: Path, cases: Path | None, wanted: Wanted) -> Comparison:
    """Compare two rulebook folders; LoadError when one, or the vehicles, can't be read.

    What the newer one only renamed goes by its new id in both.
    """
    newer = load(new_folder)
    old, new = (old_folder, load(old_folder, later=newer)), (new_folder, newer)
    vehicles = vehicles_of_examples(old, new) if cases is None else vehicles_of_cases(cases)
    found = differences(old[1], new[1])
    inquiry = _Inquiry(old[1], new[1], found)
    moved: list[Moved] = []
    left: list[Left] = []
    for done, vehicle in enumerate(vehicles):
        wanted.progress(done, len(vehicles))
        taken, refused = _taken(vehicle, (old[1], new[1]))
        left += refused
        if len(taken) == 2:
            one = inquiry.moved(vehicle, (taken[OLD], taken[NEW]), wanted)
            if one.move.is_any:
                moved.append(one)
    wanted.progress(len(vehicles), len(vehicles))
    compared = len(vehicles) - len({one.vehicle.path + one.vehicle.id for one in left})
    return Comparison(old, new, wanted, found, compared, tuple(moved), tuple(left))


def _taken(vehicle: Vehicle, books: Sequence[Rulebook]) -> tuple[list[Taken], list[Left]]:
    taken, refused = [], []
    for which, book in zip(("older", "newer"), books, strict=True):
        try:
            taken.append(vehicle.taken_by(book))
        except Unreadable as error:
            refused.append(Left(vehicle, which, error.reasons))
    return taken, refused


class _Inquiry:
    """Why vehicles move between two rulebooks."""

    def __init__(self, old: Rulebook, new: Rulebook, found: Sequence[Difference]) -> None:
        self._books = (old, new)
        self._by_key = {one.key: one for one in found if not one.is_text}
        self._blend = Blend(old, new)
        self._sources = tuple(map(_sources, self._books))

    def moved(self, vehicle: Vehicle, taken: tuple[Taken, Taken], wanted: Wanted) -> Moved:
        """What moved on this vehicle, if anything, and why."""
        with_plan = wanted.with_plan and bool(self._by_key)
        before, after = (stand(one.diagnosis, one.place, with_plan=with_plan) for one in taken)
        found = move(before, after, (taken[OLD].right, taken[NEW].right), wanted.threshold)
        diagnoses = (taken[OLD].diagnosis, taken[NEW].diagnosis)
        odds = _odds(found)
        reasons = [*self._of_odds(diagnoses, odds)] if odds else []
        reasons += self._of_stops(diagnoses, found)
        return Moved(vehicle, found, odds, tuple(reasons))

    def _of_odds(self, diagnoses: tuple[Diagnosis, Diagnosis], odds: Odds) -> Iterator[Reason]:
        steps = self._blend.steps(*diagnoses, odds)
        for key, step in sorted(steps.items(), key=lambda item: -abs(item[1])):
            if abs(step) >= LEAST_DECIBANS:
                yield Reason(*key, step, self._behind(key, diagnoses))

    def _of_stops(self, diagnoses: tuple[Diagnosis, Diagnosis], found: Move) -> Iterator[Reason]:
        for name in sorted(set(found.before.stops) ^ set(found.after.stops)):
            key = ("findings", name)
            yield Reason(*key, None, self._behind(key, diagnoses))

    def _behind(self, key: Key, diagnoses: tuple[Diagnosis, Diagnosis]) -> tuple[Difference, ...]:
        """The record's own difference, and those of all that it hangs on if its truth changed."""
        section, name = key
        hangs_on: set[Key] = {key}
        if section == "causes" or self._truth(diagnoses, name, OLD) != self._truth(
            diagnoses, name, NEW
        ):
            for sources in self._sources:
                hangs_on |= _keys(behind((_node(section, name),), sources), self._books)
        return tuple(one for one_key, one in self._by_key.items() if one_key in hangs_on)

    def _truth(self, diagnoses: Sequence[Diagnosis], name: str, side: int) -> object:
        return weights_of(diagnoses[side], self._blend.finding(name, side))


def _odds(found: Move) -> Odds | None:
    """The odds that tell a move: of the new leader over the old, or of what shifted most."""
    if found.leader_changed:
        return found.after.leading, found.before.leading
    if found.shifts:
        return found.shifts[0].name, THE_REST
    if found.order_changed:
        first = zip(found.after.first, found.before.first, strict=False)
        return next(((now, was) for now, was in first if now != was), None)
    return None


def _node(section: str, name: str) -> str:
    """A record's name among facts; a cause is no fact and gets one of its own."""
    return f"cause {name}" if section == "causes" else name


def _sources(book: Rulebook) -> Mapping[str, frozenset[str]]:
    """What each finding, computed fact and cause reads."""
    causes = {_node("causes", one.id): facts_of(one.applies_if) for one in book.rules.causes}
    return {**sources_of(book.rules), **causes}


def _keys(facts: frozenset[str], books: Sequence[Rulebook]) -> set[Key]:
    """The records behind these facts: findings, computed facts, questions and their gauges."""
    sections = ("questions", "computed", "findings")
    keys = {(section, fact) for fact in facts for section in sections}
    for book in books:
        for fact in facts:
            question = book.questions.get(fact)
            if isinstance(question, NumberQuestion) and question.gauge is not None:
                keys.add(("gauges", question.gauge))
    return keys
