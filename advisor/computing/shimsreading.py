"""Reading the file of the verb `shims` into SI units, all its problems in one go."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from advisor.computing.shimsamounts import FileReader, Loc
from advisor.computing.shimseffects import read_adjustment
from advisor.computing.shimsfile import (
    FORMAT,
    KINDS,
    FrameModel,
    InclinometerModel,
    LimitsModel,
    LoadModel,
)
from advisor.driveline.shims import (
    GREATEST_JOINT_ANGLE_RAD,
    MOST_TRIALS,
    SMALLEST_JOINT_ANGLE_RAD,
    Adjustment,
    LoadState,
)
from advisor.driveline.uncertainty import gauge_uncertainty
from advisor.rulebook import LoadError, did_you_mean, read_yaml

LIMITS_SOURCE: Final = "two maker manuals, handbook section 2.5 (F)"
INCLINOMETER: Final = ("0.1 deg", "0.2 deg")
"""Step and limit; handbook section 12, common practice (P)."""

_SLOPES: Final = ("-20 deg", "20 deg")
_BENDS: Final = ("0 deg", "15 deg")


@dataclass(frozen=True, slots=True)
class Part:
    """One adjustment with its sizes as typed, in the order of its steps, and its kind."""

    kind: str
    sizes: tuple[str, ...]
    adjustment: Adjustment

    def step_text(self, step: float) -> str:
        """The step as typed; leaving the place alone is no part."""
        if step == 0.0:
            return "leave as it is"
        return self.sizes[self.adjustment.steps.index(step)]


@dataclass(frozen=True, slots=True)
class Task:
    """The file in SI units: angles in rad, the shaft speed in Hz; None when it is not given.

    `slopes` are the slopes as typed, by load. `u_slope_rad` is their standard uncertainty.
    """

    vehicle: str
    loads: tuple[LoadState, ...]
    slopes: Mapping[str, tuple[str, ...]]
    crossed: tuple[bool, ...]
    parts: tuple[Part, ...]
    smallest_rad: float
    greatest_rad: float
    limits_source: str
    inclinometer: tuple[str, str]
    u_slope_rad: float
    shaft_hz: float | None
    shaft_speed: str
    warnings: tuple[str, ...]


def read_task(path: Path) -> Task:
    """The task in the file at `path`. Raises LoadError with every problem that it has."""
    document = read_yaml(path)
    reader = FileReader(document)
    data = document.data
    if not isinstance(data, dict):
        raise LoadError([document.problem((), "wrong-type", "the file is a mapping (key: value)")])
    if "format" in data and data["format"] != FORMAT:
        message = f"this program understands format {FORMAT}"
        raise LoadError(
            [document.problem(("format",), "unknown-format", message, "write format: 1")]
        )
    frame = reader.valid(FrameModel, data, ())
    loads = _read_loads(reader, data.get("loads"))
    members = _members(reader, loads)
    parts = _read_parts(reader, data.get("adjustments"), members)
    task = _task(reader, frame, loads, parts, members) if frame else None
    if reader.problems or task is None:
        raise LoadError(reader.problems)
    return task


def _task(
    reader: FileReader,
    frame: FrameModel,
    loads: Mapping[str, tuple[LoadModel, LoadState]],
    parts: tuple[Part, ...],
    members: int,
) -> Task:
    if members and len(frame.crossed) not in (0, members - 2):
        count = members - 2
        shafts = "one shaft" if count == 1 else "two shafts"
        message = f"{len(frame.crossed)} are given for {shafts}"
        reader.complain(("crossed",), message, "write true or false for each shaft")
    smallest, greatest, source = _read_limits(reader, frame.limits)
    inclinometer, u = _read_inclinometer(reader, frame.inclinometer)
    speed = None
    if frame.shaft_speed is not None:
        speed = reader.speed(("shaft_speed",), frame.shaft_speed, ("100 rpm", "7000 rpm"))
    _check_count(reader, parts, len(frame.loads))
    return Task(
        frame.vehicle,
        tuple(state for _, state in loads.values()),
        {name: model.slopes for name, (model, _) in loads.items()},
        frame.crossed,
        parts,
        smallest,
        greatest,
        source,
        inclinometer,
        u,
        speed,
        frame.shaft_speed or "",
        tuple(reader.warnings),
    )


def _read_loads(reader: FileReader, data: object) -> dict[str, tuple[LoadModel, LoadState]]:
    loads = {}
    for name, raw in data.items() if isinstance(data, dict) else ():
        loc: Loc = ("loads", name)
        model = reader.valid(LoadModel, raw, loc)
        if model is None:
            continue
        slopes = reader.all_angles((*loc, "slopes"), model.slopes, _SLOPES)
        headings = reader.all_angles((*loc, "headings"), model.headings, _SLOPES)
        if slopes is not None and headings is not None:
            loads[name] = (model, LoadState(name, slopes, headings))
    return loads


def _members(reader: FileReader, loads: Mapping[str, tuple[LoadModel, LoadState]]) -> int:
    """How many members the first load has, which all others must have; 0 when none is sound."""
    members = 0
    for name, (_, state) in loads.items():
        members = members or len(state.slopes_rad)
        first = next(iter(loads))
        if len(state.slopes_rad) != members:
            message = f'{len(state.slopes_rad)} slopes are given, but "{first}" has {members}'
            reader.complain(("loads", name, "slopes"), message, "measure the same members")
        elif len(state.headings_rad) not in (0, members):
            message = f"{len(state.headings_rad)} headings are given for {members} slopes"
            reader.complain(("loads", name, "headings"), message, "write one for each, or none")
    return members


def _read_parts(reader: FileReader, data: object, members: int) -> tuple[Part, ...]:
    parts: list[Part] = []
    for index, raw in enumerate(data if isinstance(data, list) else ()):
        loc: Loc = ("adjustments", index)
        kind = raw.get("kind") if isinstance(raw, dict) else None
        if not isinstance(raw, dict) or not isinstance(kind, str) or kind not in KINDS:
            _complain_kind(reader, loc, raw, kind)
            continue
        model = reader.valid(KINDS[kind], raw, loc)
        adjustment = read_adjustment(reader, loc, model, members) if model and members else None
        if model and adjustment:
            if any(one.adjustment.name == model.name for one in parts):
                reader.complain((*loc, "name"), f'"{model.name}" stands twice', "rename one")
            parts.append(Part(kind, model.sizes, adjustment))
    return tuple(parts)


def _complain_kind(reader: FileReader, loc: Loc, raw: object, kind: Any) -> None:
    known = ", ".join(KINDS)
    if not isinstance(raw, dict):
        reader.complain(loc, "an adjustment is a mapping (key: value)", code="wrong-type")
    elif kind is None:
        reader.complain(loc, '"kind" is missing', f"write one of {known}", "missing-field")
    else:
        hint = did_you_mean(str(kind), KINDS)
        reader.complain((*loc, "kind"), f'"{kind}" is no kind of adjustment', hint)


def _read_limits(reader: FileReader, limits: LimitsModel | None) -> tuple[float, float, str]:
    if limits is None:
        return SMALLEST_JOINT_ANGLE_RAD, GREATEST_JOINT_ANGLE_RAD, LIMITS_SOURCE
    ends = []
    for name, text in (("smallest", limits.smallest), ("greatest", limits.greatest)):
        angle = reader.angle(("limits", name), text, _BENDS)
        if angle is not None and angle < 0.0:
            reader.complain(("limits", name), f"read {text}; a joint angle is 0 deg or more")
        ends.append(angle or 0.0)
    if ends[0] > ends[1] and not reader.problems:
        message = "the smallest joint angle exceeds the greatest"
        reader.complain(("limits",), message, "exchange them", "reversed-range")
    return ends[0], ends[1], limits.source


def _read_inclinometer(
    reader: FileReader, gauge: InclinometerModel | None
) -> tuple[tuple[str, str], float]:
    texts = (gauge.step, gauge.limit) if gauge else INCLINOMETER
    found = []
    for name, text in zip(("step", "limit"), texts, strict=True):
        angle = reader.angle(("inclinometer", name), text, ("0 deg", "2 deg"))
        if angle is not None and angle < 0.0:
            reader.complain(("inclinometer", name), f"read {text}; it must not be below 0")
        found.append(max(angle or 0.0, 0.0))
    return texts, gauge_uncertainty(found[0], found[1])


def _check_count(reader: FileReader, parts: tuple[Part, ...], loads: int) -> None:
    count = math.prod(len({0.0, *part.adjustment.steps}) for part in parts)
    most = MOST_TRIALS // loads
    if count > most:
        reader.complain(
            ("adjustments",),
            f"the sizes allow {count} combinations",
            f"leave out sizes until there are at most {most}",
        )
