"""Posteriors against SciPy."""

from __future__ import annotations

import math
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import optimize, special, stats  # type: ignore[import-untyped]

from advisor.learning.posterior import (
    beta_interval,
    beta_quantile,
    beta_share_below,
    likeliest_strength,
    log_marginal,
)

SHAPES = st.floats(-2.0, 4.0).map(lambda power: 10.0**power)


@given(x=st.floats(0.0, 1.0), a=SHAPES, b=SHAPES)
def test_share_below_is_that_of_scipy(x: float, a: float, b: float) -> None:
    assert beta_share_below(x, a, b) == pytest.approx(special.betainc(a, b, x), abs=1e-10)


@given(share=st.floats(0.001, 0.999), a=SHAPES, b=SHAPES)
def test_quantile_is_that_of_scipy(share: float, a: float, b: float) -> None:
    """Compared by value or by the share below it, whichever is well conditioned there.

    Where hardly any of Beta(a, b) lies, many values have one share (SciPy's own ppf is off by 1e-8
    at a = b = 0.0126, whose median is 0.5); against an end, one value has many shares.
    """
    found = beta_quantile(share, a, b)
    by_value = abs(found - stats.beta.ppf(share, a, b))
    by_share = abs(special.betainc(a, b, found) - share)
    assert min(by_value, by_share) <= 1e-9


def test_interval_leaves_a_fortieth_out_on_each_side() -> None:
    assert beta_interval(28.0, 22.0) == pytest.approx(stats.beta.interval(0.95, 28.0, 22.0))


@pytest.mark.parametrize(("yes", "no"), [(0, 1), (3, 0), (12, 18), (400, 7)])
def test_yes_or_no_is_the_beta_binomial_of_scipy(yes: int, no: int) -> None:
    orders = math.log(math.comb(yes + no, yes))
    expected = stats.betabinom.logpmf(yes, yes + no, 6.0, 1.5) - orders
    assert log_marginal([yes, no], [6.0, 1.5]) == pytest.approx(expected, abs=1e-9)


def test_several_values_are_the_dirichlet_multinomial_of_scipy() -> None:
    counts, prior = [4, 0, 9], [2.0, 0.5, 7.5]
    orders = math.lgamma(14) - math.lgamma(5) - math.lgamma(10)
    expected = stats.dirichlet_multinomial.logpmf(counts, prior, 13) - orders
    assert log_marginal(counts, prior) == pytest.approx(expected, abs=1e-9)


def columns(seed: int) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    random = Random(seed)
    found = []
    for _ in range(40):
        rate = random.uniform(0.1, 0.9)
        true, cases = random.betavariate(15 * rate, 15 * (1 - rate)), random.randrange(1, 60)
        seen = sum(random.random() < true for _ in range(cases))
        found.append(((float(seen), float(cases - seen)), (rate, 1.0 - rate)))
    return found


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_likeliest_strength_is_what_scipy_finds(seed: int) -> None:
    known = columns(seed)

    def loss(log_strength: float) -> float:
        s = math.exp(log_strength)
        return -math.fsum(
            special.betaln(s * r + n, s * q + m) - special.betaln(s * r, s * q)
            for (n, m), (r, q) in known
        )

    best = optimize.minimize_scalar(loss, bounds=(0.0, math.log(1000.0)), method="bounded")
    assert likeliest_strength(known, 1.0, 1000.0) == pytest.approx(math.exp(best.x), rel=1e-3)
    assert 4.0 < math.exp(best.x) < 60.0  # drawn with 15


def test_strength_stays_within_its_ends() -> None:
    as_the_author_says = [((50.0, 50.0), (0.5, 0.5))] * 30
    against_the_author = [((100.0, 0.0), (0.01, 0.99))] * 30
    assert likeliest_strength(as_the_author_says, 1.0, 1000.0) == pytest.approx(1000.0, rel=1e-4)
    assert likeliest_strength(against_the_author, 1.0, 1000.0) == pytest.approx(1.0, rel=1e-4)
