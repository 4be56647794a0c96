"""What findings do to belief: how far they reach, and their log-likelihoods in whole steps."""

from __future__ import annotations

import math
from itertools import combinations
from random import Random

import pytest

from advisor.engine.effects import STEP, Effects, pair_rates
from advisor.engine.lanes import unpacked
from tests import helpers, oracles
from tests.random_books import LARGE_SIZES, small_book

SEEDS = range(12)


def weights_of(seed: int, count: int) -> tuple[float, ...]:
    rng = Random(seed)
    shares = [rng.uniform(0.05, 1.0) for _ in range(count)]
    return tuple(share / sum(shares) for share in shares)


@pytest.mark.parametrize("seed", SEEDS)
def test_spread_and_reach_are_the_range_of_the_log_likelihoods(seed: int) -> None:
    rules = small_book(seed, LARGE_SIZES).rules
    effects = Effects(rules)
    for item in rules.findings:
        weights = weights_of(seed, len(item.outcomes))
        spread = oracles.spread(rules, item, weights)
        assert effects.weighted(item.id, weights).spread == pytest.approx(spread, abs=1e-12)
        seen = [
            [float(k == outcome) for k in range(len(weights))] for outcome in range(len(weights))
        ]
        furthest = max(oracles.spread(rules, item, one) for one in seen)
        assert effects.reach[item.id] == pytest.approx(furthest, abs=1e-12)


def test_what_hardly_tells_spreads_little() -> None:
    rules = helpers.rules(findings=[helpers.finding("f", {"a": 0.11, "b": 0.09}, usual=0.1)])
    effects = Effects(rules)
    assert effects.weighted("f", (1.0, 0.0)).spread == pytest.approx(math.log(11.0 / 9.0))
    assert effects.reach["f"] == pytest.approx(math.log(11.0 / 9.0))


@pytest.mark.parametrize("seed", SEEDS)
def test_steps_are_the_logarithms_of_the_ratios(seed: int) -> None:
    """Each within half a step, those of causes of which nothing is said 0, the largest kept."""
    rules = small_book(seed, LARGE_SIZES).rules
    effects, count = Effects(rules), len(rules.causes)
    for item in rules.findings:
        effect = effects.weighted(item.id, weights_of(seed, len(item.outcomes)))
        rows = dict(effect.steps.both)
        both = {(i, j): ratio for i, j, ratio in effect.both}
        kept = [
            *zip(unpacked(effect.steps.single, count), _full(effect.single, count), strict=True),
            *zip(unpacked(effect.steps.silent, count), _full(effect.silent, count), strict=True),
            *(
                (unpacked(rows.get(j, 0), count)[i], both.get((i, j), 1.0))
                for i, j in combinations(range(count), 2)
            ),
        ]
        for steps, ratio in kept:
            assert abs(steps - math.log(ratio) / STEP) <= 0.5
        assert effect.steps.far == max(abs(steps) for steps, _ in kept)


def _full(ratios: tuple[tuple[int, float], ...], count: int) -> list[float]:
    by_place = dict(ratios)
    return [by_place.get(place, 1.0) for place in range(count)]


def test_one_of_two_values_is_not_yes_or_no() -> None:
    """Of two causes each shows in half of the vehicles: a choice has no leak."""
    item = helpers.choice_finding("f", "c", {"p": 0.1, "q": 0.9}, {"a": (0.5, 0.5)})
    named = helpers.choice_finding("f", "c", {"true": 0.1, "false": 0.9}, {"a": (0.5, 0.5)})
    for finding in (item, named):
        assert pair_rates(finding, (0.5, 0.5), (0.9, 0.1)) == pytest.approx((0.7, 0.3))
