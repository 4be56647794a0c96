"""Picture: what turns how fast at which road speed, and where the measured frequency lies."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from advisor import units
from advisor.engine.values import Number
from advisor.page.canvas import (
    ACCENT,
    INK,
    SMALL,
    Picture,
    as_svg,
    drawing,
    new_figure,
    plot_area,
    shortened,
)
from advisor.report.wording import order_name

NAME: Final = "orders"
SHOWN: Final = ("1x-wheel", "1x-shaft", "2x-shaft", "1x-engine")
COVERAGE: Final = 2.0  # standard uncertainties that the bars of the measured point reach
BEYOND: Final = 1.3  # of the measured speed the lines go on
LINES: Final = {"1x-wheel": ":", "1x-shaft": "-", "2x-shaft": "--", "1x-engine": "-."}
OTHER_LINE: Final = (0, (9, 2, 1, 2, 1, 2))
NEAREST_LABELS: Final = 0.065  # of the height


@dataclass(frozen=True, slots=True)
class OrderLines:
    """What the picture shows, in SI: the reading, and each order's frequency at its road speed.

    `matching` is the order that fits the reading, or the name of none; None when several fit.
    """

    speed: Number
    measured: Number
    order_hz: Mapping[str, float]
    matching: str | None
    speed_unit: units.Unit
    frequency_unit: units.Unit

    def shown(self) -> dict[str, float]:
        """The orders drawn: the four usual ones that are known, and the one that fits."""
        wanted = {*SHOWN, self.matching}
        return {name: hz for name, hz in self.order_hz.items() if name in wanted}


def orders_picture(view: OrderLines) -> Picture:
    """Straight lines through the origin, one an order, and the measured point."""
    orders = view.shown()
    title = "Frequency against road speed"
    with drawing(NAME):
        figure = new_figure(290.0)
        axes = plot_area(figure, left=48.0, bottom=46.0, right=86.0, top=14.0)
        speed = view.speed.value / view.speed_unit.factor
        right = BEYOND * speed
        ends = {
            name: BEYOND * hz / view.frequency_unit.factor for name, hz in orders.items() if hz > 0
        }
        measured = view.measured.value / view.frequency_unit.factor
        top = 1.06 * max([*ends.values(), 1.2 * measured])
        for name, end in ends.items():
            axes.plot(
                [0.0, right],
                [0.0, end],
                color=INK,
                linestyle=LINES.get(name, OTHER_LINE),
                linewidth=2.4 if name == view.matching else 1.3,
                gid=f"order {name}",
            )
        for name, height in zip(ends, _spread(list(ends.values()), top), strict=True):
            axes.annotate(
                order_name(name),
                (right, height),
                xytext=(6.0, 0.0),
                textcoords="offset points",
                va="center",
                fontsize=SMALL,
                fontweight="bold" if name == view.matching else "normal",
                annotation_clip=False,
            )
        axes.errorbar(
            [speed],
            [measured],
            xerr=COVERAGE * view.speed.u / view.speed_unit.factor,
            yerr=COVERAGE * view.measured.u / view.frequency_unit.factor,
            fmt="o",
            color=ACCENT,
            markersize=7.0,
            capsize=4.0,
            elinewidth=1.8,
            capthick=1.8,
            zorder=5.0,
            gid="measured",
        )
        axes.set_xlim(0.0, right)
        axes.set_ylim(0.0, top)
        axes.set_xlabel(f"road speed in {view.speed_unit.symbol}")
        axes.set_ylabel(f"frequency in {view.frequency_unit.symbol}")
        axes.grid(True)
        says = _says(view)
        svg = as_svg(figure, NAME, title, says)
    note = "The dot is what was measured; its bars reach twice the standard uncertainty."
    return Picture(NAME, title, says, note, svg)


def _says(view: OrderLines) -> str:
    unit = view.frequency_unit
    at = units.show(view.speed.value, view.speed_unit, view.speed.u)
    read = units.show(view.measured.value, unit, view.measured.u)
    lines = ", ".join(
        f"{order_name(name)} {shortened(hz, unit, 3)}" for name, hz in view.shown().items()
    )
    if view.matching is None:
        fits = "more than one fits the reading"
    elif view.matching in view.order_hz:
        fits = f"the reading fits {order_name(view.matching)}"
    else:
        fits = "the reading fits none of these"
    return f"Measured: {read} at {at}. At that speed: {lines}; {fits}."


def _spread(heights: Sequence[float], top: float) -> list[float]:
    """The heights, those moved up that stand too close to be read apart."""
    order = sorted(range(len(heights)), key=lambda index: heights[index])
    spread = list(heights)
    for lower, upper in pairwise(order):
        spread[upper] = max(spread[upper], spread[lower] + NEAREST_LABELS * top)
    return spread
