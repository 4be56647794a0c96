"""Closed cases of made-up vehicles, with the outcome: for replaying and for calibrating."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from random import Random

from advisor.cases import FORMAT, CaseFile, Record, Result, RulebookRef, case_text

from .readings import DONT_KNOW
from .vehicle import Vehicle, Vehicles

BY = "simulated"


def simulated_cases(
    vehicles: Vehicles, count: int, seed: int, *, tests: float = 1.0, dont_know: float = 0.0
) -> Iterator[CaseFile]:
    """So many closed cases; the same seed and rulebook version give the same.

    Faults are drawn by the rulebook's prior, *none of the listed* among them. A share `tests` of
    the tests beyond the opening was done, and a share `dont_know` of the answers is "don't know";
    both 0 to 1.
    """
    for number in range(count):
        rng = Random(vehicles.seed_text(seed, number))
        vehicle = None
        while vehicle is None:  # two causes that need different vehicles are drawn again
            vehicle = vehicles.vehicle(vehicles.faults(rng), rng)
        case_id = f"simulated-{seed}-{number + 1}"
        yield simulated_case(vehicles, vehicle, case_id, rng, tests=tests, dont_know=dont_know)


def simulated_case(  # noqa: PLR0913 - one argument a choice
    vehicles: Vehicles,
    vehicle: Vehicle,
    case_id: str,
    rng: Random,
    *,
    tests: float = 1.0,
    dont_know: float = 0.0,
) -> CaseFile:
    """The closed case of one vehicle; see `simulated_cases`."""
    rules, meta = vehicles.rulebook.rules, vehicles.rulebook.meta
    opening = frozenset(rules.opening)
    done = {
        question
        for test in rules.tests
        if rng.random() < tests or test.id in opening
        for question in test.questions
    }
    records = tuple(
        Record(question=question, answer=DONT_KNOW if rng.random() < dont_know else text, by=BY)
        for question, text in vehicle.answers.items()
        if question in done
    )
    return CaseFile(
        format=FORMAT,
        id=case_id,
        rulebook=RulebookRef(id=meta.id, version=meta.version),
        answers=records,
        outcome=Result(causes=vehicle.faults, none_of_the_listed=not vehicle.faults),
    )


def write_simulated_cases(folder: Path, cases: Iterator[CaseFile]) -> int:
    """Write each case into the folder, which must exist; gives how many. Raises OSError.

    Unlike a case at work these are not synced to the disk one by one: they can be made again.
    """
    count = 0
    for case in cases:
        (folder / f"{case.id}.yaml").write_text(case_text(case), encoding="utf-8")
        count += 1
    return count
