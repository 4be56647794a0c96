"""Shares of the ways in which findings can come out together, fitted to the rate of each finding.

Source: iterative proportional fitting, Deming and Stephan, Annals of Mathematical Statistics 11,
1940; what it leads to is the nearest to independence among all shares with these rates
(Csiszar, Annals of Probability 3(1), 1975; both from memory).
"""

from __future__ import annotations

import math
from collections.abc import Sequence

MOST_ROUNDS = 60
NEAR_ENOUGH = 1e-4  # greatest difference of a share from its rate


def fitted(outcomes: Sequence[tuple[int, ...]], rates: Sequence[Sequence[float]]) -> list[float]:
    """The share of each way, adding up to 1.

    `outcomes` are the ways, each with one outcome for each finding; `rates` the rate of each
    outcome of each finding. An outcome that no way shows is left out and the rest scaled up.
    When no shares have all the rates, they come as near as one round after another leads.
    """
    reachable = [
        [any(way[place] == k for way in outcomes) for k in range(len(column))]
        for place, column in enumerate(rates)
    ]
    wanted = [_scaled(*pair) for pair in zip(rates, reachable, strict=True)]
    shares = [
        math.prod(column[k] for column, k in zip(wanted, way, strict=True)) for way in outcomes
    ]
    shares = _normal(shares)
    for _ in range(MOST_ROUNDS):
        furthest = 0.0
        for place, column in enumerate(wanted):
            found = [0.0] * len(column)
            for share, way in zip(shares, outcomes, strict=True):
                found[way[place]] += share
            furthest = max(furthest, *(abs(a - b) for a, b in zip(found, column, strict=True)))
            factors = [a / b if b > 0.0 else 0.0 for a, b in zip(column, found, strict=True)]
            shares = [s * factors[way[place]] for s, way in zip(shares, outcomes, strict=True)]
        if furthest < NEAR_ENOUGH:
            break
    return _normal(shares)


def _scaled(rates: Sequence[float], reachable: Sequence[bool]) -> list[float]:
    return _normal([rate if can_be else 0.0 for rate, can_be in zip(rates, reachable, strict=True)])


def _normal(shares: list[float]) -> list[float]:
    total = math.fsum(shares)
    return [share / total for share in shares]
