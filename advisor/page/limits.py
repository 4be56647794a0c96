"""Picture: a reading with its uncertainty against the limits that part the outcomes."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from matplotlib.axes import Axes

from advisor import units
from advisor.computing.errors import listed
from advisor.engine.values import Interval, Number, probability_within
from advisor.page.canvas import (
    ACCENT,
    INK,
    SMALL,
    TINT,
    Picture,
    as_svg,
    drawing,
    new_figure,
    plain_words,
    plot_area,
)
from advisor.report.doubts import CERTAIN_AT
from advisor.report.wording import percent

WIDEST: Final = 4.0  # standard uncertainties shown on either side
STEPS: Final = 120
HATCHES: Final = ("////", "\\\\\\\\", "xx")  # neighbours differ
NARROWEST_LABEL: Final = 0.12  # of the width, for a band to be named in the picture


@dataclass(frozen=True, slots=True)
class Band:
    """One outcome, in words, and where it lies (SI)."""

    outcome: str
    interval: Interval


@dataclass(frozen=True, slots=True)
class Reading:
    """A number (SI) with an uncertainty above 0, and the bands that fill the line about it."""

    name: str
    title: str
    number: Number
    bands: tuple[Band, ...]
    unit: units.Unit

    def edges(self) -> tuple[float, ...]:
        """The limits between the bands, in SI."""
        ends = {end for band in self.bands for end in (band.interval.low, band.interval.high)}
        return tuple(sorted(end for end in ends if math.isfinite(end)))

    def probability(self, band: Band) -> float:
        """How likely the true value lies in a band."""
        return probability_within(self.number, (band.interval,))


def density(number: Number, x: float) -> float:
    """The normal density about the reading, of which 1 is the height at the reading itself."""
    off = (x - number.value) / number.u
    return math.exp(-off * off / 2.0)


def span_shown(reading: Reading) -> tuple[float, float]:
    """From where to where the picture reaches, in SI: the reading, and the nearest limits."""
    value, u = reading.number.value, reading.number.u
    edges = sorted(reading.edges(), key=lambda edge: abs(edge - value))[:2]
    low, high = min([value - WIDEST * u, *edges]), max([value + WIDEST * u, *edges])
    margin = 0.12 * (high - low)
    return low - margin, high + margin


def guard_bands(reading: Reading) -> tuple[tuple[float, float], ...]:
    """About each limit, in SI, where a reading of this uncertainty can't tell the sides apart."""
    half = CERTAIN_AT * reading.number.u
    return tuple((edge - half, edge + half) for edge in reading.edges())


def reading_picture(reading: Reading) -> Picture:
    """The density over the bands, each with its probability; the limits and their guard bands."""
    title = plain_words(reading.title, 70)
    with drawing(reading.name):
        figure = new_figure(240.0)
        axes = plot_area(figure, left=16.0, bottom=46.0, right=16.0, top=48.0)
        low, high = span_shown(reading)
        factor = reading.unit.factor
        axes.set_xlim(low / factor, high / factor)
        axes.set_ylim(0.0, 1.12)
        _guards(axes, reading)
        _bands(axes, reading, low, high)
        steps = [low + (high - low) * step / STEPS for step in range(STEPS + 1)]
        axes.plot(
            [x / factor for x in steps],
            [density(reading.number, x) for x in steps],
            color=INK,
            linewidth=2.0,
            gid="density",
        )
        axes.plot([reading.number.value / factor], [1.0], "o", color=ACCENT, markersize=7.0)
        axes.set_yticks([])
        axes.spines["left"].set_visible(False)
        axes.set_xlabel(f"in {reading.unit.symbol}")
        says = _says(reading)
        svg = as_svg(figure, reading.name, title, says)
    note = (
        "The curve shows where the true value may lie. Within the grey strip at a limit a reading "
        "this uncertain can't tell its sides apart."
    )
    return Picture(reading.name, title, says, note, svg)


def _guards(axes: Axes, reading: Reading) -> None:
    factor = reading.unit.factor
    for low, high in guard_bands(reading):
        strip = (low / factor, high / factor, 0.0, 0.9)
        axes.axvspan(*strip, color=TINT, linewidth=0.0, gid="guard")
    for edge in reading.edges():
        line = (edge / factor, 0.0, 0.93)
        axes.axvline(*line, color=INK, linewidth=1.6, linestyle="--", gid="limit")


def _bands(axes: Axes, reading: Reading, low: float, high: float) -> None:
    factor = reading.unit.factor
    for number, band in enumerate(reading.bands):
        left, right = max(low, band.interval.low), min(high, band.interval.high)
        if left >= right:
            continue
        steps = [left + (right - left) * step / STEPS for step in range(STEPS + 1)]
        axes.fill_between(
            [x / factor for x in steps],
            [density(reading.number, x) for x in steps],
            facecolor="none",
            edgecolor=INK,
            hatch=HATCHES[number % len(HATCHES)],
            linewidth=0.0,
        )
        if right - left >= NARROWEST_LABEL * (high - low):
            words = f"{plain_words(band.outcome, 18)}\n{percent(reading.probability(band))}"
            middle = (left + right) / 2.0 / factor
            axes.text(middle, 1.14, words, ha="center", va="bottom", fontsize=SMALL)


def _says(reading: Reading) -> str:
    shown = units.show(reading.number.value, reading.unit, reading.number.u)
    limits = listed(units.show(edge, reading.unit) for edge in reading.edges())
    chances = ", ".join(
        f"{plain_words(band.outcome)} {percent(reading.probability(band))}"
        for band in reading.bands
    )
    return f"The reading is {shown}, against {limits}: {chances}."
