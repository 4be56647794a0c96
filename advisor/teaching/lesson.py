"""A lesson: one learner's work on one practice vehicle, on disk after every step."""

from __future__ import annotations

from pathlib import Path

from advisor.cases import CaseLock, ChangedError, RulebookRef, WriteError
from advisor.cases.store import text_on_disk
from advisor.rulebook import Rulebook
from advisor.vehicles import Vehicle, Vehicles

from .choosing import Drawn, Wanted, choose, drawn
from .errors import ChangedVehicleError
from .practicefile import FORMAT, Practice, Step, mark_of, read_practice, write_practice
from .work import Shown, Work


class Lesson:
    """An open practice file; each step is on disk before it counts.

    `text` is that of the file, over which nothing is written once another program has changed
    it; `lock` keeps other programs off meanwhile. A step raises WriteError or
    NotOverwrittenError when it could not be written, and does not count then.
    """

    def __init__(  # noqa: PLR0913 - all that is known of a lesson when it is opened
        self,
        path: Path,
        rulebook: Rulebook,
        vehicle: Vehicle,
        practice: Practice,
        *,
        text: str | None,
        lock: CaseLock | None = None,
    ) -> None:
        self.path = path
        self.rulebook = rulebook
        self.vehicle = vehicle
        self.practice = practice
        self._text = text
        self._lock = lock
        self.work = Work(rulebook, vehicle)
        self.opening = self.work.begin()
        for step in practice.steps:
            self._do(step)

    def test(self, name: str) -> list[Shown]:
        """Do a test."""
        self._write(Step(test=name))
        return self.work.test(name)

    def repair(self, cause: str) -> bool:
        """Mend a cause; whether that cures the vehicle."""
        self._write(Step(repair=cause))
        return self.work.repair(cause)

    def take_hint(self) -> None:
        """Take a look at the ranking; the score tells it."""
        self._write(Step(hint="ranking"))

    def hand_on(self) -> None:
        """Hand the vehicle on."""
        self._write(Step(handed_on=True))
        self.work.hand_on()

    def _do(self, step: Step) -> None:
        if step.test is not None:
            self.work.test(step.test)
        elif step.repair is not None:
            self.work.repair(step.repair)
        elif step.handed_on:
            self.work.hand_on()

    def _write(self, step: Step) -> None:
        practice = self.practice.after(step)
        try:
            self._text = write_practice(self.path, practice, check=self._check_is_ours)
        except WriteError:  # the disk may have failed after the new file was in its place
            self._text = text_on_disk(self.path) or self._text
            raise
        self.practice = practice

    def _check_is_ours(self) -> None:
        if self._lock is not None:
            self._lock.check()
        if text_on_disk(self.path) != self._text:
            raise ChangedError(self.path)


def practice_of(rulebook: Rulebook, seed: int, chosen: Drawn) -> Practice:
    """A practice on this vehicle, not begun."""
    meta = rulebook.meta
    return Practice(
        format=FORMAT,
        rulebook=RulebookRef(id=meta.id, version=meta.version),
        seed=seed,
        number=chosen.number,
        mark=mark_of(chosen.vehicle),
    )


def begin_lesson(
    path: Path, vehicles: Vehicles, seed: int, wanted: Wanted, lock: CaseLock | None = None
) -> Lesson:
    """Draw a vehicle and write its practice file; raises NoSuchVehicleError, CaseError."""
    chosen = choose(vehicles, seed, wanted)
    practice = practice_of(vehicles.rulebook, seed, chosen)
    text = write_practice(path, practice, fresh=True)
    return Lesson(path, vehicles.rulebook, chosen.vehicle, practice, text=text, lock=lock)


def open_lesson(path: Path, vehicles: Vehicles, lock: CaseLock | None = None) -> Lesson:
    """Go on with a practice file; raises LoadError, ChangedVehicleError."""
    text = text_on_disk(path)
    practice = read_practice(path, vehicles.rulebook)
    vehicle = drawn(vehicles, practice.seed, practice.number)
    if vehicle is None or mark_of(vehicle) != practice.mark:
        raise ChangedVehicleError(path)
    return Lesson(path, vehicles.rulebook, vehicle, practice, text=text, lock=lock)
