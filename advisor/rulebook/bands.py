"""Bands of a number that together fill the whole line."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from advisor import units
from advisor.engine.values import Interval

from .conditions import interval, read_amount
from .draft import Draft, Item
from .findingmodels import BandModel, BandsFinding

SAME_END = 1e-9  # relative; 2 thou and 0.002 in are one limit


@dataclass(frozen=True, slots=True)
class Band:
    """One value of a finding with its stretch of the line."""

    name: str
    stretch: Interval


def compile_bands(
    draft: Draft, item: Item[BandsFinding], unit: units.Unit
) -> tuple[Interval, ...] | None:
    """The stretch of each value, in the order of the file, or None when they don't fill the line.

    Where two bands meet, the point itself belongs to one of them: to a `between` rather than to
    a `below` or `above`, else to the lower.
    """
    read = [
        _band(draft, item, name, band, unit.dimension) for name, band in item.model.values.items()
    ]
    bands = [band for band in read if band is not None]
    if len(bands) < len(read):
        return None
    rising = sorted(bands, key=lambda band: (band.stretch.low, band.stretch.high))
    if not _fill_the_line(draft, item, rising, unit):
        return None
    stretches = {band.name: band.stretch for band in _without_shared_ends(rising)}
    return tuple(stretches[band.name] for band in bands)


def _band(
    draft: Draft, item: Item[BandsFinding], name: str, model: BandModel, dimension: str
) -> Band | None:
    given = [one for one in ("below", "between", "above") if getattr(model, one) is not None]
    loc = ("values", name)
    if len(given) != 1:
        message = f'the band "{name}" needs exactly one of below, between and above'
        draft.complain(item, loc, "band-shape", message)
        return None
    value = getattr(model, given[0])
    amounts = value if given[0] == "between" else (value,)
    ends = [
        read_amount(
            draft,
            item,
            (*loc, given[0], index) if given[0] == "between" else (*loc, given[0]),
            amount,
            dimension,
        )
        for index, amount in enumerate(amounts)
    ]
    sound = [end for end in ends if end is not None]
    if len(sound) < len(ends):
        return None
    if len(sound) == 2 and sound[0] >= sound[1]:
        message = f'the band "{name}" goes from the smaller to the greater amount'
        draft.complain(item, (*loc, "between"), "reversed-range", message)
        return None
    return Band(name, interval(given[0], sound))


def _fill_the_line(
    draft: Draft, item: Item[BandsFinding], rising: list[Band], unit: units.Unit
) -> bool:
    """Whether each band begins where the one below it ends; if not, that is noted."""
    fills = True
    reached = -math.inf
    for band in rising:
        begins = band.stretch.low
        if not (begins == reached or math.isclose(begins, reached, rel_tol=SAME_END)):
            fills = False
            code, message = _misfit(band, reached, unit)
            draft.complain(item, ("values", band.name), code, message)
        reached = max(reached, band.stretch.high)
    if reached < math.inf:
        fills = False
        end = units.show(reached, unit)
        message = f"the bands leave out everything above {end}"
        draft.complain(item, ("values",), "band-gap", message, f"add a band {{above: {end}}}")
    return fills


def _misfit(band: Band, reached: float, unit: units.Unit) -> tuple[str, str]:
    """Code and message for a band that does not begin where those below it end."""
    begins = band.stretch.low
    start = units.show(begins, unit) if begins > -math.inf else "the lowest number"
    if reached == -math.inf:
        return "band-gap", f"the bands leave out everything below {start}; add a band for it"
    end = units.show(reached, unit) if reached < math.inf else "the highest number"
    if begins > reached:
        return (
            "band-gap",
            f'the bands leave out what lies from {end} to {start}, where "{band.name}" begins',
        )
    return (
        "band-overlap",
        f'the band "{band.name}" begins at {start}, but another one reaches up to {end}',
    )


def _without_shared_ends(rising: list[Band]) -> list[Band]:
    """The same bands with each end belonging to exactly one of the two that meet there."""
    result = [rising[0]]
    for upper in rising[1:]:
        lower = result[-1]
        lower_takes = lower.stretch.high_closed or not upper.stretch.low_closed
        result[-1] = replace(lower, stretch=replace(lower.stretch, high_closed=lower_takes))
        stretch = replace(upper.stretch, low=lower.stretch.high, low_closed=not lower_takes)
        result.append(replace(upper, stretch=stretch))
    return result
