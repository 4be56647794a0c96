"""Pictures: the driveline from the side and from above, and how evenly it turns."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

from matplotlib.axes import Axes

from advisor import units
from advisor.driveline.angles import direction_vector
from advisor.driveline.phasing import Joint, joints_between, residual_angle_of
from advisor.page.canvas import (
    ACCENT,
    INK,
    PAPER,
    SMALL,
    SOFT,
    WIDTH,
    Picture,
    as_svg,
    drawing,
    new_figure,
    whole_area,
)

NAME: Final = "driveline"
SCALES: Final = (1, 2, 3, 5, 8)
STEEPEST_RAD: Final = math.radians(24.0)  # that an exaggerated member is drawn
STUB, SHAFT = 62.0, 200.0  # lengths drawn, of the ends and of all shafts together
MARGIN: Final = 38.0  # above and below a view


@dataclass(frozen=True, slots=True)
class Driveline:
    """The members from front to rear: slopes, positive when rising to the rear, and headings.

    Angles in rad, three members or more. `headings_rad` is empty when only the side view is known.
    `crossed` says of each shaft between two joints whether its forks stand at a right angle.
    `after_rad` are the slopes with the cure, `where` the load or the reading that this is of.
    """

    slopes_rad: tuple[float, ...]
    headings_rad: tuple[float, ...]
    crossed: tuple[bool, ...]
    unit: units.Unit
    after_rad: tuple[float, ...] = ()
    where: str = ""

    def joints(self) -> tuple[Joint, ...]:
        """The joints between the members, as they are now."""
        headings = self.headings_rad or (0.0,) * len(self.slopes_rad)
        members = list(map(direction_vector, self.slopes_rad, headings))
        return joints_between(members, self.crossed)

    @property
    def can_be(self) -> bool:
        """Whether a vehicle can have these angles; a slip of the pen gives others."""
        try:
            self.joints()
        except ValueError:
            return False
        return True

    def cured(self) -> Driveline | None:
        """The same with the cure's slopes; None when no cure is known."""
        return replace(self, slopes_rad=self.after_rad, after_rad=()) if self.after_rad else None

    def in_words(self, angle_rad: float) -> str:
        """An angle to a tenth of its unit: an inclinometer tells no more."""
        factor = self.unit.factor
        return units.show(round(angle_rad / factor, 1) * factor, self.unit)


@dataclass(frozen=True, slots=True)
class View:
    """One view: what it is called, the angles drawn and how many times too steep, the rest."""

    title: str
    angles_rad: tuple[float, ...]
    scale: int
    after_rad: tuple[float, ...] = ()
    labels: tuple[str, ...] = ()


def exaggeration(angles_rad: Sequence[float]) -> int:
    """How many times too steep to draw these angles so that they are seen; 1 when they are."""
    steepest = max(map(abs, angles_rad))
    return next((s for s in reversed(SCALES) if s * steepest <= STEEPEST_RAD), SCALES[0])


def member_line(angles_rad: Sequence[float], scale: int) -> list[tuple[float, float]]:
    """Where the members begin and end when each is drawn `scale` times its angle; first at 0, 0."""
    between = len(angles_rad) - 2
    lengths = [STUB, *([SHAFT / between] * between), STUB]
    points = [(0.0, 0.0)]
    for angle, length in zip(angles_rad, lengths, strict=True):
        x, y = points[-1]
        steep = scale * angle
        points.append((x + length * math.cos(steep), y + length * math.sin(steep)))
    return points


def driveline_picture(line: Driveline) -> Picture:
    """The side view as it is and too steep, and the plan view where headings are known."""
    title = "The driveline and its joint angles"
    views = _views(line)
    with drawing(NAME):
        figure = new_figure(sum(map(_height, views)))
        axes = whole_area(figure)
        top = figure.get_figheight() * 72.0
        for view in views:
            _draw(axes, view, top)
            top -= _height(view)
        says = _says(line)
        svg = as_svg(figure, NAME, title, says)
    note = "Front on the left. Every member is drawn at its angle to level, not to its length."
    if line.after_rad:
        note += f" {line.where}. Dashed: with the cure."
    return Picture(NAME, title, says, note, svg)


def _views(line: Driveline) -> list[View]:
    bends = tuple(line.in_words(joint.angle_rad) for joint in line.joints())
    scale = exaggeration((*line.slopes_rad, *line.after_rad))
    true = View("Side view, true angles", line.slopes_rad, 1, line.after_rad)
    steep = View(
        f"Side view, angles drawn {scale} times", line.slopes_rad, scale, line.after_rad, bends
    )
    views = [replace(true, labels=bends)] if scale == 1 else [true, steep]
    if any(line.headings_rad):
        scale = exaggeration(line.headings_rad)
        name = "Plan view" + (f", angles drawn {scale} times" if scale > 1 else "")
        views.append(View(name, line.headings_rad, scale))
    return views


def _height(view: View) -> float:
    heights = [y for _, y in _points(view)]
    return max(heights) - min(heights) + 2.0 * MARGIN


def _points(view: View) -> list[tuple[float, float]]:
    after = member_line(view.after_rad, view.scale) if view.after_rad else []
    return [*member_line(view.angles_rad, view.scale), *after]


def _draw(axes: Axes, view: View, top: float) -> None:
    drawn = _points(view)
    left = (WIDTH - max(x for x, _ in drawn)) / 2.0
    base = top - MARGIN - max(y for _, y in drawn)
    axes.text(12.0, top - 16.0, view.title, fontsize=SMALL, fontweight="bold")
    level = [base, base]
    axes.plot([left - 20.0, WIDTH - left + 20.0], level, color=SOFT, linewidth=1.0, linestyle=":")
    if view.after_rad:
        after = [(left + x, base + y) for x, y in member_line(view.after_rad, view.scale)]
        _chain(axes, after, ACCENT, "--", 1.8)
    points = [(left + x, base + y) for x, y in member_line(view.angles_rad, view.scale)]
    _chain(axes, points, INK, "-", 3.2)
    for (x, y), label in zip(points[1:-1], view.labels, strict=False):
        axes.text(x, y + 11.0, label, ha="center", fontsize=SMALL, fontweight="bold")


def _chain(
    axes: Axes, points: Sequence[tuple[float, float]], colour: str, style: str, width: float
) -> None:
    for number, ((x1, y1), (x2, y2)) in enumerate(pairwise(points), 1):
        kind = "member" if style == "-" else "member after"
        axes.plot(
            [x1, x2],
            [y1, y2],
            color=colour,
            linestyle=style,
            linewidth=width,
            gid=f"{kind} {number}",
        )
    joints = points[1:-1]
    axes.plot(
        [x for x, _ in joints],
        [y for _, y in joints],
        "o",
        markersize=8.0 if style == "-" else 5.0,
        markerfacecolor=PAPER,
        markeredgecolor=colour,
        markeredgewidth=1.8,
    )


def _says(line: Driveline) -> str:
    slopes = ", ".join(map(line.in_words, line.slopes_rad))
    bends = " and ".join(line.in_words(joint.angle_rad) for joint in line.joints())
    residual = line.in_words(residual_angle_of(line.joints()))
    said = (
        f"Slopes from front to rear {slopes}: joint angles {bends}, "
        f"of which {residual} are left uncancelled"
    )
    cured = line.cured()
    if cured is not None:
        bends = " and ".join(line.in_words(joint.angle_rad) for joint in cured.joints())
        residual = line.in_words(residual_angle_of(cured.joints()))
        said += f"; with the cure {bends}, of which {residual} are left"
    return f"{line.where}: {said}." if line.where else f"{said}."
