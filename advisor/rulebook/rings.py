"""Checks what a remedy says of the rings to choose: its facts, their kinds, and its limits."""

from __future__ import annotations

from advisor.driveline.ringchoice import MATERIALS
from advisor.engine.values import Kind

from .conditions import ConditionReader, read_amount
from .document import Loc
from .draft import Draft, Item
from .facts import FactType
from .models import CauseModel, RingAxisModel, RingsModel
from .names import quoted

SIZES = ("span", "width")
OLD_STACK = ("old_ring_1", "old_ring_2", "old_end_play")
WIDTHS = ("old_width", "new_width")
HERE = ("remedy", "rings")


def check_rings(reader: ConditionReader) -> None:
    """Note everything wrong with the rings of each cause's remedy."""
    for cause in reader.draft.causes.values():
        rings = cause.model.remedy.rings
        if rings is not None:
            if not rings.axes:
                message = "the rings need an axis, better the two that a joint has"
                reader.draft.complain(cause, (*HERE, "axes"), "axis-form", message)
            for index, axis in enumerate(rings.axes):
                _check_axis(reader, cause, (*HERE, "axes", index), axis)
            _check_material(reader, cause, rings)
            _check_limits(reader.draft, cause, rings)


def _check_axis(
    reader: ConditionReader, cause: Item[CauseModel], loc: Loc, axis: RingAxisModel
) -> None:
    given = axis.model_dump(exclude_none=True)
    if not {*SIZES, *OLD_STACK} & set(given):
        message = f"an axis needs {quoted(SIZES, ' and ')}, or {quoted(OLD_STACK)}, or all of them"
        reader.draft.complain(cause, loc, "axis-form", message)
    for group in (SIZES, OLD_STACK, WIDTHS):
        absent = [name for name in group if name not in given]
        if absent and len(absent) < len(group):
            there = quoted([name for name in group if name in given], " and ")
            verb = "is" if len(absent) == 1 else "are"
            message = f"{quoted(absent, ' and ')} {verb} missing; {there} cannot do without"
            reader.draft.complain(cause, loc, "axis-form", message)
    if set(WIDTHS) & set(given) and not set(OLD_STACK) & set(given):
        message = f"{quoted(WIDTHS, ' and ')} only serve together with {quoted(OLD_STACK)}"
        reader.draft.complain(cause, loc, "axis-form", message)
    for name, fact in given.items():
        kind = reader.fact(cause, (*loc, name), fact)
        if kind is not None and not _is_length(kind):
            message = f'"{name}" must be a length (a number), but "{fact}" is {kind.words}'
            reader.draft.complain(cause, (*loc, name), "wrong-dimension", message)


def _is_length(kind: FactType) -> bool:
    return kind.unit is not None and kind.unit.dimension == "length"


def _check_material(reader: ConditionReader, cause: Item[CauseModel], rings: RingsModel) -> None:
    if rings.material is None:
        return
    loc = (*HERE, "material")
    kind = reader.fact(cause, loc, rings.material)
    if kind is None:
        return
    strange = [option for option in kind.options if option not in MATERIALS]
    if kind.kind is not Kind.CHOICE:
        message = f'"material" must be a choice, but "{rings.material}" is {kind.words}'
        reader.draft.complain(cause, loc, "wrong-kind", message)
    elif strange:
        message = f'"{rings.material}" has the option {quoted(strange[:1])}, which is no material'
        hint = f"known here: {quoted(MATERIALS)}"
        reader.draft.complain(cause, loc, "unknown-option", message, hint)


def _check_limits(draft: Draft, cause: Item[CauseModel], rings: RingsModel) -> None:
    limit = read_amount(draft, cause, (*HERE, "limit"), rings.limit, "length")
    if limit is not None and limit <= 0.0:
        message = f'"limit" must be more than 0 mm; read {rings.limit}'
        draft.complain(cause, (*HERE, "limit"), "wrong-value", message)
    loc = (*HERE, "largest_offset")
    offset = read_amount(draft, cause, loc, rings.largest_offset, "length")
    if offset is not None and offset < 0.0:
        message = f'"largest_offset" must be 0 mm or more; read {rings.largest_offset}'
        draft.complain(cause, loc, "wrong-value", message)
