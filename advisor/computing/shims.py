"""The verb `shims`: the best parts for a driveline in a file, and how sure the gain is."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import Final, NamedTuple

from advisor.computing.forms import BEYOND
from advisor.computing.shimsreading import Task, read_task
from advisor.driveline.angles import direction_vector, joint_angle
from advisor.driveline.phasing import (
    joints_between,
    residual_angle_of,
    torsional_acceleration,
)
from advisor.driveline.published_limits import PUBLISHED_LIMITS
from advisor.driveline.shims import LoadResult, LoadState, ShimChoice, best_shims
from advisor.driveline.uncertainty import combined_uncertainty, expanded_uncertainty, propagate
from advisor.driveline.verdicts import verdict
from advisor.rulebook import LoadError, file_problem


class AccelerationLimit(NamedTuple):
    """A limit of the torsional acceleration in rad/s^2, and who states it."""

    rad_per_s2: float
    whose: str


LIMITS: Final = tuple(
    AccelerationLimit(limit.upper, limit.name)
    for limit in PUBLISHED_LIMITS["torsional-acceleration"]
    if limit.upper is not None
)


class Uncertain(NamedTuple):
    """A value and its standard uncertainty from the slopes, in SI units."""

    value: float
    u: float


@dataclass(frozen=True, slots=True)
class JointChange:
    """One joint's bend in rad before and after; `at_limit` names a limit too near to tell."""

    before: Uncertain
    after: Uncertain
    at_limit: float | None


@dataclass(frozen=True, slots=True)
class LoadChange:
    """One load before and after, angles in rad."""

    name: str
    before: Uncertain
    after: Uncertain
    joints: tuple[JointChange, ...]


@dataclass(frozen=True, slots=True)
class Acceleration:
    """Torsional acceleration in rad/s^2 of the worst residual angle, and its verdicts by limit."""

    before: Uncertain
    after: Uncertain
    decisions: tuple[tuple[AccelerationLimit, str, str], ...]


@dataclass(frozen=True, slots=True)
class Shimmed:
    """The choice with what its uncertainty leaves of it; `gain` is that of the worst residual.

    `gain_is_sure` says that it exceeds twice its standard uncertainty.
    """

    task: Task
    choice: ShimChoice
    before: Uncertain
    after: Uncertain
    gain: Uncertain
    gain_is_sure: bool
    loads: tuple[LoadChange, ...]
    acceleration: Acceleration | None


def find_shims(path: Path) -> Shimmed:
    """The best parts for the driveline in the file. Raises LoadError with all its problems."""
    task = read_task(path)
    try:
        return _found(task)
    except ValueError as error:
        problem = file_problem(path.as_posix(), "wrong-value", str(error))
        raise LoadError([problem]) from error
    except ArithmeticError as error:
        raise LoadError([file_problem(path.as_posix(), "wrong-value", BEYOND)]) from error


def _found(task: Task) -> Shimmed:
    choice = best_shims(
        task.loads,
        [part.adjustment for part in task.parts],
        task.crossed,
        smallest_rad=task.smallest_rad,
        greatest_rad=task.greatest_rad,
    )
    turns = slope_changes(task, choice)
    still = (0.0,) * len(turns)
    first, second = _worst(task, choice.before), _worst(task, choice.loads)
    before = _spread(task, first, partial(_residual, still, task.crossed))
    after = _spread(task, second, partial(_residual, turns, task.crossed))
    gain = _gain(task, first, second, turns)
    return Shimmed(
        task,
        choice,
        before,
        after,
        gain,
        gain.value > expanded_uncertainty(gain.u),
        tuple(_change(task, load, turns) for load in task.loads),
        _acceleration(task, before, after),
    )


def slope_changes(task: Task, choice: ShimChoice) -> tuple[float, ...]:
    """How far in rad the chosen parts turn each member, front to rear."""
    return tuple(
        sum(
            step * part.adjustment.effects[member]
            for step, part in zip(choice.steps, task.parts, strict=True)
        )
        for member in range(len(task.loads[0].slopes_rad))
    )


def _worst(task: Task, results: Sequence[LoadResult]) -> LoadState:
    """The load with the greatest residual angle, which stands for all."""
    index = max(range(len(results)), key=lambda number: results[number].residual_rad)
    return task.loads[index]


def _spread(task: Task, load: LoadState, of: Callable[[LoadState], float]) -> Uncertain:
    """What `of` gives for the load, with the uncertainty that its slopes bring."""
    values = {f"slope_{i}": slope for i, slope in enumerate(load.slopes_rad)}

    def call(**moved: float) -> float:
        return of(replace(load, slopes_rad=tuple(moved[name] for name in values)))

    return Uncertain(*propagate(call, values, dict.fromkeys(values, task.u_slope_rad)))


def _gain(task: Task, first: LoadState, second: LoadState, turns: Sequence[float]) -> Uncertain:
    """How much the worst residual angle falls, from the worst load before and the worst after."""
    still = (0.0,) * len(turns)

    def fall(load: LoadState) -> float:
        return _residual(still, task.crossed, load) - _residual(turns, task.crossed, load)

    if first.name == second.name:
        # Both come from the same readings, whose errors partly cancel.
        return _spread(task, first, fall)
    before = _spread(task, first, partial(_residual, still, task.crossed))
    after = _spread(task, second, partial(_residual, turns, task.crossed))
    return Uncertain(before.value - after.value, combined_uncertainty((before.u, after.u)))


def _residual(turns: Sequence[float], crossed: Sequence[bool], load: LoadState) -> float:
    headings = load.headings_rad or (0.0,) * len(turns)
    members = [
        direction_vector(slope + turn, heading)
        for slope, turn, heading in zip(load.slopes_rad, turns, headings, strict=True)
    ]
    return residual_angle_of(joints_between(members, crossed or (False,) * (len(members) - 2)))


def _change(task: Task, load: LoadState, turns: Sequence[float]) -> LoadChange:
    still = (0.0,) * len(turns)
    joints = []
    for number in range(len(turns) - 1):
        before = _spread(task, load, partial(_bend, still, number))
        after = _spread(task, load, partial(_bend, turns, number))
        near = None
        for limit in (task.smallest_rad, task.greatest_rad):
            if abs(after.value - limit) < expanded_uncertainty(after.u):
                near = limit
        joints.append(JointChange(before, after, near))
    return LoadChange(
        load.name,
        _spread(task, load, partial(_residual, still, task.crossed)),
        _spread(task, load, partial(_residual, turns, task.crossed)),
        tuple(joints),
    )


def _bend(turns: Sequence[float], number: int, load: LoadState) -> float:
    """The bend of the joint between this member and the next."""
    headings = load.headings_rad or (0.0,) * len(turns)
    one, other = number, number + 1
    return joint_angle(
        load.slopes_rad[one] + turns[one],
        load.slopes_rad[other] + turns[other],
        headings[one],
        headings[other],
    )


def _acceleration(task: Task, before: Uncertain, after: Uncertain) -> Acceleration | None:
    if task.shaft_hz is None:
        return None
    speed = {"shaft_frequency_hz": task.shaft_hz}
    first, second = (
        Uncertain(
            *propagate(
                torsional_acceleration,
                {"residual_angle_rad": angle.value, **speed},
                {"residual_angle_rad": angle.u},
            )
        )
        for angle in (before, after)
    )
    decisions = tuple(
        (
            limit,
            verdict(first.value, first.u, upper=limit.rad_per_s2).decision,
            verdict(second.value, second.u, upper=limit.rad_per_s2).decision,
        )
        for limit in LIMITS
    )
    return Acceleration(first, second, decisions)
