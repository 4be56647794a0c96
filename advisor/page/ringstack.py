"""Picture: how a cross sits between its two retaining rings, with the play drawn larger."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from matplotlib.axes import Axes
from matplotlib.patches import Rectangle

from advisor import units
from advisor.driveline.fit import ring_offset
from advisor.engine.values import Number
from advisor.page.canvas import (
    ACCENT,
    INK,
    PAPER,
    SMALL,
    SOFT,
    TINT,
    WIDTH,
    Picture,
    as_svg,
    drawing,
    new_figure,
    shortened,
    whole_area,
)

NAME: Final = "ring-stack"
RING: Final = 44.0  # width at which a ring of the mean thickness is drawn
MIDDLE: Final = WIDTH / 2.0
HALF_SPAN: Final = 150.0
WALL: Final = 26.0
SCALES: Final = (1, 2, 5, 10, 20, 50, 100, 200)
LARGEST_GAP: Final = 0.75  # of a ring's drawn width


@dataclass(frozen=True, slots=True)
class RingStack:
    """The sizes in m; `end_play`, by indicator or worked out, carries its uncertainty."""

    span_m: float
    width_m: float
    ring_1_m: float
    ring_2_m: float
    end_play: Number
    unit: units.Unit


@dataclass(frozen=True, slots=True)
class Layout:
    """Where the parts stand along the picture, in its units, from left to right.

    The walls of the fork stand at `wall_1` and `wall_2`. Play and the difference of the rings are
    drawn `scale` times as large as the rings' mean thickness. With a preload the cross reaches
    into the rings.
    """

    scale: int
    wall_1: float
    ring_1: float
    cross_1: float
    cross_2: float
    ring_2: float
    wall_2: float

    @property
    def off_centre(self) -> float:
        """How far the middle of the cross stands from the middle of the fork."""
        return (self.cross_1 + self.cross_2 - self.wall_1 - self.wall_2) / 2.0


def ring_layout(stack: RingStack) -> Layout:
    """The cross in the middle of its play; lengths below the mean ring are exaggerated."""
    play = stack.end_play.value
    mean = (stack.ring_1_m + stack.ring_2_m) / 2.0
    unevenness = abs(stack.ring_1_m - stack.ring_2_m)
    most = max(abs(play), unevenness) / mean
    scale = next((one for one in reversed(SCALES) if one * most <= LARGEST_GAP), SCALES[0])
    exaggerated = RING / mean * scale
    ring_1 = RING + (stack.ring_1_m - mean) * exaggerated
    ring_2 = RING + (stack.ring_2_m - mean) * exaggerated
    gap = play / 2.0 * exaggerated
    wall_1, wall_2 = MIDDLE - HALF_SPAN, MIDDLE + HALF_SPAN
    face_1, face_2 = wall_1 + ring_1, wall_2 - ring_2
    return Layout(scale, wall_1, face_1, face_1 + gap, face_2 - gap, face_2, wall_2)


def ring_stack_picture(stack: RingStack) -> Picture:
    """The fork's walls, both rings, and the cross with its play and its middle."""
    at = ring_layout(stack)
    title = "How the cross sits in its fork"
    note = (
        f"Not to scale: play and differences are drawn {at.scale} times as large as the rings, "
        "and the cross is shortened. Dashed: middle of the fork. Thick: middle of the cross."
    )
    with drawing(NAME):
        figure = new_figure(250.0)
        axes = whole_area(figure)
        _parts(axes, at)
        _middles(axes, at)
        _labels(axes, stack, at)
        says = _says(stack)
        svg = as_svg(figure, NAME, title, says)
    return Picture(NAME, title, says, note, svg)


def _parts(axes: Axes, at: Layout) -> None:
    low, high = 78.0, 170.0
    parts = (
        ("wall 1", at.wall_1 - WALL, at.wall_1, 10.0, "", SOFT),
        ("wall 2", at.wall_2, at.wall_2 + WALL, 10.0, "", SOFT),
        ("ring 1", at.wall_1, at.ring_1, 0.0, "////", PAPER),
        ("ring 2", at.ring_2, at.wall_2, 0.0, "\\\\\\\\", PAPER),
        ("cross", at.cross_1, at.cross_2, -12.0, "", TINT),
    )
    for name, left, right, taller, hatch, colour in parts:
        box = Rectangle((left, low - taller), right - left, high - low + 2.0 * taller, gid=name)
        box.set(hatch=hatch, facecolor=colour, edgecolor=INK, linewidth=1.2)
        axes.add_patch(box)


def _middles(axes: Axes, at: Layout) -> None:
    """The middle of the fork, dashed, and that of the cross."""
    axes.plot([MIDDLE, MIDDLE], [62.0, 190.0], color=INK, linestyle="--", linewidth=1.2)
    middle = MIDDLE + at.off_centre
    axes.plot([middle, middle], [84.0, 164.0], color=ACCENT, linewidth=2.2, gid="middle of cross")


def _labels(axes: Axes, stack: RingStack, at: Layout) -> None:
    y_span = 214.0
    axes.annotate(
        "",
        (at.wall_1, y_span),
        (at.wall_2, y_span),
        arrowprops={"arrowstyle": "<->", "color": INK, "shrinkA": 0, "shrinkB": 0},
    )
    words = (
        (MIDDLE, y_span + 8.0, f"span {_shown(stack, stack.span_m)}", "center"),
        (at.wall_1 - WALL, 192.0, f"ring 1  {_shown(stack, stack.ring_1_m)}", "left"),
        (at.wall_2 + WALL, 192.0, f"ring 2  {_shown(stack, stack.ring_2_m)}", "right"),
        (MIDDLE, 48.0, "middle of the fork", "center"),
        (MIDDLE, 27.0, _play_words(stack), "center"),
        (MIDDLE, 8.0, f"off centre {_offset_words(stack)}", "center"),
    )
    for x, y, text, side in words:
        axes.text(x, y, text, ha=side, va="baseline", fontsize=SMALL)
    beside = MIDDLE + 8.0 + max(0.0, at.off_centre)
    width = f"cross\n{_shown(stack, stack.width_m)}"
    axes.text(beside, 124.0, width, ha="left", va="center", fontsize=SMALL)


def _says(stack: RingStack) -> str:
    return (
        f"Span {_shown(stack, stack.span_m)}, cross {_shown(stack, stack.width_m)}, "
        f"rings {_shown(stack, stack.ring_1_m)} and {_shown(stack, stack.ring_2_m)}: "
        f"{_play_words(stack)}, off centre {_offset_words(stack)}."
    )


def _play_words(stack: RingStack) -> str:
    play = stack.end_play
    word = "end play" if play.value >= 0.0 else "preload"
    return f"{word} {units.show(abs(play.value), stack.unit, play.u)}"


def _offset_words(stack: RingStack) -> str:
    offset = ring_offset(stack.ring_1_m, stack.ring_2_m)
    side = " towards ring 2" if offset > 0.0 else " towards ring 1" if offset < 0.0 else ""
    return f"{shortened(abs(offset), stack.unit, 2)}{side}"


def _shown(stack: RingStack, length_m: float) -> str:
    return units.show(length_m, stack.unit)
