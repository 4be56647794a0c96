"""From an SI value back to text with as many digits as it deserves."""

from __future__ import annotations

import math
from decimal import ROUND_HALF_UP, Decimal
from typing import Final

from advisor.units._table import Unit, with_unit

SIGNIFICANT_DIGITS: Final = 4
SMALLEST_WRITTEN_OUT: Final = 1e-6
LARGEST_WRITTEN_OUT: Final = 1e9
# Below these a number, or its uncertainty, is what rounding in a computation left over.
DUST: Final = 1e-12
RELATIVE_DUST: Final = 1e-9


def show(si: float, unit: Unit, u_si: float = 0.0) -> str:
    """The value in `unit`, as "57.5 thou", or "1.460 mm +/- 0.012 mm" with an uncertainty.

    `si` and its standard uncertainty `u_si` are in SI units. With `u_si` the uncertainty has at
    most two significant digits and the value ends at the same decimal (JCGM 100:2008, 7.2.6, from
    memory); without, the value has four significant digits, or all before the decimal point.

    Raises: ValueError when a number is not finite or `u_si` is below zero.
    """
    if not math.isfinite(si) or not math.isfinite(u_si) or u_si < 0.0:
        raise ValueError("only a finite value with an uncertainty of zero or more can be shown")
    value, u = si / unit.factor, u_si / unit.factor
    if u <= max(DUST, RELATIVE_DUST * abs(value)):
        return with_unit(_number(value), unit)
    if not SMALLEST_WRITTEN_OUT <= max(abs(value), u) < LARGEST_WRITTEN_OUT:
        shown, shown_u = _number(value), _with_power(u, 2)
    else:
        step = _step_of(u)
        shown, shown_u = _rounded(value, step), _rounded(u, step)
    return f"{with_unit(shown, unit)} +/- {with_unit(shown_u, unit)}"


def _number(value: float) -> str:
    size = abs(value)
    if size < DUST:
        return "0"
    if not SMALLEST_WRITTEN_OUT <= size < LARGEST_WRITTEN_OUT:
        return _with_power(value, SIGNIFICANT_DIGITS)
    decimals = max(0, SIGNIFICANT_DIGITS - 1 - math.floor(math.log10(size)))
    text = _rounded(value, Decimal(1).scaleb(-decimals))
    return text.rstrip("0").rstrip(".") if "." in text else text


def _step_of(u: float) -> Decimal:
    """The place of the last digit of `u`: its second one, or its first if the second is 0."""
    rounded = Decimal(f"{u:.1e}")
    first_place = Decimal(1).scaleb(rounded.adjusted())
    return first_place.scaleb(-1) if rounded % first_place else first_place


def _rounded(value: float, step: Decimal) -> str:
    # Twelve digits first: 1.4605 mm may come back from metres as 1.4604999999999999 mm.
    rounded = Decimal(f"{value:.12g}").quantize(step, rounding=ROUND_HALF_UP)
    return format(rounded if rounded else abs(rounded), "f")


def _with_power(value: float, digits: int) -> str:
    mantissa, power = f"{value:.{digits - 1}e}".split("e")
    return f"{mantissa.rstrip('0').rstrip('.')}e{int(power)}"
