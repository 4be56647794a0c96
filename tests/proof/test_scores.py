"""Scores agree with other implementations and keep their identities."""

from __future__ import annotations

import math
from statistics import fmean

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.proof.scores import (
    BINS,
    Bin,
    binned,
    brier,
    brier_parts,
    log_score,
    wilson_interval,
)

forecasts = st.lists(st.tuples(st.floats(0.0, 1.0), st.booleans()), min_size=1, max_size=60).map(
    lambda pairs: ([p for p, _ in pairs], [hit for _, hit in pairs])
)


@pytest.mark.parametrize(("hits", "count"), [(0, 1), (1, 1), (0, 40), (3, 10), (299, 300)])
def test_interval_agrees_with_scipy(hits: int, count: int) -> None:
    from scipy.stats import binomtest  # type: ignore[import-untyped]

    expected = binomtest(hits, count).proportion_ci(0.95, method="wilson")
    assert wilson_interval(hits, count) == pytest.approx(
        (float(expected.low), float(expected.high)), abs=1e-12
    )


def test_losses_agree_with_scikit_learn() -> None:
    from sklearn import metrics  # type: ignore[import-untyped]

    p, hits = [0.02, 0.3, 0.55, 0.9, 0.97], [False, False, True, False, True]
    assert brier(p, hits) == pytest.approx(metrics.brier_score_loss(hits, p), abs=1e-12)
    mean_surprise = fmean(log_score(q if hit else 1.0 - q) for q, hit in zip(p, hits, strict=True))
    assert mean_surprise == pytest.approx(metrics.log_loss(hits, p), abs=1e-12)


def test_sure_mistake_costs_much_but_stays_finite() -> None:
    assert log_score(0.0) == pytest.approx(-math.log(1e-15), rel=1e-12)
    assert log_score(1.0) == 0.0


def test_border_belongs_to_the_upper_bin_and_one_to_the_last() -> None:
    bins = binned([0.0, 0.1, 0.5, 0.999, 1.0], [False, True, True, True, True])
    assert bins == (Bin(1, 0.0, 0), Bin(1, 0.1, 1), Bin(1, 0.5, 1), Bin(2, 0.9995, 2))


@given(forecasts)
def test_bins_hold_every_forecast_once(given_forecasts: tuple[list[float], list[bool]]) -> None:
    bins = binned(*given_forecasts)
    assert len(bins) <= BINS
    assert sum(one.count for one in bins) == len(given_forecasts[0])
    assert sum(one.hits for one in bins) == sum(given_forecasts[1])
    assert all(one.interval()[0] <= one.share <= one.interval()[1] for one in bins)


@given(st.lists(st.tuples(st.integers(0, 4), st.booleans()), min_size=1, max_size=60))
def test_parts_give_the_brier_score_when_bins_hold_one_probability(
    pairs: list[tuple[int, bool]],
) -> None:
    p, hits = [0.05 + 0.2 * level for level, _ in pairs], [hit for _, hit in pairs]
    assert brier_parts(binned(p, hits)).brier == pytest.approx(brier(p, hits), abs=1e-12)
