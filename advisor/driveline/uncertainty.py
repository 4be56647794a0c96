"""Standard uncertainty of a gauge, of a result worked out from readings, and what it can prove."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping
from itertools import product
from typing import Final, TypeVar

from advisor.driveline import _limits

COVERAGE_FACTOR: Final = 2.0
"""About 95 % for a normal law; JCGM 100:2008, 6.3.3, handbook section 12 (M)."""

MOST_INPUTS_FOR_PRODUCT_RULE: Final = 5
"""243 points; each further input would triple them."""

# Gauss-Hermite rule of three points for a standard normal law: node, weight.
_NODES: Final = ((0.0, 2.0 / 3.0), (-math.sqrt(3.0), 1.0 / 6.0), (math.sqrt(3.0), 1.0 / 6.0))

_Input = TypeVar("_Input")
_Point = tuple[float, dict[str, float]]


def gauge_uncertainty(step: float, limit: float) -> float:
    """Standard uncertainty of one reading, from the gauge's step and its error limit.

    Both in one unit, which is that of the result; 0 or more, else ValueError.
    Source: sqrt(step^2 / 12 + limit^2 / 3), JCGM 100:2008, F.2.2.1 and 4.3.7; handbook
    section 12, UNC-01 to UNC-03 (M).
    """
    u_step = _limits.not_negative("the gauge's step", step) / math.sqrt(12.0)
    u_limit = _limits.not_negative("the gauge's limit", limit) / math.sqrt(3.0)
    return combined_uncertainty((u_step, u_limit))


def combined_uncertainty(contributions: Iterable[float]) -> float:
    """Root of the sum of squares of independent contributions, all in one unit.

    Source: JCGM 100:2008, 5.1.2; handbook section 12 (M).
    """
    return math.hypot(*contributions)


def expanded_uncertainty(u: float, coverage_factor: float = COVERAGE_FACTOR) -> float:
    """Expanded uncertainty U = k u, in the unit of `u` (0 or more, else ValueError).

    Source: JCGM 100:2008, 6.2.1; handbook section 12 (M).
    """
    return coverage_factor * _limits.not_negative("the standard uncertainty", u)


def acceptance_zone(lower: float, upper: float, expanded: float) -> tuple[float, float]:
    """Limits between which a reading proves that the true value keeps to `lower` and `upper`.

    All in one unit; `expanded` is the guard band U, 0 or more. When the first number exceeds the
    second, no reading of this gauge can prove it. Raises ValueError for limits out of order.
    Source: ISO 14253-1 (F for its scope); handbook section 12, UNC-07 and UNC-08 (D).
    """
    band = _limits.not_negative("the expanded uncertainty", expanded)
    if not lower <= upper:
        raise ValueError("the lower limit must not exceed the upper one")
    return lower + band, upper - band


def acceptance_zone_width(lower_m: float, upper_m: float, expanded_m: float) -> float:
    """Width in m of the `acceptance_zone` of a length; below zero means that nothing can be proved.

    Source: ISO 14253-1 (F for its scope); handbook section 12, UNC-08 (D).
    """
    low, high = acceptance_zone(lower_m, upper_m, expanded_m)
    return high - low


def propagate(
    call: Callable[..., float], values: Mapping[str, _Input], u: Mapping[str, float]
) -> tuple[float, float]:
    """`call(**values)` and its standard uncertainty, from the standard uncertainties of the inputs.

    `u` names the uncertain inputs, which must be numbers; the others are exact, and may be texts.
    The uncertainty is that about the value given back, not about the mean of the law: a residual
    angle can't be negative, and at exact cancelling the linear rule would call it certain.

    Up to five uncertain inputs: root mean square over a three-point Gauss-Hermite product rule.
    More: over two points an input, each as far out as all inputs together are likely to be; unlike
    central differences these see the fold of a residual angle at exact cancelling. Both are exact
    for what is linear. Points where `call` raises ValueError are left out.

    Raises ValueError when the inputs themselves are impossible, and when no point around them is
    possible.
    Source: JCGM 101:2008 in spirit, its law by quadrature; handbook section 12 (M, D).
    """
    value = call(**values)
    uncertain = {name: width for name, width in u.items() if width > 0.0}
    if not uncertain:
        return value, 0.0
    few = len(uncertain) <= MOST_INPUTS_FOR_PRODUCT_RULE
    squares = weights = 0.0
    possible = False
    for weight, shifts in _product_rule(uncertain) if few else _axis_rule(uncertain):
        if not any(shifts.values()):
            weights += weight  # the centre itself, which differs by nothing
            continue
        result = _shifted(call, values, shifts)
        if result is None:
            continue
        possible = True
        weights += weight
        squares += weight * (result - value) ** 2
    if not possible:
        raise ValueError(
            "the result is impossible for any values around the readings; "
            "their uncertainty is too large"
        )
    return value, math.sqrt(squares / weights)


def _product_rule(uncertain: Mapping[str, float]) -> Iterator[_Point]:
    for nodes in product(_NODES, repeat=len(uncertain)):
        shifts = {
            name: node * width
            for (name, width), (node, _) in zip(uncertain.items(), nodes, strict=True)
        }
        yield math.prod(weight for _, weight in nodes), shifts


def _axis_rule(uncertain: Mapping[str, float]) -> Iterator[_Point]:
    count = len(uncertain)
    for name, width in uncertain.items():
        for sign in (-1.0, 1.0):
            yield 1.0, {name: sign * math.sqrt(count) * width}


def _shifted(
    call: Callable[..., float], values: Mapping[str, _Input], shifts: Mapping[str, float]
) -> float | None:
    moved: dict[str, object] = dict(values)
    for name, shift in shifts.items():
        reading = values[name]
        assert isinstance(reading, int | float), f"{name} is uncertain and no number"
        moved[name] = reading + shift
    try:
        return call(**moved)
    except ValueError:
        return None
