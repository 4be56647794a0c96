"""Picture: how the speed behind the joints rises and falls over one turn of the shaft."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from matplotlib.axes import Axes

from advisor.driveline.phasing import Joint, chain_speed_ratio
from advisor.page.canvas import (
    ACCENT,
    INK,
    SMALL,
    SOFT,
    Picture,
    as_svg,
    drawing,
    new_figure,
    plot_area,
)
from advisor.page.driveline import Driveline

NAME: Final = "turning"
STEPS: Final = 180  # of a turn; two degrees each
ALONE: Final = (":", "-.", (0, (6, 2, 1, 2, 1, 2)))


def fluctuation_curve(joints: Sequence[Joint]) -> list[float]:
    """How much in per cent the speed behind the joints is above (or below) the mean, by steps."""
    turns = (2.0 * math.pi * step / STEPS for step in range(STEPS + 1))
    return [100.0 * (chain_speed_ratio(joints, turn) - 1.0) for turn in turns]


def turning_picture(line: Driveline) -> Picture:
    """The whole chain now, and after the cure; without a cure each joint alone as well."""
    joints = line.joints()
    cured = line.cured()
    title = "Speed over one turn of the shaft"
    now = fluctuation_curve(joints)
    others = (
        {"after": fluctuation_curve(cured.joints())}
        if cured is not None
        else {
            f"joint {number} alone": fluctuation_curve([joint])
            for number, joint in enumerate(joints, 1)
        }
    )
    with drawing(NAME):
        figure = new_figure(280.0)
        axes = plot_area(figure, left=66.0, bottom=46.0, right=14.0, top=54.0)
        _curves(axes, now, others)
        axes.set_xlabel("turn of the shaft in deg")
        axes.set_ylabel("speed off the mean in %")
        says = _says(line, now, others)
        svg = as_svg(figure, NAME, title, says)
    note = (
        f"{line.where}. Solid: now. Dashed: with the cure."
        if cured is not None
        else "Solid: behind all joints. The thinner lines show what each joint does alone."
    )
    return Picture(NAME, title, says, note, svg)


def _curves(axes: Axes, now: Sequence[float], others: dict[str, list[float]]) -> None:
    turns = [360.0 * step / STEPS for step in range(STEPS + 1)]
    axes.axhline(0.0, color=SOFT, linewidth=1.0)
    axes.plot(turns, now, color=INK, linewidth=2.4, label="now", gid="now")
    styles = ("--",) if "after" in others else ALONE
    for (name, curve), style in zip(others.items(), styles, strict=False):
        colour = ACCENT if name == "after" else INK
        axes.plot(turns, curve, color=colour, linestyle=style, label=name, gid=name, linewidth=1.5)
    axes.set_xlim(0.0, 360.0)
    axes.set_xticks(range(0, 361, 90))
    most = max(abs(value) for curve in (now, *others.values()) for value in curve)
    axes.set_ylim(-1.15 * max(most, 0.01), 1.15 * max(most, 0.01))
    axes.grid(True, axis="x")
    axes.legend(
        loc="lower left",
        bbox_to_anchor=(-0.05, 1.0),
        ncols=2,
        frameon=False,
        fontsize=SMALL,
        handlelength=2.2,
        columnspacing=1.2,
    )


def _says(line: Driveline, now: Sequence[float], others: dict[str, list[float]]) -> str:
    told = [f"over one turn the speed behind the joints ranges from {_range(now)} of the mean"]
    told += [f"{name} from {_range(curve)}" for name, curve in others.items()]
    said = "; ".join(told)
    return f"{line.where}: {said}." if line.where else f"{said[0].upper()}{said[1:]}."


def _range(curve: Sequence[float]) -> str:
    return f"{min(curve):+.2f} % to {max(curve):+.2f} %"
