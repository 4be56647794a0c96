"""A curve in plain characters, for any window."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

NARROWEST: Final = 20
ROWS: Final = 11
_MARK: Final = "*"


@dataclass(frozen=True, slots=True)
class Axis:
    """One axis: the numbers at its low and high end, and how they are written there."""

    low: float
    high: float
    low_label: str
    high_label: str

    def place(self, value: float, places: int) -> int:
        """Which of so many places a value on the axis falls into; the middle of a flat axis."""
        if self.low == self.high:
            return (places - 1) // 2
        return round((value - self.low) / (self.high - self.low) * (places - 1))


def chart(points: Sequence[tuple[float, float]], x: Axis, y: Axis, width: int) -> list[str]:
    """The points as lines of at most `width` columns (at least NARROWEST), the axes labelled.

    Every point lies within both axes. A flat curve has its label in the middle.
    """
    lead = max(len(y.low_label), len(y.high_label))
    columns = max(width, NARROWEST) - lead - 2
    grid = [[" "] * columns for _ in range(ROWS)]
    for across, up in points:
        grid[ROWS - 1 - y.place(up, ROWS)][x.place(across, columns)] = _MARK
    labels = [""] * ROWS
    if y.low == y.high:
        labels[ROWS // 2] = y.low_label
    else:
        labels[0], labels[-1] = y.high_label, y.low_label
    lines = [
        f"{label:>{lead}} |{''.join(row)}".rstrip() for label, row in zip(labels, grid, strict=True)
    ]
    lines.append(f"{'':{lead}} +{'-' * columns}")
    return [*lines, *_ends(x, lead + 2, columns)]


def _ends(x: Axis, lead: int, columns: int) -> list[str]:
    """The labels of both ends under the axis, on two lines where they need more room."""
    room = columns - len(x.low_label) - len(x.high_label)
    if room >= 1:
        return [f"{'':{lead}}{x.low_label}{'':{room}}{x.high_label}"]
    width = lead + columns
    indent = min(lead, width - len(x.low_label))
    return [f"{'':{indent}}{x.low_label}", f"{x.high_label:>{width}}"]
