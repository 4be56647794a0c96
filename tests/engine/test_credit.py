"""The odds of causes in decibans, worked out one by one and all at once."""

from __future__ import annotations

import math

import pytest

from advisor.engine.belief import Belief
from advisor.engine.credit import log_odds, log_odds_of_all
from tests import helpers


@pytest.mark.parametrize("others", [0.3, 1e-3, 1e-15, 1e-30])
def test_odds_keep_their_digits_when_one_cause_is_nearly_certain(others: float) -> None:
    belief = Belief(others, [1.0 - 2.0 * others, others], [[0.0, 0.0], [0.0, 0.0]])
    expected = [
        10.0 * math.log10((1.0 - 2.0 * others) / (2.0 * others)),
        10.0 * math.log10(others / (1.0 - others)),
    ]
    assert log_odds_of_all(belief) == pytest.approx(expected, rel=1e-9)
    assert [log_odds(belief, cause) for cause in (0, 1)] == pytest.approx(expected, rel=1e-9)


def test_what_is_certain_or_out_has_no_finite_odds() -> None:
    certain = Belief(0.0, [1.0, 0.0], [[0.0, 0.0], [0.0, 0.0]])
    assert log_odds_of_all(certain) == [math.inf, -math.inf]
    trail = helpers.diagnosis(helpers.rules(causes=["a"], none_share=0.0)).trail("a")
    assert trail.prior_decibans == math.inf
