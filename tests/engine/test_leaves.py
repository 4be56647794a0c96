"""When a probability is taken for true or false (design.md 4)."""

from __future__ import annotations

import pytest

from advisor.engine.leaves import settled


@pytest.mark.parametrize(
    ("probability", "expected"),
    [(1.0, 1.0), (0.95, 1.0), (0.949, 0.949), (0.051, 0.051), (0.05, 0.0), (0.0, 0.0)],
)
def test_true_from_95_in_100_false_up_to_5(probability: float, expected: float) -> None:
    assert settled(probability) == expected
