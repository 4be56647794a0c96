"""Verdicts with a guard band, and the normal law behind their probability."""

from __future__ import annotations

import math
from statistics import NormalDist
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.driveline.normal import probability_between
from advisor.driveline.verdicts import GUARD_FACTORS, verdict

CALIPER_MM = 0.023805
INDICATOR_MM = 0.001756
END_PLAY: dict[str, Any] = {"lower": 0.0, "upper": 0.05}


def test_indicator_proves_what_lies_inside_its_acceptance_zone() -> None:
    """UNC-07: 0.003512 to 0.04649 mm (handbook section 12, after ISO 14253-1, D; abs 1e-5)."""
    found = verdict(0.040, INDICATOR_MM, **END_PLAY)
    assert (found.accept_low, found.accept_high) == pytest.approx((0.003512, 0.04649), abs=1e-5)
    assert found.decision == "within"


def test_caliper_can_prove_no_end_play_within_limits() -> None:
    """UNC-08: the zone is 0.04522 mm less than nothing (handbook section 12, D; abs 1e-4)."""
    found = verdict(0.025, CALIPER_MM, **END_PLAY)
    assert found.accept_high - found.accept_low == pytest.approx(-0.04522, abs=1e-4)
    assert found.decision == "cannot-tell"


@pytest.mark.parametrize(("u", "expected"), [(CALIPER_MM, 0.6163), (INDICATOR_MM, 1.0)])
def test_probability_within_limits(u: float, expected: float) -> None:
    """UNC-09: 0.040 mm by caliper and by indicator (handbook section 12, D; abs 0.005)."""
    assert verdict(0.040, u, **END_PLAY).probability == pytest.approx(expected, abs=0.005)


@pytest.mark.parametrize(
    ("value", "limits", "rule", "decision"),
    [
        (0.090, END_PLAY, "expanded-uncertainty", "outside"),
        (0.069, END_PLAY, "expanded-uncertainty", "cannot-tell"),
        (-0.021, END_PLAY, "expanded-uncertainty", "outside"),
        (0.069, END_PLAY, "one-sided-95-percent", "outside"),
        (0.033, {"upper": 0.05}, "expanded-uncertainty", "cannot-tell"),
        (0.033, {"upper": 0.05}, "one-sided-95-percent", "within"),
        (0.5, {"lower": 0.4}, "expanded-uncertainty", "within"),
    ],
)
def test_decision_needs_the_guard_band_to_spare(
    value: float, limits: dict[str, float], rule: str, decision: str
) -> None:
    """u is 0.01: bands of 0.02 and 0.01645 by the two rules (handbook section 12, M)."""
    assert verdict(value, 0.01, rule=rule, **limits).decision == decision


@given(
    value=st.floats(-1.0, 1.0),
    u=st.floats(1e-4, 0.5),
    rule=st.sampled_from(sorted(GUARD_FACTORS)),
    upper_only=st.booleans(),
)
def test_largest_u_settles_the_verdict_and_a_larger_one_does_not(
    value: float, u: float, rule: str, upper_only: bool
) -> None:
    limits: dict[str, float] = {"upper": 0.3} if upper_only else {"lower": -0.2, "upper": 0.3}
    found = verdict(value, u, rule=rule, **limits)
    for largest, decision in (
        (found.largest_u_within, "within"),
        (found.largest_u_outside, "outside"),
    ):
        if largest is not None:
            assert verdict(value, largest * 0.999999, rule=rule, **limits).decision == decision
            assert verdict(value, largest * 1.01, rule=rule, **limits).decision == "cannot-tell"


@pytest.mark.parametrize("limit", [0.0, 0.05])
def test_exact_reading_at_a_limit_is_within(limit: float) -> None:
    found = verdict(limit, 0.0, **END_PLAY)
    assert found.decision == "within"
    assert found.probability == 1.0
    assert found.largest_u_within is None
    assert found.largest_u_outside is None


@pytest.mark.parametrize(
    ("more", "sentence"),
    [
        ({}, "there is no limit to hold the reading against"),
        ({"lower": 2.0, "upper": 1.0}, "the lower limit must not exceed the upper one"),
        ({"upper": 1.0, "rule": "simple"}, 'the rule is "simple"; expected one of'),
        ({"upper": math.nan}, "the upper limit is nan"),
        ({"upper": 1.0, "value": math.nan, "u": 0.0}, "the reading is nan"),
        ({"upper": 1.0, "u": -1.0}, "the standard uncertainty is -1; it must not be below 0"),
    ],
)
def test_impossible_questions_are_refused(more: dict[str, Any], sentence: str) -> None:
    with pytest.raises(ValueError, match=sentence):
        verdict(**{"value": 0.5, "u": 0.1} | more)


@given(
    value=st.floats(-5.0, 5.0),
    u=st.floats(0.01, 10.0),
    low=st.floats(-5.0, 5.0),
    width=st.floats(0.0, 10.0),
)
def test_probability_is_that_of_the_normal_law(
    value: float, u: float, low: float, width: float
) -> None:
    """Against the library's law, on the side where it keeps its digits; rel 1e-9, abs 1e-14."""
    below, above = (low - value) / u, (low + width - value) / u
    if below > 0.0:
        below, above = -above, -below
    law = NormalDist()
    expected = law.cdf(above) - law.cdf(below)
    got = probability_between(value, u, low, low + width)
    assert got == pytest.approx(expected, rel=1e-9, abs=1e-14)


@pytest.mark.parametrize(("low", "high"), [(10.0, 11.0), (-11.0, -10.0)])
def test_far_tails_keep_their_digits(low: float, high: float) -> None:
    """Ten to eleven standard uncertainties out, from scipy's ndtr; rel 1e-9."""
    found = probability_between(0.0, 1.0, low, high)
    assert found == pytest.approx(7.61966195820e-24, rel=1e-9, abs=0.0)


def test_exact_value_lies_between_limits_or_not() -> None:
    assert probability_between(0.0, 0.0, 0.0, 1.0) == 0.0
    assert probability_between(1.0, 0.0, 0.0, 1.0) == 1.0
    with pytest.raises(ValueError, match="the reading is nan"):
        probability_between(math.nan, 1.0, 0.0, 1.0)
    with pytest.raises(ValueError, match="the standard uncertainty is -1"):
        probability_between(0.0, -1.0, 0.0, 1.0)
    with pytest.raises(ValueError, match="the limits are 2 and 1"):
        probability_between(0.0, 1.0, 2.0, 1.0)
