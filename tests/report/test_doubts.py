"""How sure the advice is: each kind of doubt is told, and what would settle it."""

from __future__ import annotations

import pytest

from advisor.cases import open_case
from advisor.report import Assessment
from advisor.rulebook import Rulebook
from tests.report.making import SIDE_WIND, STACK, assessed

DIAL = "Which end play does the dial indicator read?"
THIN = {"last-work": "joint-replaced", **STACK, "yoke-span": "80.12 mm", "worst-speed": "50 km/h"}


def close_call(found: Assessment, finding: str) -> tuple[str, str, str]:
    (call,) = [one for one in found.doubts.close_calls if one.finding == finding]
    return call.outcome.replace("\u00a0", " "), call.reading, call.settled_by


# -- too close to call --


def test_reading_near_a_limit_is_too_close_to_call(small: Rulebook) -> None:
    found = assessed(small, {**STACK, "yoke-span": "80.06 mm"})
    outcome, reading, settled_by = close_call(found, "stack-end-play")
    # D: end play 0.06 mm, u = 0.0238 mm; P(above 0.05 mm) = Phi(0.42) = 0.66
    assert outcome == "too close to call: too much 66 %, good 33 %, preload 1 %"
    assert reading == "End play of the cross in the yoke: 0.060 mm +/- 0.024 mm"
    # D: dial u = sqrt(0.01^2/12 + 0.01^2/3) mm = 0.0065 mm
    assert settled_by == (
        f"{DIAL} (standard uncertainty 0.0065 mm), unless it reads as near the limit"
    )


def test_better_gauge_settles_it_when_the_limit_is_far_enough(small: Rulebook) -> None:
    found = assessed(small, {**STACK, "yoke-span": "80.025 mm"})
    outcome, _, settled_by = close_call(found, "stack-end-play")
    assert outcome == "too close to call: good 71 %, preload 15 %, too much 15 %"
    assert settled_by == f"{DIAL} (standard uncertainty 0.0065 mm)"


def test_how_fine_a_reading_has_to_be_is_told_in_the_users_unit(small: Rulebook) -> None:
    answers = {"ring-1": "60.0 thou", "ring-2": "59.0 thou"}
    _, reading, settled_by = close_call(assessed(small, answers), "rings-differ")
    assert reading == "First ring less second ring: 1.00 thou +/- 0.66 thou"
    # D: limit 0.02 mm = 0.787 thou lies 0.213 thou off; / 1.645 for 0.95 = 0.13 thou
    assert settled_by == "a reading with a standard uncertainty of at most 0.13 thou"


def test_only_the_comparison_that_is_too_close_is_named(small: Rulebook) -> None:
    """The speed is far above its limit, and no better reading of it is wanted."""
    found = assessed(small, {"worst-speed": "120 km/h", "ring-1": "1.51 mm"})
    _, reading, settled_by = close_call(found, "thick-at-speed")
    assert reading == "How thick is the first ring? 1.510 mm +/- 0.012 mm"
    # D: 0.01 mm off the limit, / 1.645 for 0.95
    assert settled_by == "a reading with a standard uncertainty of at most 0.0061 mm"


def test_reading_on_the_limit_is_settled_by_nothing(small: Rulebook) -> None:
    answers = {"ring-1": "1.52 mm", "ring-2": "1.50 mm"}
    _, _, settled_by = close_call(assessed(small, answers), "rings-differ")
    assert settled_by == "nothing: the reading lies on the limit"


def test_clear_reading_is_no_close_call(small: Rulebook) -> None:
    found = assessed(small, {**STACK, "yoke-span": "80.20 mm"})
    assert "stack-end-play" not in [one.finding for one in found.doubts.close_calls]


# -- measured against computed --


def test_measured_and_computed_values_that_disagree_are_told(small: Rulebook) -> None:
    found = assessed(small, {**STACK, "yoke-span": "80.20 mm", "end-play": "0.03 mm"})
    (conflict,) = found.doubts.disagreements
    assert conflict.fact == "end-play"
    assert conflict.measured == "0.0300 mm +/- 0.0065 mm"
    assert conflict.computed == "0.200 mm +/- 0.024 mm"


def test_measured_and_computed_values_within_their_uncertainty_agree(small: Rulebook) -> None:
    found = assessed(small, {**STACK, "yoke-span": "80.05 mm", "end-play": "0.03 mm"})
    assert found.doubts.disagreements == ()


def test_measured_value_wins_over_the_computed_one(small: Rulebook) -> None:
    found = assessed(small, {**STACK, "yoke-span": "80.20 mm", "end-play": "0.03 mm"})
    shown = {fact.id: fact.value for fact in found.facts}
    assert shown["end-play"] == "0.0300 mm +/- 0.0065 mm"


# -- second look --


def test_answer_that_the_rest_makes_unlikely_deserves_a_second_look(small: Rulebook) -> None:
    (look,) = assessed(small, {**THIN, "note": "a wheel hops"}).doubts.second_looks
    assert (look.finding, look.outcome) == ("wheels-hop", "yes")
    # the rulebook's rates of it are 2 and 3 in 1000
    assert 0.002 <= look.probability <= 0.003


def test_answers_that_fit_together_need_no_second_look(small: Rulebook) -> None:
    assert assessed(small, THIN).doubts.second_looks == ()


# -- what would change the order --


def test_answer_that_alone_holds_the_lead_is_told_with_what_would_lead(small: Rulebook) -> None:
    found = assessed(small, {"last-work": "joint-replaced"})
    (turn,) = found.doubts.would_change
    assert (turn.finding, turn.outcome, turn.is_known) == ("began-after-joint-work", "no", True)
    assert turn.leading == "A wheel out of balance"


def test_open_question_that_could_change_the_lead_is_told(small: Rulebook) -> None:
    turns = assessed(small, {}).doubts.would_change
    assert ("stack-end-play", "too much", False) in [
        (turn.finding, turn.outcome, turn.is_known) for turn in turns
    ]
    assert {turn.leading for turn in turns} == {
        "Retaining rings too thin, so that the cross can shift"
    }


# -- the verdict --


@pytest.mark.parametrize(
    ("answers", "verdict"),
    [
        ({}, "no cause stands out yet: treat the first ones as open"),
        (
            {"last-work": "joint-replaced"},
            "Retaining rings too thin, so that the cross can shift is likely, not proved: "
            "confirm it",
        ),
        (
            THIN,
            "Retaining rings too thin, so that the cross can shift is very likely; "
            "still prove the cure",
        ),
    ],
    ids=["nothing known", "likely", "very likely"],
)
def test_verdict_is_as_sure_as_the_ranking(
    answers: dict[str, str], verdict: str, small: Rulebook
) -> None:
    assert assessed(small, answers).doubts.verdict == verdict


def test_none_of_the_listed_in_the_lead_is_said_plainly(driveline: Rulebook) -> None:
    answers = open_case(SIDE_WIND, driveline).case.latest()
    found = assessed(driveline, answers)
    assert found.doubts.none_leads
    assert found.doubts.verdict == (
        "none of the listed causes fits best: do not repair on this ranking; "
        "look outside it, or check the answers"
    )
    assert found.none_of_the_listed >= found.causes[0].probability
