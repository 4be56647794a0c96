"""Beta and Dirichlet posteriors: intervals of a rate, and how likely counts are under a prior."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence

_TINY = 1e-300
_CLOSE = 1e-14
_MOST_TERMS = 10_000
TAIL = 0.025  # below and above a 95 % interval


def beta_share_below(x: float, a: float, b: float) -> float:
    """The regularised incomplete beta function I_x(a, b): the share of Beta(a, b) below x.

    `a` and `b` above 0, x from 0 to 1. Source: NIST Digital Library of Mathematical Functions,
    8.17.4 (symmetry) and 8.17.22 (continued fraction), worked out by Lentz's method.
    """
    if x <= 0.0 or x >= 1.0:
        return 0.0 if x <= 0.0 else 1.0
    if x > (a + 1.0) / (a + b + 2.0):
        return 1.0 - beta_share_below(1.0 - x, b, a)
    front = math.exp(a * math.log(x) + b * math.log1p(-x) - log_beta(a, b)) / a
    return front / _fraction(x, a, b)


def _fraction(x: float, a: float, b: float) -> float:
    """1 + d1/(1 + d2/(1 + ...)), the reciprocal of the continued fraction of 8.17.22."""
    value = c = 1.0
    d = 0.0
    for term in range(1, _MOST_TERMS):
        m = term // 2
        if term % 2:
            step = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1.0))
        else:
            step = m * (b - m) * x / ((a + 2 * m - 1.0) * (a + 2 * m))
        d = 1.0 / (1.0 + step * d or _TINY)
        c = 1.0 + step / c or _TINY
        value *= c * d
        if abs(c * d - 1.0) < _CLOSE:
            break
    return value


def beta_quantile(share: float, a: float, b: float) -> float:
    """The x below which this share of Beta(a, b) lies; Newton's method, held within a bracket."""
    low, high = 0.0, 1.0
    x = a / (a + b)
    log_front = log_beta(a, b)
    for _ in range(200):
        off = beta_share_below(x, a, b) - share
        low, high = (low, x) if off > 0.0 else (x, high)
        if off == 0.0 or high - low <= _CLOSE * high:
            break
        density = math.exp((a - 1.0) * math.log(x) + (b - 1.0) * math.log1p(-x) - log_front)
        closer = x - off / density if density > _TINY else -1.0
        if not low < closer < high:
            closer = 0.5 * (low + high)
        if abs(closer - x) <= _CLOSE * x:
            break
        x = closer
    return x


def beta_interval(a: float, b: float) -> tuple[float, float]:
    """The central 95 % interval of Beta(a, b)."""
    return beta_quantile(TAIL, a, b), beta_quantile(1.0 - TAIL, a, b)


def log_beta(a: float, b: float) -> float:
    """The logarithm of the beta function."""
    return math.lgamma(a) + math.lgamma(b) - math.lgamma(a + b)


def log_marginal(counts: Sequence[float], prior: Sequence[float]) -> float:
    """How likely outcomes in some order with these counts are, a Dirichlet `prior` given; log.

    Source: the Dirichlet-multinomial (for two outcomes beta-binomial) distribution without the
    number of orders; Johnson, Kotz, Balakrishnan, Discrete Multivariate Distributions (1997), 35.
    """
    whole, seen = math.fsum(prior), math.fsum(counts)
    return (
        math.lgamma(whole)
        - math.lgamma(whole + seen)
        + math.fsum(
            math.lgamma(a + n) - math.lgamma(a) for a, n in zip(prior, counts, strict=True) if n
        )
    )


def likeliest_strength(
    columns: Iterable[tuple[Sequence[float], Sequence[float]]], least: float, most: float
) -> float:
    """The number of pseudo-cases under which the counts of all columns together are likeliest.

    Each column has its counts and the author's rates; its prior is Dirichlet(strength * rates).
    The answer lies within `least` to `most`: at an end, the counts ask for yet less or more.
    Empirical Bayes: Casella, The American Statistician 39(2), 1985. One scan over a grid of the
    logarithm, then golden section, since few columns can have more than one maximum.
    """
    kept = [(counts, rates) for counts, rates in columns if any(counts)]

    def fit(log_strength: float) -> float:
        strength = math.exp(log_strength)
        return math.fsum(
            log_marginal(counts, [strength * rate for rate in rates]) for counts, rates in kept
        )

    low, high = math.log(least), math.log(most)
    steps = 24
    grid = [low + (high - low) * step / steps for step in range(steps + 1)]
    best = max(range(len(grid)), key=lambda place: fit(grid[place]))
    return math.exp(_summit(fit, grid[max(0, best - 1)], grid[min(steps, best + 1)]))


def _summit(fit: Callable[[float], float], low: float, high: float) -> float:
    """Where a function with one maximum within these ends has it, by golden section."""
    golden = (math.sqrt(5.0) - 1.0) / 2.0
    left, right = high - golden * (high - low), low + golden * (high - low)
    at_left, at_right = fit(left), fit(right)
    while high - low > 1e-6:
        if at_left >= at_right:
            high, right, at_right = right, left, at_left
            left = high - golden * (high - low)
            at_left = fit(left)
        else:
            low, left, at_left = left, right, at_right
            right = low + golden * (high - low)
            at_right = fit(right)
    return max((low, high), key=fit)
