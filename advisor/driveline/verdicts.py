"""Verdicts on a measured value: within its limits, outside, or not to be told with this gauge."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from advisor.driveline import _limits
from advisor.driveline.normal import probability_between
from advisor.driveline.uncertainty import acceptance_zone, expanded_uncertainty

WITHIN: Final = "within"
OUTSIDE: Final = "outside"
CANNOT_TELL: Final = "cannot-tell"

GUARD_FACTORS: Final = {"expanded-uncertainty": 2.0, "one-sided-95-percent": 1.645}
"""Guard band in standard uncertainties, by rule: ISO 14253-1 to 2013 used U with k = 2; the edition
of 2017 asks for 95 %, which for one limit with a wide tolerance is 1.65 (handbook section 12, M for
the factors, F for the scope)."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """What a reading proves against its limits. All numbers in the unit of the reading.

    `guard` is the guard band. `accept_low` and `accept_high` bound the readings that prove
    conformity (infinite on the side without a limit); when the first exceeds the second, none
    does. `probability` is that of the true value within the limits.
    `largest_u_within` is the largest standard uncertainty that proves conformity at this reading,
    and `largest_u_outside` the largest that proves nonconformity; the one that the reading speaks
    against is None, and at a limit itself both are.
    """

    decision: str
    rule: str
    guard: float
    accept_low: float
    accept_high: float
    probability: float
    largest_u_within: float | None
    largest_u_outside: float | None


def verdict(
    value: float,
    u: float,
    *,
    lower: float | None = None,
    upper: float | None = None,
    rule: str = "expanded-uncertainty",
) -> Verdict:
    """The verdict on a reading with the standard uncertainty `u` against one or two limits.

    All in one unit. "within" and "outside" need the guard band to spare, else "cannot-tell".
    `rule` is a name of GUARD_FACTORS. With `u` 0 the reading decides, a value at a limit being
    within. Raises ValueError without a limit, for limits out of order, a negative `u` and an
    unknown rule.
    Source: ISO 14253-1; handbook section 12, UNC-07 to UNC-09 (F for the scope, M, D).
    """
    _limits.finite("the reading", value)
    low, high = _bounds(lower, upper)
    factor = _factor(rule)
    guard = expanded_uncertainty(u, factor)
    accept_low, accept_high = acceptance_zone(low, high, guard)
    if accept_low <= value <= accept_high:
        decision = WITHIN
    elif value < low - guard or value > high + guard:
        decision = OUTSIDE
    else:
        decision = CANNOT_TELL
    margin = min(value - low, high - value)
    return Verdict(
        decision,
        rule,
        guard,
        accept_low,
        accept_high,
        # Limits belong to the tolerance, which matters for an exact reading at one.
        probability_between(value, u, low, high) if u > 0.0 else float(low <= value <= high),
        margin / factor if margin > 0.0 else None,
        -margin / factor if margin < 0.0 else None,
    )


def _bounds(lower: float | None, upper: float | None) -> tuple[float, float]:
    if lower is None and upper is None:
        raise ValueError("there is no limit to hold the reading against; give a lower or an upper")
    low = -math.inf if lower is None else _limits.finite("the lower limit", lower)
    high = math.inf if upper is None else _limits.finite("the upper limit", upper)
    return low, high


def _factor(rule: str) -> float:
    if rule not in GUARD_FACTORS:
        known = ", ".join(f'"{name}"' for name in GUARD_FACTORS)
        raise ValueError(f'the rule is "{rule}"; expected one of {known}')
    return GUARD_FACTORS[rule]
