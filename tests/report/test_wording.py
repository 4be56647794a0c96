"""Numbers and names in words."""

from __future__ import annotations

import pytest

from advisor.report.wording import (
    decibans,
    minutes,
    named,
    one_line,
    order_name,
    outcome_name,
    percent,
    weighed_outcome,
)
from advisor.rulebook import Rulebook, load, shipped


@pytest.mark.parametrize(
    ("probability", "shown"),
    [
        (0.0, "under 1 %"),
        (0.0051, "1 %"),
        (0.005, "under 1 %"),
        (0.5, "50 %"),
        (0.995, "over 99 %"),
        (0.9949, "99 %"),
        (1.0, "over 99 %"),
    ],
)
def test_percent_never_claims_certainty(probability: float, shown: str) -> None:
    assert percent(probability) == shown.replace(" %", "\u00a0%")


@pytest.mark.parametrize(
    ("count", "shown"), [(0.0, "0"), (0.5, "0.5"), (9.0, "9"), (9.96, "10"), (74.4, "74")]
)
def test_minutes_are_as_fine_as_they_matter(count: float, shown: str) -> None:
    assert minutes(count) == f"{shown}\u00a0min"


@pytest.mark.parametrize(
    ("weight", "shown"), [(9.04, "+9.0"), (-7.06, "-7.1"), (-0.04, "+0.0"), (0.0, "+0.0")]
)
def test_decibans_have_a_sign_but_nothing_has_none(weight: float, shown: str) -> None:
    assert decibans(weight) == f"{shown}\u00a0db"


@pytest.fixture(scope="module")
def rulebook() -> Rulebook:
    return load(shipped())


def test_outcomes_are_said_as_people_say_them(rulebook: Rulebook) -> None:
    """A yes/no finding, a band, and an option by its label in the question."""
    assert outcome_name(rulebook, "forks-stand-out-of-line", "true") == "yes"
    assert outcome_name(rulebook, "forks-stand-out-of-line", "false") == "no"
    assert outcome_name(rulebook, "end-play-evidence", "too-much") == "too much"
    assert outcome_name(rulebook, "where-felt-evidence", "floor-or-seat") == "In the floor or seat"


def test_outcome_that_is_not_certain_is_told_with_all_that_may_be(rulebook: Rulebook) -> None:
    assert weighed_outcome(rulebook, "end-play-evidence", (0.0, 1.0, 0.0)) == "good"
    told = weighed_outcome(rulebook, "end-play-evidence", (0.001, 0.3, 0.699))
    assert told.replace("\u00a0", " ") == "too close to call: too much 70 %, good 30 %"


def test_question_needs_no_colon_before_its_value() -> None:
    assert named("How thick is it?", "1 mm") == "How thick is it? 1 mm"
    assert named("End play", "1 mm") == "End play: 1 mm"


def test_line_ends_of_any_kind_become_blanks() -> None:
    assert one_line(" a\nb\r\nc\u2028d\x85e\tf ") == "a b c d e f"


def test_order_is_named_as_people_write_it() -> None:
    assert [*map(order_name, ("1x-shaft", "firing-order"))] == ["1x shaft", "firing order"]
