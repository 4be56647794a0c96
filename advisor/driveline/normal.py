"""The normal law: how likely a true value lies between two limits, given a reading."""

from __future__ import annotations

import math

from advisor.driveline import _limits


def probability_between(value: float, u: float, low: float, high: float) -> float:
    """Probability that the true value lies above `low` and not above `high`.

    The law is normal about `value` with the standard uncertainty `u` (0 or more), all in one unit;
    `u` 0 gives 0 or 1. `low` may be minus, `high` plus infinity. Raises ValueError for limits out
    of order and for readings that are no finite numbers.
    Source: JCGM 106:2012, 7.2 to 7.4; handbook section 12, UNC-09 (M, D).
    """
    _limits.finite("the reading", value)
    _limits.not_negative("the standard uncertainty", u)
    if not low <= high:
        raise ValueError(
            f"the limits are {low:g} and {high:g}; the lower must not exceed the upper"
        )
    if u == 0.0:
        return 1.0 if low < value <= high else 0.0
    below, above = (low - value) / u, (high - value) / u
    if below > 0.0:
        # Far tails: the difference of two numbers near one would lose all digits.
        return _below(-below) - _below(-above)
    return _below(above) - _below(below)


def _below(z: float) -> float:
    return 0.5 * math.erfc(-z / math.sqrt(2.0))
