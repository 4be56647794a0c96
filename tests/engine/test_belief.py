"""Belief as masses of all hypotheses, and as products of its parts."""

from __future__ import annotations

from itertools import combinations
from random import Random

import pytest

from advisor.engine.belief import Belief, Factored
from tests import helpers

COUNT = 4


def both_forms(seed: int) -> tuple[Factored, Belief]:
    """The same belief of four causes, as products and with the mass of each pair."""
    rng = Random(seed)
    masses = [rng.random() for _ in range(2 * COUNT + 1)]
    ratios = [[0.0] * COUNT for _ in range(COUNT)]
    for i, j in combinations(range(COUNT), 2):
        ratios[i][j] = ratios[j][i] = rng.uniform(0.1, 3.0)
    products = Factored(masses[0], masses[1 : COUNT + 1], masses[COUNT + 1 :], ratios)
    return products, Belief(products.none, products.single, products.pair)


def masses_of(belief: Belief) -> list[float]:
    return [belief.none, *belief.single, *(mass for row in belief.pair for mass in row)]


@pytest.mark.parametrize("mended", [(1,), (0, 2), (0, 1, 2, 3)])
@pytest.mark.parametrize("seed", range(3))
def test_what_lies_in_the_mended_causes_alone_is_out(seed: int, mended: tuple[int, ...]) -> None:
    """All else keeps its odds, whichever way the belief is kept."""
    products, masses = both_forms(seed)
    out = set(mended)
    expected = [masses.none, *(0.0 if i in out else mass for i, mass in enumerate(masses.single))]
    expected += [
        0.0 if {i, j} <= out else mass
        for i, row in enumerate(masses.pair)
        for j, mass in enumerate(row)
    ]
    whole = sum(expected[: COUNT + 1]) + 0.5 * sum(expected[COUNT + 1 :])
    expected = [mass / whole for mass in expected]
    assert masses_of(products.without(mended)) == pytest.approx(expected, abs=1e-15)
    assert masses_of(masses.without(mended)) == pytest.approx(expected, abs=1e-15)


def test_where_nothing_else_is_left_it_is_something_not_listed() -> None:
    products = Factored(0.0, [0.6], [0.0], [[0.0]])
    masses = Belief(0.0, [1.0], [[0.0]])
    assert masses_of(products.without([0])) == [1.0, 0.0, 0.0]
    assert masses_of(masses.without([0])) == [1.0, 0.0, 0.0]


def test_mending_the_only_cause_that_could_be_leaves_what_is_not_listed() -> None:
    case = helpers.diagnosis(helpers.rules(causes=["a"], none_share=0.0))
    case.mend("a")
    assert case.ranking().none_probability == 1.0


def test_a_belief_is_no_other_thing() -> None:
    _, masses = both_forms(0)
    assert masses != masses_of(masses)
    assert (masses == None) is False  # noqa: E711 - what a comparison gives is the point
