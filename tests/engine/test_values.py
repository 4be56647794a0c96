"""What values are: unknown, intervals, and the probability that a reading lies within them."""

from __future__ import annotations

import math

import pytest
from scipy.stats import norm  # type: ignore[import-untyped]

from advisor.engine.values import UNKNOWN, Interval, Number, probability_within


def test_unknown_has_no_truth_value() -> None:
    with pytest.raises(TypeError, match="neither true nor false"):
        bool(UNKNOWN)


@pytest.mark.parametrize("other", [False, 0, "unknown", None])
def test_unknown_equals_nothing_else(other: object) -> None:
    assert other != UNKNOWN
    assert repr(UNKNOWN) == "UNKNOWN"


@pytest.mark.parametrize(
    ("interval", "inside", "outside"),
    [
        pytest.param(Interval(1.0, 2.0), [1.5], [1.0, 2.0, 0.9, 2.1], id="open"),
        pytest.param(Interval(1.0, 2.0, True, True), [1.0, 1.5, 2.0], [0.9, 2.1], id="closed"),
        pytest.param(Interval(1.0, 2.0, True, False), [1.0], [2.0], id="left-closed"),
        pytest.param(Interval(high=0.0), [-1e300, -1e-300], [0.0, 1.0], id="below"),
        pytest.param(Interval(low=0.0, low_closed=True), [0.0, -0.0, 1e300], [-1e-9], id="from"),
        pytest.param(Interval(1.0, 1.0, True, True), [1.0], [1.0 + 1e-15], id="point"),
    ],
)
def test_interval_holds_its_closed_ends_only(
    interval: Interval, inside: list[float], outside: list[float]
) -> None:
    assert all(x in interval for x in inside)
    assert not any(x in interval for x in outside)


@pytest.mark.parametrize(
    ("a", "b", "shared"),
    [
        (Interval(0.0, 2.0), Interval(1.0, 3.0), Interval(1.0, 2.0)),
        (Interval(0.0, 1.0), Interval(1.0, 2.0, low_closed=True), None),
        (
            Interval(0.0, 1.0, high_closed=True),
            Interval(1.0, 2.0, low_closed=True),
            Interval(1.0, 1.0, True, True),
        ),
        (Interval(0.0, 1.0), Interval(0.0, 1.0, True, True), Interval(0.0, 1.0)),
        (Interval(0.0, 1.0), Interval(2.0, 3.0), None),
        (Interval(), Interval(high=5.0, high_closed=True), Interval(high=5.0, high_closed=True)),
    ],
)
def test_meeting_intervals_keep_the_stricter_end(
    a: Interval, b: Interval, shared: Interval | None
) -> None:
    assert a.meets(b) == shared
    assert b.meets(a) == shared


@pytest.mark.parametrize("u", [1e-6, 0.02, 1.0, 50.0])
@pytest.mark.parametrize("value", [-3.0, 0.0, 0.4, 12.0])
@pytest.mark.parametrize(("low", "high"), [(-math.inf, 0.5), (0.5, math.inf), (-1.0, 2.0)])
def test_probability_within_agrees_with_scipy(
    value: float, u: float, low: float, high: float
) -> None:
    """Within 1e-12 of scipy.stats.norm, by its survival function where that is more exact."""
    spread = norm(loc=value, scale=u)
    expected = (
        spread.sf(low) - spread.sf(high) if low > value else spread.cdf(high) - spread.cdf(low)
    )
    got = probability_within(Number(value, u), (Interval(low, high),))
    assert got == pytest.approx(expected, abs=1e-12, rel=0)


def test_a_far_tail_keeps_its_relative_precision() -> None:
    got = probability_within(Number(0.0, 1.0), (Interval(low=9.0),))
    assert got == pytest.approx(norm.sf(9.0), rel=1e-12, abs=0)


def test_disjoint_intervals_add_up() -> None:
    outside = (Interval(high=-1.0), Interval(low=1.0))
    expected = 2.0 * norm.sf(1.0)
    assert probability_within(Number(0.0, 1.0), outside) == pytest.approx(expected, abs=1e-12)


def test_exact_number_is_in_or_out() -> None:
    band = (Interval(1.0, 2.0, low_closed=True),)
    assert probability_within(Number(1.0), band) == 1.0
    assert probability_within(Number(2.0), band) == 0.0
