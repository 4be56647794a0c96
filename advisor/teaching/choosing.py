"""Which vehicle a lesson is about: drawn by a seed until one has what the trainer asks for."""

from __future__ import annotations

import secrets
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice
from random import Random

from advisor.vehicles import Vehicle, Vehicles

from .errors import NoSuchVehicleError, SeedError
from .practicefile import LARGEST_SEED
from .work import Work

DEFAULT_LEVEL = "medium"
SEEDS = 1_000_000  # to choose from by chance: short enough to say aloud
MOST_DRAWS = 20_000
MOST_VEHICLES = 300
CLEAR_LEAD = 0.8  # probability of the fault once all is answered, on an easy vehicle
NEAR_FRONT = 5  # places in the ranking after the opening


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a lesson's vehicle should have; None and False leave it to chance.

    Easy: one fault that is near the front after the opening and clear once all is known.
    Medium: all answers together put a fault first. Hard: so does this, but there are two faults,
    or the fault is far down the ranking after the opening.
    """

    cause: str | None = None
    two: bool = False
    level: str | None = None

    @property
    def says_something(self) -> bool:
        """Whether anything was asked for."""
        return self != Wanted()


@dataclass(frozen=True, slots=True)
class Drawn:
    """A vehicle and the number under which the seed gives it."""

    number: int
    vehicle: Vehicle


def seed_or_any(seed: int | None) -> int:
    """The seed itself, or one by chance; raises SeedError for one that no practice file holds."""
    if seed is None:
        return secrets.randbelow(SEEDS)
    if not 0 <= seed <= LARGEST_SEED:
        raise SeedError(seed, LARGEST_SEED)
    return seed


def drawn(vehicles: Vehicles, seed: int, number: int) -> Vehicle | None:
    """The vehicle of this seed and number; None when these faults can't be on one vehicle."""
    rng = Random(vehicles.seed_text(seed, number))
    return vehicles.vehicle(vehicles.faults(rng), rng)


def choose(vehicles: Vehicles, seed: int, wanted: Wanted) -> Drawn:
    """The first vehicle of the seed that has what is wanted; raises NoSuchVehicleError."""
    for number in islice(_numbers(vehicles, seed, wanted), MOST_VEHICLES):
        vehicle = drawn(vehicles, seed, number)
        if vehicle is not None and _fits(vehicles, vehicle, wanted.level or DEFAULT_LEVEL):
            return Drawn(number, vehicle)
    raise NoSuchVehicleError(seed)


def _numbers(vehicles: Vehicles, seed: int, wanted: Wanted) -> Iterator[int]:
    """The numbers whose faults are of the kind wanted."""
    for number in range(MOST_DRAWS):
        faults = vehicles.faults(Random(vehicles.seed_text(seed, number)))
        if faults and (wanted.cause is None or wanted.cause in faults):
            if wanted.two and len(faults) != 2:
                continue
            if wanted.level == "easy" and len(faults) != 1:
                continue
            yield number


def _fits(vehicles: Vehicles, vehicle: Vehicle, level: str) -> bool:
    work = Work(vehicles.rulebook, vehicle)
    work.begin()
    front = [one.cause for one in work.diagnosis.ranking().causes[:NEAR_FRONT]]
    is_near = any(fault in front for fault in vehicle.faults)
    for question, text in vehicle.answers.items():
        work.diagnosis.answer(question, vehicles.rulebook.parse_answer(question, text))
    ranking = work.diagnosis.ranking()
    first = ranking.causes[0]
    if ranking.none_leads or first.cause not in vehicle.faults:
        return False
    if level == "easy":
        return is_near and first.probability >= CLEAR_LEAD
    return level == "medium" or not is_near or len(vehicle.faults) == 2
