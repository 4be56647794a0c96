"""Tyre sizes as they stand on the side wall, read into a diameter."""

from __future__ import annotations

import re
from typing import Final

INCH_M: Final = 0.0254

_SEPARATOR = r"\s*(?:Z?[RBD]|-)\s*"
_TAIL = (
    r"\s*(?:C|LT|ST)?(?:\s*/\s*[A-N])?"  # service type and load range
    r"(?:\s+\d{2,3}(?:/\d{2,3})?\s*[A-Z]\d?)?(?:\s+XL)?"  # load index, speed letter
)
_METRIC = re.compile(
    r"(?:P|LT|ST|T)?\s*(?P<width>\d{1,4})\s*/\s*(?P<aspect>\d{1,3})"
    rf"{_SEPARATOR}(?P<rim>\d{{1,2}}(?:\.\d)?){_TAIL}"
)
_INCH = re.compile(
    r"(?:LT)?\s*(?P<diameter>\d{1,2}(?:\.\d{1,2})?)\s*X\s*(?P<width>\d{1,2}(?:\.\d{1,2})?)"
    rf"{_SEPARATOR}(?P<rim>\d{{1,2}}(?:\.\d)?){_TAIL}"
)
_EXAMPLES = "write it as on the side wall, like 265/70R17 or 31x10.50R15"

_WIDTHS_MM = (100.0, 500.0)
_ASPECTS_PERCENT = (20.0, 100.0)
_RIMS_IN = (8.0, 30.0)
_DIAMETERS_IN = (15.0, 60.0)


def tyre_diameter(size: str) -> float:
    """Free diameter in m of a new tyre, from its size.

    Width, aspect and rim ("265/70R17") or diameter, width and rim in inches ("31x10.50R15"), with
    or without service type, load index and speed letter. Raises ValueError for a text that is no
    such size and for sizes that no road tyre has.
    Source: D = rim + 2 W A / 100, ETRTO and TRA markings; handbook section 9, ROT-01 (F, M).
    """
    text = size.strip().upper().replace("×", "X").replace(",", ".")
    if metric := _METRIC.fullmatch(text):
        return _metric_diameter(size, *(float(part) for part in metric.groups()))
    if inch := _INCH.fullmatch(text):
        return _inch_diameter(size, *(float(part) for part in inch.groups()))
    raise ValueError(f'"{size}" is not a tyre size; {_EXAMPLES}')


def _metric_diameter(size: str, width_mm: float, aspect_percent: float, rim_in: float) -> float:
    _within(size, "width", width_mm, _WIDTHS_MM, "mm")
    _within(size, "aspect", aspect_percent, _ASPECTS_PERCENT, "%")
    _within(size, "rim", rim_in, _RIMS_IN, "in")
    return INCH_M * rim_in + 2.0 * width_mm / 1e3 * aspect_percent / 100.0


def _inch_diameter(size: str, diameter_in: float, width_in: float, rim_in: float) -> float:
    _within(size, "diameter", diameter_in, _DIAMETERS_IN, "in")
    _within(size, "width", width_in, (3.0, diameter_in), "in")
    _within(size, "rim", rim_in, (_RIMS_IN[0], diameter_in), "in")
    return INCH_M * diameter_in


def _within(size: str, what: str, value: float, limits: tuple[float, float], unit: str) -> None:
    low, high = limits
    if not low <= value <= high:
        raise ValueError(
            f'the tyre size "{size}" has a {what} of {value:g} {unit}; '
            f"expected {low:g} {unit} to {high:g} {unit}; {_EXAMPLES}"
        )
