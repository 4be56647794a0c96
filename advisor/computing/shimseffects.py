"""What a part of each kind does to the slopes, from the lengths in the file."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from advisor import units
from advisor.computing.shimsamounts import FileReader, Loc
from advisor.computing.shimsfile import (
    AdjustmentModel,
    DirectModel,
    MountShimModel,
    SupportShimModel,
    WedgeModel,
)
from advisor.driveline.shims import (
    Adjustment,
    mount_shim_effects,
    support_shim_effects,
    wedge_effects,
)

_SHAFT: Final = ("0.2 m", "3 m")
_NEAR: Final = ("0 mm", "600 mm")
_FAR: Final = ("0.3 m", "4 m")
_WEDGES: Final = ("-8 deg", "8 deg")
_PLATES: Final = ("-50 mm", "50 mm")
_TURNS: Final = ("-15 deg", "15 deg")


def read_adjustment(
    reader: FileReader, loc: Loc, model: AdjustmentModel, members: int
) -> Adjustment | None:
    """The adjustment for a shaft of so many members (3 or 4), or None with the problems noted."""
    if isinstance(model, WedgeModel):
        effects, dimension = _wedge(reader, loc, model, members), "angle"
    elif isinstance(model, MountShimModel):
        effects, dimension = _mount(reader, loc, model, members), "length"
    elif isinstance(model, SupportShimModel):
        effects, dimension = _support(reader, loc, model, members), "length"
    else:
        effects, dimension = _direct(reader, loc, model, members)
    steps = _steps(reader, (*loc, "sizes"), model.sizes, dimension)
    if effects is None or steps is None:
        return None
    return Adjustment(model.name, steps, effects)


def _steps(
    reader: FileReader, loc: Loc, sizes: Sequence[str], dimension: str
) -> tuple[float, ...] | None:
    if dimension == "angle":
        return reader.all_angles(loc, sizes, _WEDGES)
    found = [reader.plate((*loc, i), text, _PLATES) for i, text in enumerate(sizes)]
    known = tuple(one for one in found if one is not None)
    return known if len(known) == len(found) else None


def _wedge(
    reader: FileReader, loc: Loc, model: WedgeModel, members: int
) -> tuple[float, ...] | None:
    nose = reader.distance((*loc, "pinion_length"), model.pinion_length, _NEAR)
    shaft = reader.length((*loc, "shaft_length"), model.shaft_length, _SHAFT)
    if nose is None or shaft is None:
        return None
    return wedge_effects(nose, shaft, pieces=members - 2)


def _mount(
    reader: FileReader, loc: Loc, model: MountShimModel, members: int
) -> tuple[float, ...] | None:
    mount = reader.length((*loc, "mount_distance"), model.mount_distance, _FAR)
    joint = reader.length((*loc, "joint_distance"), model.joint_distance, _FAR)
    shaft = reader.length((*loc, "shaft_length"), model.shaft_length, _SHAFT)
    rear = None
    if members == 4:
        rear = _rear(reader, loc, model)
        if rear is None:
            return None
    else:
        for name in ("support_to_joint", "rear_shaft_length"):
            if getattr(model, name) is not None:
                message = f'"{name}" is for a two-piece shaft, but three slopes are given'
                reader.complain((*loc, name), message, "leave it out, or give four slopes")
    if mount is None or joint is None or shaft is None:
        return None
    return mount_shim_effects(mount, joint, shaft, second_shaft=rear)


def _rear(reader: FileReader, loc: Loc, model: MountShimModel) -> tuple[float, float] | None:
    """Distance from support to centre joint, and length of the rear shaft."""
    for name in ("support_to_joint", "rear_shaft_length"):
        if getattr(model, name) is None:
            message = f'"{name}" is missing; a two-piece shaft needs it'
            reader.complain(loc, message, f'add a line "{name}: ..."', "missing-field")
    if model.support_to_joint is None or model.rear_shaft_length is None:
        return None
    overhang = reader.distance((*loc, "support_to_joint"), model.support_to_joint, _NEAR)
    length = reader.length((*loc, "rear_shaft_length"), model.rear_shaft_length, _SHAFT)
    return None if overhang is None or length is None else (overhang, length)


def _support(
    reader: FileReader, loc: Loc, model: SupportShimModel, members: int
) -> tuple[float, ...] | None:
    if members == 3:
        message = '"support-shim" is for a two-piece shaft, but three slopes are given'
        reader.complain((*loc, "kind"), message, "leave this adjustment out, or give four slopes")
        return None
    support = reader.length((*loc, "support_distance"), model.support_distance, _SHAFT)
    joint = reader.length((*loc, "centre_joint_distance"), model.centre_joint_distance, _SHAFT)
    rear = reader.length((*loc, "rear_shaft_length"), model.rear_shaft_length, _SHAFT)
    if support is None or joint is None or rear is None:
        return None
    return support_shim_effects(support, joint, rear)


def _direct(
    reader: FileReader, loc: Loc, model: DirectModel, members: int
) -> tuple[tuple[float, ...] | None, str]:
    dimension = "length" if _is_length(model.per) else "angle"
    per = reader.amount((*loc, "per"), model.per, dimension)
    effects = reader.all_angles((*loc, "effects"), model.effects, _TURNS)
    if len(model.effects) != members:
        message = f"{len(model.effects)} effects are given for {members} slopes"
        reader.complain((*loc, "effects"), message, "write one for each slope, front to rear")
        effects = None
    if per and per.si == 0.0:
        reader.complain((*loc, "per"), f"read {per}; it must not be 0")
        per = None
    if per is None or effects is None:
        return None, dimension
    return tuple(effect / per.si for effect in effects), dimension


def _is_length(text: str) -> bool:
    try:
        units.parse(text, "length")
    except units.UnitError:
        return False
    return True
