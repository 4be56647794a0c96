"""Trails and what they rest on, second looks and turns."""

from __future__ import annotations

import math
from collections.abc import Mapping

import pytest

from advisor.engine.belief import Belief
from advisor.engine.credit import log_odds
from advisor.engine.explain import Basis, FactBasis
from advisor.engine.rules import All, Condition, Is, Known, Not, Rules, Within
from advisor.engine.values import UNKNOWN, Interval, Number, Value
from tests import helpers

ABOVE = Within("sum", (Interval(low=1.0),))


def computing(when: Condition) -> Rules:
    return helpers.rules(
        questions=[
            helpers.number("x"),
            helpers.number("y"),
            helpers.yes_no("noise"),
            helpers.choice("c", "p", "q"),
        ],
        computed=[
            helpers.computed("twice", {"x": "x"}, lambda inputs: inputs["x"]),
            helpers.computed("sum", {"t": "twice", "y": "y"}, helpers.total),
        ],
        findings=[
            helpers.finding("f", {"a": 0.8}, when=when),
            helpers.finding("loud", when=Is("noise", True)),
            helpers.band_finding("size", "sum", [1.0], [0.5, 0.5], {}),
            helpers.choice_finding("pick", "c", {"p": 0.5, "q": 0.5}, {}),
        ],
    )


ANSWERS: Mapping[str, Value] = {"x": Number(2.0), "y": Number(1.0), "noise": True, "c": "q"}


def basis(when: Condition) -> Basis:
    trail = helpers.diagnosis(computing(when), ANSWERS).trail("a")
    found = next(line.basis for line in trail.lines if line.finding == "f")
    assert isinstance(found, Basis)
    return found


X = FactBasis("x", Number(2.0), "answered")
Y = FactBasis("y", Number(1.0), "answered")
SUM = FactBasis(
    "sum",
    Number(3.0),
    "computed",
    (FactBasis("twice", Number(2.0), "computed", (X,)), Y),
)


def test_a_basis_names_computed_facts_with_all_that_they_were_computed_from() -> None:
    assert basis(ABOVE) == Basis(ABOVE, 1.0, (), (SUM,))


def test_a_basis_keeps_the_shape_of_the_condition() -> None:
    noisy = Is("noise", True)
    tree = All((ABOVE, Not(Not(noisy))))
    found = basis(tree)
    assert found.condition == tree
    assert [item.condition for item in found.items] == [ABOVE, Not(Not(noisy))]
    inner = found.items[1].items[0].items[0]
    assert inner == Basis(noisy, 1.0, (), (FactBasis("noise", True, "answered"),))


def test_a_basis_sees_through_a_yes_no_finding() -> None:
    found = basis(Is("loud", True))
    assert found.items == (
        Basis(Is("noise", True), 1.0, (), (FactBasis("noise", True, "answered"),)),
    )


@pytest.mark.parametrize(
    ("when", "fact"),
    [
        (Is("size", "band-1"), SUM),
        (Known("size"), SUM),
        (Is("pick", "q"), FactBasis("c", "q", "answered")),
    ],
)
def test_a_basis_sees_through_a_several_valued_finding(when: Condition, fact: FactBasis) -> None:
    """Regression: a finding read by choice or by bands left the trail without its facts."""
    assert basis(when) == Basis(when, 1.0, (), (fact,))


def test_a_line_of_a_finding_by_bands_rests_on_its_number() -> None:
    trail = helpers.diagnosis(computing(ABOVE), ANSWERS).trail("a")
    assert [line.basis for line in trail.lines if line.finding == "size"] == [SUM]


def test_a_line_has_the_weights_of_the_outcomes() -> None:
    """Of a number at the border of two bands half lies on either side."""
    rules = helpers.rules(
        questions=[helpers.number("n"), helpers.yes_no("q-f")],
        findings=[
            helpers.finding("f", {"a": 0.9}),
            helpers.band_finding("g", "n", [0.0], [0.5, 0.5], {"a": (0.1, 0.9)}),
        ],
    )
    case = helpers.diagnosis(rules, {"q-f": False, "n": Number(0.0, 1.0)})
    weights = {line.finding: line.weights for line in case.trail("a").lines}
    assert weights == {"f": (0.0, 1.0), "g": pytest.approx((0.5, 0.5))}


def test_unknown_parts_are_shown_as_unknown() -> None:
    tree = All((Is("noise", False), ABOVE))
    case = helpers.diagnosis(computing(tree), {"noise": True, "x": UNKNOWN})
    found = case.trail("a").lines[0].basis
    assert isinstance(found, Basis)
    assert found.truth == 0.0
    assert found.items[1] == Basis(ABOVE, None, (), (FactBasis("sum", UNKNOWN, "unknown"),))


def test_measured_and_computed_rests_on_the_measurement() -> None:
    rules = helpers.rules(
        questions=[helpers.number("n"), helpers.number("x")],
        computed=[helpers.computed("n", {"x": "x"}, helpers.total)],
        findings=[helpers.finding("f", {"a": 0.8}, when=Within("n", (Interval(low=1.0),)))],
    )
    case = helpers.diagnosis(rules, {"n": Number(4.0), "x": Number(3.0)})
    found = case.trail("a").lines[0].basis
    assert isinstance(found, Basis)
    assert found.facts == (FactBasis("n", Number(4.0), "answered"),)
    case.answer("n", UNKNOWN)
    found = case.trail("a").lines[0].basis
    assert isinstance(found, Basis)
    assert found.facts[0].origin == "computed"


def test_the_strongest_line_comes_first_whatever_its_sign() -> None:
    rules = helpers.rules(
        findings=[
            helpers.finding("weak", {"a": 0.2}),
            helpers.finding("against", {"a": 0.01}, usual=0.9),
            helpers.finding("strong", {"a": 0.5}),
        ]
    )
    case = helpers.diagnosis(rules, {"q-weak": True, "q-against": True, "q-strong": True})
    lines = case.trail("a").lines
    assert [line.finding for line in lines] == ["against", "strong", "weak"]
    assert lines[0].decibans < 0.0 < lines[1].decibans


def test_a_single_finding_weighs_its_likelihood_ratio_for_the_only_cause() -> None:
    """With one cause against none, the decibans are 10 log10 of the ratio of the rates."""
    rules = helpers.rules(findings=[helpers.finding("f", {"a": 0.8}, usual=0.04)], causes=["a"])
    trail = helpers.diagnosis(rules, {"q-f": True}).trail("a")
    assert trail.prior_decibans == pytest.approx(10 * math.log10(0.9 / 0.1), abs=1e-9)
    assert trail.lines[0].decibans == pytest.approx(10 * math.log10(20.0), abs=1e-9)


def test_findings_that_say_the_same_share_the_credit() -> None:
    rules = helpers.rules(
        findings=[helpers.finding(name, {"a": 0.8}) for name in ("f", "g")],
        causes=["a", "b", "c"],
    )
    lines = helpers.diagnosis(rules, {"q-f": True, "q-g": True}).trail("a").lines
    assert lines[0].decibans == pytest.approx(lines[1].decibans, abs=1e-9)


def test_a_trail_says_why_a_cause_can_exist() -> None:
    applies = Is("q-f", True)
    rules = helpers.rules(
        findings=[helpers.finding("f")], causes=["a", helpers.cause("b", applies_if=applies)]
    )
    case = helpers.diagnosis(rules, {"q-f": True})
    assert case.trail("a").applies is None
    assert case.trail("b").applies == Basis(applies, 1.0, (), (FactBasis("q-f", True, "answered"),))
    case.answer("q-f", False)
    assert case.trail("b").prior_decibans == -math.inf
    assert case.trail("b").lines == ()


def test_log_odds_keep_their_precision_for_a_cause_that_is_all_but_certain() -> None:
    """Regression: what is left for the others was found by taking one sum from another."""
    left = 1e-14
    pairs = [[0.0, 0.5, 0.25], [0.5, 0.0, left / 2.0], [0.25, left / 2.0, 0.0]]
    belief = Belief(left / 2.0, [0.25 - left, 0.0, 0.0], pairs)
    expected = 10 * math.log10((1.0 - left) / left)
    assert log_odds(belief, 0) == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize(("usual", "looks"), [(0.04, 1), (0.06, 0)])
def test_a_second_look_is_for_less_than_5_in_100(usual: float, looks: int) -> None:
    case = helpers.diagnosis(helpers.rules(findings=[helpers.finding("f", usual=usual)]))
    case.answer("q-f", True)
    assert len(case.second_looks()) == looks


def test_an_answer_that_the_rest_makes_very_unlikely_gets_a_second_look() -> None:
    items = [helpers.finding(f"f-{k}", {"a": 0.98, "b": 0.02}, usual=0.05) for k in range(4)]
    rules = helpers.rules(findings=items)
    case = helpers.diagnosis(rules, {f"q-f-{k}": k != 2 for k in range(4)})
    (look,) = case.second_looks()
    assert look.finding == "f-2"
    assert 0.02 < look.probability < 0.05
    case.answer("q-f-2", True)
    assert case.second_looks() == ()


def test_a_turn_of_an_observation_that_already_counts_is_not_promised() -> None:
    rules = helpers.rules(
        findings=[
            helpers.finding("strong", {"a": 0.99}, observation="one"),
            helpers.finding("weak", {"b": 0.9}, observation="one"),
        ]
    )
    turns = helpers.diagnosis(rules, {"q-strong": True}).turns()
    assert {turn.finding for turn in turns} == {"strong"}


def test_an_upset_puts_the_cause_first_when_the_answers_are_changed() -> None:
    """Checked by really changing them: then the cause leads, and nothing is left to change."""
    items = [
        helpers.finding("f", {"a": 0.95, "b": 0.05}),
        helpers.finding("g", {"a": 0.9, "b": 0.1}),
        helpers.finding("h", {"b": 0.9, "a": 0.2}),
    ]
    case = helpers.diagnosis(helpers.rules(findings=items), {"q-f": True, "q-g": True})
    upset = case.upset_by("b")
    assert upset.turns
    assert upset.is_smallest
    for turn in upset.turns:
        assert turn.is_known == (turn.finding != "h")
        case.answer(f"q-{turn.finding}", turn.outcome == "true")
    assert case.ranking().causes[0].cause == "b"
    assert case.upset_by("b").turns == ()


def test_no_upset_is_found_for_a_cause_that_cannot_exist() -> None:
    rules = helpers.rules(
        questions=[helpers.yes_no("x")],
        causes=[helpers.cause("a", applies_if=Is("x", True)), "b"],
    )
    assert helpers.diagnosis(rules, {"x": False}).upset_by("a").turns is None
