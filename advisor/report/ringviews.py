"""The choice of rings as plain values, for text and JSON alike.

Lengths are words in the user's own units; fields that end in `_m` are the same in metres.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

CHOSEN: Final = "chosen"
ONE_AXIS_ONLY: Final = "one-axis-only"
NOT_ENOUGH: Final = "not-enough"
NO_STOCK: Final = "no-stock"
NOT_MEASURED: Final = "not-measured"


@dataclass(frozen=True, slots=True)
class Ring:
    """A ring by its box; `left` are those left in the box after the whole choice."""

    box: str
    thickness: str
    thickness_m: float
    left: int


@dataclass(frozen=True, slots=True)
class ChosenAxis:
    """Two rings for one axis, and what they give; `probability` that of a play within limits."""

    axis: int
    known_by: str
    rings: tuple[Ring, Ring]
    end_play: str
    end_play_m: float
    u_end_play_m: float
    probability: float
    off_centre: str
    off_centre_m: float


@dataclass(frozen=True, slots=True)
class WantedAxis:
    """Two equal rings to get for one axis.

    `thinnest` and `thickest` bound what suits; both are None when the readings are too uncertain
    to choose by, and then `settled_by` says what would do.
    """

    axis: int
    thickness: str
    thickness_m: float
    thinnest: str | None
    thickest: str | None
    probability: float
    settled_by: str | None


@dataclass(frozen=True, slots=True)
class Wanted:
    """A fact to be measured."""

    id: str
    name: str


@dataclass(frozen=True, slots=True)
class OpenAxis:
    """An axis of which no room is known: what to measure, or why the readings give none."""

    axis: int
    measure: tuple[Wanted, ...]
    reason: str | None


@dataclass(frozen=True, slots=True)
class RingsView:
    """Which rings to fit.

    `status`: "chosen", for every axis that is known; "one-axis-only", when the stock does for one
    of two; "not-enough", when it does for none (`chosen` are then the closest, if any);
    "no-stock"; or "not-measured". Of what was chosen, `probability` is that of all end plays
    within limits, `runout` what the rings add to the shaft's, `runout_of_play` what the end play
    can add.
    """

    status: str
    stock: str | None
    limit: str
    chosen: tuple[ChosenAxis, ...]
    probability: float | None
    off_centre: str | None
    runout: str | None
    runout_of_play: str | None
    wanted: tuple[WantedAxis, ...]
    open: tuple[OpenAxis, ...]
    remarks: tuple[str, ...]
