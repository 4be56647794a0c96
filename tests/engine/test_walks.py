"""How the advice leads through whole vehicles, with the shipped rulebook."""

from __future__ import annotations

import pytest

from advisor.rulebook import load, shipped
from tests.benchmarks.vehicles import Workshop, advised, go_about, vehicle


@pytest.mark.slow
def test_the_advice_does_not_go_to_and_fro() -> None:
    """Places gone to, over the fewest: about three times, repairs in between included.

    Weighing each step by its own way there only, it was about six times.
    """
    shop = Workshop(load(shipped()).rules)
    results = [go_about(shop, vehicle(shop, seed), advised) for seed in range(3_000_000, 3_000_006)]
    changes = sum(result.place_changes for result in results)
    assert changes <= 4.5 * sum(result.places for result in results)
