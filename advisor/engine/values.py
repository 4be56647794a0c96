"""What a fact can be: yes or no, a choice, several choices, a number, text, or unknown."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum
from typing import Final, NoReturn


class Kind(Enum):
    """The kind of value that a question or a computed fact gives."""

    YES_NO = "yes-no"
    CHOICE = "choice"
    CHOICES = "choices"
    NUMBER = "number"
    TEXT = "text"


class Unknown(Enum):
    """The value of a fact that nobody knows. It is neither true nor false."""

    UNKNOWN = "unknown"

    def __bool__(self) -> NoReturn:
        raise TypeError("an unknown value is neither true nor false; compare it with `is UNKNOWN`")

    def __repr__(self) -> str:
        return "UNKNOWN"


UNKNOWN: Final = Unknown.UNKNOWN


@dataclass(frozen=True, slots=True)
class Number:
    """A number in SI units with its standard uncertainty `u` (JCGM 100:2008, 2.3.1; 0 = exact)."""

    value: float
    u: float = 0.0


Value = bool | str | frozenset[str] | Number | Unknown


@dataclass(frozen=True, slots=True)
class Interval:
    """A stretch of the number line in SI units; the flags say whether an end belongs to it."""

    low: float = -math.inf
    high: float = math.inf
    low_closed: bool = False
    high_closed: bool = False

    def __contains__(self, x: float) -> bool:
        above = x > self.low or (self.low_closed and x == self.low)
        below = x < self.high or (self.high_closed and x == self.high)
        return above and below

    def meets(self, other: Interval) -> Interval | None:
        """The part that both share, or None."""
        low, low_closed = max((self.low, not self.low_closed), (other.low, not other.low_closed))
        high, high_closed = min((self.high, self.high_closed), (other.high, other.high_closed))
        both = Interval(low, high, not low_closed, high_closed)
        empty = low > high or (low == high and low not in both)
        return None if empty else both


def _normal_cdf(z: float) -> float:
    return 0.5 * math.erfc(-z / math.sqrt(2.0))


def probability_within(number: Number, intervals: tuple[Interval, ...]) -> float:
    """Probability that the true value lies in one of the disjoint `intervals`.

    The reading is taken as normal with mean `number.value` and standard deviation `number.u`;
    an exact number gives 0 or 1. Source: JCGM 106:2012, 7.2 to 7.4 (from memory).
    """
    if number.u <= 0.0:
        return 1.0 if any(number.value in interval for interval in intervals) else 0.0
    total = 0.0
    for interval in intervals:
        low = (interval.low - number.value) / number.u
        high = (interval.high - number.value) / number.u
        if low > 0.0:
            total += _normal_cdf(-low) - _normal_cdf(-high)
        else:
            total += _normal_cdf(high) - _normal_cdf(low)
    return min(1.0, max(0.0, total))
