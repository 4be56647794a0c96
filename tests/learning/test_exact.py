"""Sums that do not depend on order."""

from __future__ import annotations

import statistics
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.learning.exact import error_of_mean, mean, steps, value_of

NUMBERS = st.lists(st.floats(0.0, 40.0), min_size=2, max_size=30)


@given(NUMBERS)
def test_mean_is_that_of_exact_fractions(numbers: list[float]) -> None:
    exact = sum(map(Fraction, numbers)) / len(numbers)
    assert mean(sum(map(steps, numbers)), len(numbers)) == pytest.approx(
        float(exact), rel=1e-14, abs=1e-17
    )


@given(NUMBERS)
def test_any_order_gives_the_same_bits(numbers: list[float]) -> None:
    parts = [numbers[a:b] for a, b in pairwise([0, len(numbers) // 3, len(numbers)])]
    in_parts = sum(sum(map(steps, part)) for part in reversed(parts))
    assert mean(in_parts, len(numbers)) == mean(sum(map(steps, numbers)), len(numbers))


@given(NUMBERS)
def test_error_of_the_mean_is_that_of_the_standard_library(numbers: list[float]) -> None:
    found = error_of_mean(
        sum(map(steps, numbers)), sum(steps(one) ** 2 for one in numbers), len(numbers)
    )
    expected = statistics.stdev(numbers) / len(numbers) ** 0.5
    assert found == pytest.approx(expected, rel=1e-9, abs=1e-12)


def test_probability_comes_back_as_it_was() -> None:
    assert [value_of(steps(p)) for p in (0.1, 0.5, 1.0)] == [0.1, 0.5, 1.0]
