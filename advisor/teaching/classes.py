"""A class: a practice file for each learner, and the trainer's sheet with what is wrong."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from advisor.cases import WriteError
from advisor.layout import command
from advisor.report.wording import cause_name, minutes
from advisor.vehicles import Vehicles

from .choosing import Wanted, choose, seed_or_any
from .errors import ClassError, SeedError
from .lesson import practice_of
from .practicefile import LARGEST_SEED, write_practice
from .score import advised

LARGEST_CLASS = 200


def class_sheet(
    folder: Path, vehicles: Vehicles, seed: int | None, wanted: Wanted, count: int
) -> str:
    """Write `count` practice files into `folder`, made if need be; gives the trainer's sheet.

    The vehicles have seeds one after another, from `seed` on. Raises ClassError, SeedError,
    CaseError, NoSuchVehicleError; no file is overwritten, and none is left when not all could be
    written: without its sheet nobody would know what is wrong with a vehicle.
    """
    if not 1 <= count <= LARGEST_CLASS:
        raise ClassError(f"read {count} for --class; expected 1 to {LARGEST_CLASS}")
    paths = [folder / f"vehicle-{number:03d}.yaml" for number in range(1, count + 1)]
    there = next((path for path in paths if path.exists() or path.is_symlink()), None)
    if there is not None:
        raise ClassError(f"{there} is there already; name another folder")
    first = seed_or_any(seed)
    if first + count - 1 > LARGEST_SEED:
        raise SeedError(first, LARGEST_SEED - count + 1)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise WriteError.from_system(folder, error) from error
    written: list[Path] = []
    try:
        return "\n".join(_lines(paths, vehicles, first, wanted, written))
    except BaseException:
        for path in written:
            path.unlink(missing_ok=True)
        raise


def _lines(
    paths: list[Path], vehicles: Vehicles, first: int, wanted: Wanted, written: list[Path]
) -> Iterator[str]:
    """The lines of the sheet; what was written for them is added to `written`."""
    meta = vehicles.rulebook.meta
    yield f"practice vehicles of rulebook {meta.id} {meta.version}, for the trainer"
    for seed, path in enumerate(paths, first):
        chosen = choose(vehicles, seed, wanted)
        write_practice(path, practice_of(vehicles.rulebook, seed, chosen), fresh=True)
        written.append(path)
        way = advised(vehicles.rulebook, chosen.vehicle)
        names = "; and: ".join(cause_name(vehicles.rulebook, f) for f in chosen.vehicle.faults)
        yield f"- {path.name} (seed {seed}): {names}. The advisor took {minutes(way.minutes)}"
    yield f"a learner runs: {command('practise', paths[0])}"
