"""One vehicle under diagnosis: what its face promises to the layers above."""

from __future__ import annotations

import pytest

from advisor.engine.chain import Conflict
from advisor.engine.diagnosis import Diagnosis, Engine
from advisor.engine.ranking import SHOWN_PAIRS
from advisor.engine.rules import All, ComputationError, Is, Known, Place, Within
from advisor.engine.values import UNKNOWN, Interval, Number
from tests import helpers, oracles


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
            helpers.band_finding("size", "n", [0.0], [0.5, 0.5], {}),
        ],
    )
    case = helpers.diagnosis(rules)
    assert case.stops() == ()
    case.answer("n", Number(-9.0, 0.1))
    assert case.weights("size") == (1.0, 0.0)
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


def test_pairs_are_ranked_as_enumeration_ranks_them() -> None:
    names = list("abcde")
    causes = [helpers.cause(name, commonness=1.0 + place) for place, name in enumerate(names)]
    rules = helpers.rules(causes=causes, findings=[helpers.finding("f", {"a": 0.9, "d": 0.3})])
    belief = oracles.posterior(rules, {"q-f": True})
    pairs = sorted((guess for guess in belief if len(guess) == 2), key=lambda g: -belief[g])
    shown = helpers.diagnosis(rules, {"q-f": True}).ranking().pairs
    assert [pair.causes for pair in shown] == [(names[i], names[j]) for i, j in pairs[: len(shown)]]
    masses = [belief[guess] for guess in pairs[: len(shown)]]
    assert [pair.probability for pair in shown] == pytest.approx(masses, abs=1e-12)


def test_equal_pairs_keep_the_order_of_the_files() -> None:
    shown = helpers.diagnosis(helpers.rules(causes=list("dcba"))).ranking().pairs
    assert [pair.causes for pair in shown] == [("d", "c"), ("d", "b"), ("d", "a")][: len(shown)]


def test_pairs_that_cannot_be_are_not_shown() -> None:
    case = helpers.diagnosis(helpers.rules(causes=list("abc"), pair_factor=0.0))
    assert case.ranking().pairs == ()


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


def test_a_finding_is_settled_by_the_tests_that_answer_what_it_lacks() -> None:
    rules = helpers.rules(
        questions=[helpers.yes_no(name) for name in ("x", "y", "z", "lost")],
        findings=[
            helpers.finding("f", when=All((Is("x", True), Is("y", True), Is("z", True)))),
            helpers.finding("g", when=Is("lost", True)),
        ],
        tests=[helpers.work("drive", ["x", "z"]), helpers.work("look", ["y"])],
    )
    case = helpers.diagnosis(rules)
    assert set(case.tests_to_settle("f")) == {"drive", "look"}
    case.answer_all({"x": True, "z": True})
    assert case.tests_to_settle("f") == ("look",)
    assert case.tests_to_settle("g") == ()


def test_mended_cause_leaves_what_is_not_disproved() -> None:
    """Plain conditioning: what lies in the mended causes alone is out, all else keeps its odds."""
    causes = [
        helpers.cause(name, commonness=share) for name, share in (("a", 3), ("b", 2), ("c", 1))
    ]
    book = helpers.rules(causes=causes, findings=[helpers.finding("f", {"a": 0.9, "b": 0.6})])
    answers = {"q-f": True}
    case = helpers.diagnosis(book, answers)
    case.mend("a")
    known = oracles.facts(book, answers)
    left = {
        guess: mass
        for guess, mass in oracles.posterior(book, known).items()
        if not guess or not set(guess) <= {0}
    }
    total = sum(left.values())
    ranking = case.ranking()
    assert ranking.none_probability == pytest.approx(left[()] / total, abs=1e-12)
    assert {one.cause: one.probability for one in ranking.causes} == pytest.approx(
        {name: oracles.marginal(left, place) / total for place, name in ((1, "b"), (2, "c"))},
        abs=1e-12,
    )


def test_mended_cause_is_not_repaired_again() -> None:
    case = helpers.diagnosis(helpers.rules(causes=[helpers.cause("a"), helpers.cause("b")]))
    case.mend("a")
    assert [step.cause for step in case.plan(at="desk").repair.steps] == ["b"]


def test_when_all_causes_are_mended_something_else_is_left() -> None:
    case = helpers.diagnosis(helpers.rules(causes=[helpers.cause("a"), helpers.cause("b")]))
    case.mend("a")
    case.mend("b")
    assert case.ranking().none_probability == pytest.approx(1.0)
    assert case.plan(at="desk").repair.steps == ()


def test_unmending_leaves_no_trace() -> None:
    case = helpers.diagnosis(helpers.rules(findings=[helpers.finding("f", {"a": 0.8})]))
    before = case.belief()
    case.mend("a")
    assert case.belief() != before
    case.unmend("a")
    assert case.belief() == before


def test_closed_question_is_not_planned() -> None:
    book = helpers.rules(findings=[helpers.finding("f", {"a": 0.95}, usual=0.02)])
    case = helpers.diagnosis(book)
    assert case.plan(at="desk").options
    assert not case.plan(at="desk", closed={"q-f"}).options


def test_what_is_known_before_any_answer_counts() -> None:
    """A finding that something was not asked is true at first."""
    unasked = helpers.finding("f", {"a": 0.9}, when=Known("x", False))
    rules = helpers.rules(questions=[helpers.yes_no("x")], findings=[unasked])
    belief = oracles.posterior(rules, {})
    ranking = helpers.diagnosis(rules).ranking()
    assert ranking.causes[0].cause == "a"
    assert ranking.causes[0].probability == pytest.approx(oracles.marginal(belief, 0), abs=1e-12)


def test_a_cause_is_as_common_where_it_is_known_to_apply_as_where_that_is_unknown() -> None:
    rules = helpers.rules(
        questions=[helpers.yes_no("x")], causes=["a", helpers.cause("b", applies_if=Is("x", True))]
    )
    unknown, known = helpers.diagnosis(rules), helpers.diagnosis(rules, {"x": True})
    assert unknown.prior() == known.prior()
    first, second = unknown.ranking().causes
    assert first.probability == second.probability


def test_a_finding_that_is_settled_is_no_close_call() -> None:
    within = helpers.finding("f", when=Within("n", (Interval(low=1.0),)))
    rules = helpers.rules(questions=[helpers.number("n")], findings=[within])
    case = helpers.diagnosis(rules)
    assert case.close_calls() == ()
    case.answer("n", Number(9.0, 0.1))
    assert case.close_calls() == ()


def test_what_is_not_asked_is_not_planned_with_what_is() -> None:
    rules = helpers.rules(
        questions=[
            helpers.yes_no("gate"),
            helpers.yes_no("deep", ask_if=Is("gate", True)),
            helpers.yes_no("y"),
        ],
        findings=[helpers.finding("f", {"a": 0.97}, when=All((Is("deep", True), Is("y", True))))],
        causes=[helpers.cause(name, repair_minutes=100.0) for name in "ab"],
    )
    assert helpers.diagnosis(rules, {"gate": True}).plan(at="desk").options
    assert not helpers.diagnosis(rules, {"gate": False}).plan(at="desk").options


def test_an_unsafe_vehicle_closes_the_places_where_it_is_driven_and_no_others() -> None:
    stop = helpers.finding("s", {"b": 0.6}, usual=0.4, stop_driving=True)
    rules = helpers.rules(
        findings=[helpers.finding("f", {"a": 0.97}, usual=0.03), stop],
        causes=[helpers.cause(name, repair_minutes=100.0) for name in "ab"],
        places=[helpers.DESK, Place("road", 1.0, driving=True)],
    )
    assert helpers.diagnosis(rules, {"q-s": True}).plan(at="desk").test == "test-q-f"


def test_a_finding_is_not_settled_by_tests_when_none_reads_part_of_it() -> None:
    rules = helpers.rules(
        questions=[helpers.yes_no("x"), helpers.yes_no("lost")],
        findings=[helpers.finding("f", when=All((Is("x", True), Is("lost", True))))],
        tests=[helpers.work("look", ["x"])],
    )
    assert helpers.diagnosis(rules).tests_to_settle("f") == ()


def test_a_case_tells_what_was_mended_what_counts_and_what_it_rests_on() -> None:
    weak = helpers.finding("weak", {"a": 0.3}, observation="one")
    rules = helpers.rules(findings=[weak, helpers.finding("f", {"b": 0.8})])
    case = helpers.diagnosis(rules, {"q-weak": True, "q-f": True})
    case.mend("a")
    assert case.mended == {"a"}
    assert case.counted() == (("one", "weak"), ("finding f", "f"))
    (line,) = (one for one in case.trail("b").lines if one.finding == "f")
    assert case.basis("f") == line.basis


def test_a_case_tells_why_a_computation_has_no_answer_and_what_disagrees_with_it() -> None:
    def no_root(inputs: object) -> Number:
        raise ComputationError("a negative number has no root")

    rules = helpers.rules(
        questions=[helpers.number("x"), helpers.number("sum")],
        computed=[
            helpers.computed("root", {"x": "x"}, no_root),
            helpers.computed("sum", {"x": "x"}, helpers.total),
        ],
    )
    case = helpers.diagnosis(rules, {"x": Number(-4.0, 0.1), "sum": Number(5.0, 0.1)})
    assert case.reason_unknown("root") == "a negative number has no root"
    assert case.reason_unknown("sum") is None
    assert case.conflicts() == (Conflict("sum", Number(5.0, 0.1), Number(-4.0, 0.1)),)
