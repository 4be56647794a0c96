"""Expectations held against standings, and how far a standing may move before any changes."""

from __future__ import annotations

import random

import pytest

from advisor.proof.expecting import Standing, slack, unmet_places
from advisor.proof.models import ExpectModel
from advisor.proof.naming import NONE

NAMES = ["worn", "loose", "bent", "dry", "heavy"]
EXPECTATIONS = [
    {"first": "worn"},
    {"first": NONE},
    {"not_first": ["loose", NONE]},
    {"near_miss_of": "bent"},
    {"first_three": ["worn", "dry"]},
    {"at_least": {"worn": 0.3, NONE: 0.1}},
    {"at_most": {"bent": 0.2}},
    {"too_close_to_call": True},
    {"too_close_to_call": False, "first_three": ["heavy"]},
]


def drawn(chance: random.Random) -> Standing:
    """Probabilities by chance; those of causes may add up to more than 1."""
    known = {name: chance.random() for name in NAMES}
    return Standing(chance.random(), known, lambda: None)


def moved(stands: Standing, by: float, chance: random.Random) -> Standing:
    """Each probability moved by less than this."""
    known = {
        name: max(0.0, share + chance.uniform(-by, by))
        for name, share in stands.probabilities.items()
    }
    return Standing(max(0.0, stands.none + chance.uniform(-by, by)), known, lambda: None)


@pytest.mark.parametrize("written", EXPECTATIONS, ids=str)
def test_no_expectation_changes_within_the_slack(written: dict[str, object]) -> None:
    expect = ExpectModel.model_validate(written)
    chance = random.Random(1)
    for _ in range(300):
        stands = drawn(chance)
        before = {one.steps for one in unmet_places(expect, stands)}
        other = moved(stands, 0.999 * slack(expect, stands), chance)
        assert {one.steps for one in unmet_places(expect, other)} == before


def test_pair_leaves_no_slack() -> None:
    expect = ExpectModel.model_validate({"pair": ["worn", "loose"]})
    assert slack(expect, drawn(random.Random(2))) == 0.0


def test_tied_causes_keep_the_order_of_the_files() -> None:
    stands = Standing(0.1, {"loose": 0.3, "worn": 0.3, "out": 0.0}, lambda: None)
    assert stands.ordered == ["loose", "worn"]
    assert stands.leading == "loose"


def test_none_of_the_listed_leads_a_tie() -> None:
    assert Standing(0.3, {"loose": 0.3}, lambda: None).leading == NONE
    assert Standing(1.0, {}, lambda: None).leading == NONE
