"""Fitted shares: exact where they can be, nearest to independence among those that are."""

from __future__ import annotations

import math
from itertools import product

import numpy as np
import pytest
from scipy.optimize import minimize  # type: ignore[import-untyped]

from advisor.vehicles.raking import fitted

Ways = list[tuple[int, ...]]


def marginal(ways: Ways, shares: list[float], place: int, outcome: int) -> float:
    return sum(s for way, s in zip(ways, shares, strict=True) if way[place] == outcome)


def test_all_ways_open_gives_the_product_of_the_rates() -> None:
    ways = list(product(range(2), range(3)))
    rates = [(0.3, 0.7), (0.5, 0.1, 0.4)]
    expected = [rates[0][a] * rates[1][b] for a, b in ways]
    assert fitted(ways, rates) == pytest.approx(expected, abs=1e-9)


def test_outcomes_that_exclude_each_other_still_have_their_rates() -> None:
    ways = [(0, 1), (1, 0), (1, 1)]  # 0 is true, so never both
    assert fitted(ways, [(0.3, 0.7), (0.2, 0.8)]) == pytest.approx([0.3, 0.2, 0.5], abs=1e-3)


def test_shares_are_the_nearest_to_independence() -> None:
    """Against SciPy's minimum of the Kullback-Leibler divergence from the product (SLSQP)."""
    ways = [way for way in product(range(2), repeat=3) if way != (0, 0, 0) and sum(way) > 0]
    rates = [(0.3, 0.7), (0.45, 0.55), (0.6, 0.4)]
    start = np.array([math.prod(rates[i][k] for i, k in enumerate(way)) for way in ways])
    start /= start.sum()
    constraints = [{"type": "eq", "fun": lambda p: p.sum() - 1.0}] + [
        {
            "type": "eq",
            "fun": lambda p, i=i: sum(p[j] for j, w in enumerate(ways) if w[i] == 0) - rates[i][0],
        }
        for i in range(3)
    ]
    found = minimize(
        lambda p: float(np.sum(p * np.log(p / start))),
        start,
        constraints=constraints,
        bounds=[(1e-9, 1.0)] * len(ways),
        method="SLSQP",
        options={"ftol": 1e-12, "maxiter": 500},
    )
    assert found.success
    assert fitted(ways, rates) == pytest.approx(list(found.x), abs=1e-3)


def test_outcome_that_nothing_shows_is_left_out() -> None:
    shares = fitted([(0,), (1,)], [(0.2, 0.2, 0.6)])
    assert shares == pytest.approx([0.5, 0.5])


def test_rates_that_contradict_each_other_end_in_shares_all_the_same() -> None:
    ways = [(0, 1), (1, 0)]  # exactly one of the two is true
    shares = fitted(ways, [(0.2, 0.8), (0.2, 0.8)])
    assert math.fsum(shares) == pytest.approx(1.0)
    assert all(0.0 <= share <= 1.0 for share in shares)


def test_group_without_findings_has_one_way() -> None:
    assert fitted([()], []) == [1.0]


def test_marginals_of_many_ways_are_the_rates() -> None:
    ways = [way for way in product(range(2), repeat=6) if 1 <= way.count(0) <= 3]
    rates = [(p, 1.0 - p) for p in (0.1, 0.2, 0.3, 0.15, 0.4, 0.25)]
    shares = fitted(ways, rates)
    for place, column in enumerate(rates):
        assert marginal(ways, shares, place, 0) == pytest.approx(column[0], abs=2e-3)
