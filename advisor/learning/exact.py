"""Sums that come out the same bit for bit in any order and however the numbers are shared out.

A number is kept as a whole count of steps of 2**-60, and whole numbers add up exactly.
"""

from __future__ import annotations

import math

_BITS = 60


def steps(value: float) -> int:
    """The value as a whole count of steps, off by at most half a step; it must be finite."""
    return round(value * 2.0**_BITS)


def value_of(count: int) -> float:
    """The number nearest to so many steps."""
    return count / (1 << _BITS)


def mean(count: int, of: int) -> float:
    """The mean of `of` numbers (1 or more) whose steps add up to `count`, rounded once."""
    return count / (of << _BITS)


def error_of_mean(count: int, squares: int, of: int) -> float:
    """The standard error of that mean, `squares` adding up the squared steps; inf for one."""
    if of < 2:
        return math.inf
    spread = (of * squares - count * count) / (1 << 2 * _BITS)
    return math.sqrt(spread / (of * of * (of - 1)))
