"""The choice of rings as lines of text. Not yet wrapped."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.report.ringviews import (
    NO_STOCK,
    NOT_ENOUGH,
    ONE_AXIS_ONLY,
    ChosenAxis,
    OpenAxis,
    Ring,
    RingsView,
    WantedAxis,
)
from advisor.report.wording import one_line, percent

HOW_TO_GIVE_STOCK = (
    "to choose from your own rings, list them in a file and give it by "
    '"advisor rings CASE --stock FILE", or as "stock: FILE" in your settings'
)


def rings_lines(view: RingsView) -> Iterator[str]:
    """What to fit, or to get, or to measure first."""
    if view.stock:
        yield f"   RINGS, from the stock in {one_line(view.stock)}"
    else:
        yield "   RINGS"
    if view.status == NOT_ENOUGH:
        closest = "; the closest are:" if view.chosen else ""
        yield f"   nothing in stock is likely enough to give the end play wanted{closest}"
    if view.status == ONE_AXIS_ONLY:
        yield "   the stock does for one axis only:"
    for axis in view.chosen:
        yield from _chosen(axis, view.limit)
    if view.probability is not None:
        yield from _together(view, view.probability)
    for wanted in view.wanted:
        yield from _wanted(wanted)
    for axis_open in view.open:
        yield from _open(axis_open)
    yield from (f"   note: {remark}" for remark in view.remarks)
    if view.chosen:
        yield (
            "   sizes only choose the rings: once they are in, measure the end play "
            "of each axis by indicator"
        )
    if view.status == NO_STOCK:
        yield f"   {HOW_TO_GIVE_STOCK}"


def _chosen(axis: ChosenAxis, limit: str) -> Iterator[str]:
    first, second = axis.rings
    if first.box == second.box:
        rings = f"two rings of {_box(first)}"
    else:
        rings = f"one ring of {_box(first)}, one of {_box(second)}"
    yield f"   axis {axis.axis}: {rings}"
    yield (
        f"      end play {axis.end_play} (from {axis.known_by}), "
        f"{percent(axis.probability)} likely above 0 and up to {limit}"
    )


def _box(ring: Ring) -> str:
    return f'box "{one_line(ring.box)}" ({ring.thickness}; {ring.left} left after this)'


def _together(view: RingsView, probability: float) -> Iterator[str]:
    if len(view.chosen) > 1:
        yield f"   both axes within limits: {percent(probability)} likely"
    yield (
        f"   off centre by the rings: {view.off_centre}, which gives a runout of {view.runout}; "
        f"the end play can add up to {view.runout_of_play}"
    )


def _wanted(axis: WantedAxis) -> Iterator[str]:
    if axis.thinnest is None:
        yield (
            f"   axis {axis.axis}: no ring can be chosen by these readings: two of "
            f"{axis.thickness} would suit best, but only {percent(axis.probability)} likely"
        )
        yield f"      would settle it: {axis.settled_by}"
        return
    yield (
        f"   axis {axis.axis}: wanted are two equal rings of {axis.thickness} "
        f"({axis.thinnest} to {axis.thickest} will do)"
    )


def _open(axis: OpenAxis) -> Iterator[str]:
    if axis.reason:
        yield f"   axis {axis.axis}: {axis.reason}; check what was measured"
    if axis.measure:
        yield f"   axis {axis.axis}: still to be measured:"
        yield from (f"    - {fact.name} [{fact.id}]" for fact in axis.measure)
