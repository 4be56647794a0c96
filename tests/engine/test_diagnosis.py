"""One vehicle under diagnosis: what its face promises to the layers above."""

from __future__ import annotations

import pytest

from advisor.engine.diagnosis import SHOWN_PAIRS, Diagnosis, Engine
from advisor.engine.rules import Is, Within
from advisor.engine.values import UNKNOWN, Interval, Number
from tests import helpers


def test_dont_know_is_remembered_and_tells_nothing() -> None:
    case = helpers.diagnosis(helpers.rules(findings=[helpers.finding("f")]), {"q-f": UNKNOWN})
    assert case.is_answered("q-f")
    assert case.value("q-f") is UNKNOWN
    assert case.weights("f") is None
    case.take_back("q-f")
    assert not case.is_answered("q-f")


def test_a_question_is_asked_only_while_its_condition_is_true() -> None:
    rules = helpers.rules(
        questions=[helpers.yes_no("x"), helpers.yes_no("y", ask_if=Is("x", True))]
    )
    case = helpers.diagnosis(rules)
    assert case.is_asked("x")
    assert not case.is_asked("y")  # not known yet
    case.answer("x", True)
    assert case.is_asked("y")
    case.answer("x", False)
    assert not case.is_asked("y")


def test_an_answer_to_no_question_of_the_rulebook_is_refused() -> None:
    with pytest.raises(KeyError):
        helpers.diagnosis(helpers.rules()).answer("nowhere", True)


def test_diagnoses_of_one_engine_do_not_touch_each_other() -> None:
    engine = Engine(helpers.rules(findings=[helpers.finding("f", {"a": 0.8})]))
    one, other = Diagnosis(engine), Diagnosis(engine)
    before = other.belief()
    one.answer("q-f", True)
    assert other.belief() == before
    assert other.answers == {}


def test_stops_are_findings_that_are_true_or_too_close_to_call() -> None:
    rules = helpers.rules(
        questions=[helpers.number("n"), helpers.yes_no("x")],
        findings=[
            helpers.finding("f", when=Within("n", (Interval(low=1.0),)), stop_driving=True),
            helpers.finding("g", when=Is("x", True), stop_driving=True),
            helpers.finding("h", when=Is("x", True)),
        ],
    )
    case = helpers.diagnosis(rules)
    assert case.stops() == ()
    case.answer("n", Number(0.95, 0.1))
    assert case.stops() == ("f",)
    assert case.close_calls() == ("f",)
    case.answer("n", Number(0.5, 0.1))
    assert case.stops() == ()
    case.answer("x", True)
    assert case.stops() == ("g",)


def test_ties_keep_the_order_of_the_files() -> None:
    ranking = helpers.diagnosis(helpers.rules(causes=["z", "m", "a"])).ranking()
    assert [item.cause for item in ranking.causes] == ["z", "m", "a"]


def test_only_the_likeliest_pairs_are_shown_but_all_are_counted() -> None:
    case = helpers.diagnosis(helpers.rules(causes=list("abcd")))
    ranking = case.ranking()
    assert len(ranking.pairs) == SHOWN_PAIRS < 6
    assert ranking.two_probability == pytest.approx(2.0 * 3 * ranking.pairs[0].probability)


def test_none_of_the_listed_leads_when_it_is_as_likely_as_the_first() -> None:
    lead = helpers.rules(causes=["a"], none_share=0.5)
    behind = helpers.rules(causes=["a"], none_share=0.4)
    assert helpers.diagnosis(lead).ranking().none_leads
    assert not helpers.diagnosis(behind).ranking().none_leads


def test_findings_on_a_question_are_those_it_helps_to_settle() -> None:
    rules = helpers.rules(
        questions=[
            helpers.yes_no("gate"),
            helpers.yes_no("x", ask_if=Is("gate", True)),
            helpers.yes_no("y"),
        ],
        findings=[
            helpers.finding("f", when=Is("x", True)),
            helpers.finding("g", when=Is("y", True)),
        ],
    )
    case = helpers.diagnosis(rules)
    assert case.findings_on("gate") == ("f",)
    assert case.findings_on("y") == ("g",)
