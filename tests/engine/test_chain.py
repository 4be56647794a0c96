"""The chain: three-valued logic, computed facts, changes and conflicts."""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from scipy.stats import norm  # type: ignore[import-untyped]

from advisor.engine.leaves import UNKNOWN_TRUTH
from advisor.engine.rules import (
    All,
    AnyOf,
    ComputationError,
    Condition,
    Is,
    Known,
    Not,
    OneOf,
    Question,
    Within,
)
from advisor.engine.values import UNKNOWN, Interval, Number, Value
from tests import helpers

T, F, U = 1.0, 0.0, None
ANSWER: Mapping[float | None, Value] = {T: True, F: False, U: UNKNOWN}
ABOVE_1 = Within("n", (Interval(low=1.0),))


def truth(condition: Condition, answers: Mapping[str, Value], *questions: Question) -> float | None:
    """The probability that a finding with this condition is true, None while unknown."""
    asked = questions or (helpers.yes_no("x"), helpers.yes_no("y"))
    book = helpers.rules(questions=asked, findings=[helpers.finding("f", when=condition)])
    weights = helpers.chain_of(book, answers).weights("f")
    return None if weights is None else weights[0]


TABLE = [
    # x, y, all, any (Kleene 1952, strong three-valued logic)
    (T, T, T, T),
    (T, F, F, T),
    (T, U, U, T),
    (F, T, F, T),
    (F, F, F, F),
    (F, U, F, U),
    (U, T, U, T),
    (U, F, F, U),
    (U, U, U, U),
]


@pytest.mark.parametrize(("x", "y", "both", "either"), TABLE)
def test_all_and_any_follow_kleenes_tables(
    x: float | None, y: float | None, both: float | None, either: float | None
) -> None:
    answers = {"x": ANSWER[x], "y": ANSWER[y]}
    items = (Is("x", True), Is("y", True))
    assert truth(All(items), answers) == both
    assert truth(AnyOf(items), answers) == either


@pytest.mark.parametrize(("x", "inverse"), [(T, F), (F, T), (U, U)])
def test_not_follows_kleenes_table(x: float | None, inverse: float | None) -> None:
    assert truth(Not(Is("x", True)), {"x": ANSWER[x]}) == inverse


def test_all_of_nothing_is_true_and_any_of_nothing_false() -> None:
    assert truth(All(()), {}) == T
    assert truth(AnyOf(()), {}) == F


@pytest.mark.parametrize("join", [All, AnyOf])
@pytest.mark.parametrize("x", [T, F, U])
def test_the_same_item_twice_counts_as_once(join: type[All] | type[AnyOf], x: float | None) -> None:
    item = Is("x", True)
    assert truth(join((item, item)), {"x": ANSWER[x]}) == x


def test_known_is_never_unknown() -> None:
    assert truth(Known("x"), {}) == F
    assert truth(Known("x"), {"x": UNKNOWN}) == F
    assert truth(Known("x"), {"x": False}) == T
    assert truth(Known("x", known=False), {}) == T
    assert truth(Not(Known("x")), {"x": True}) == F


def test_several_choices_are_compared_by_what_they_include() -> None:
    ends = helpers.choices("ends", "front", "rear", "middle")
    some = {"ends": frozenset({"front", "rear"})}
    assert truth(Is("ends", "rear"), some, ends) == T
    assert truth(Is("ends", "middle"), some, ends) == F
    assert truth(OneOf("ends", frozenset({"middle", "front"})), some, ends) == T
    assert truth(OneOf("ends", frozenset({"middle"})), some, ends) == F
    assert truth(Is("ends", "rear"), {"ends": frozenset()}, ends) == F
    assert truth(Is("ends", "rear"), {}, ends) is U


def test_a_number_compared_with_text_is_our_own_mistake() -> None:
    with pytest.raises(TypeError, match="'n' is compared as a number"):
        truth(ABOVE_1, {"n": "seven"}, helpers.number("n"))


@pytest.mark.parametrize(
    ("probability", "expected"),
    [(0.951, 1.0), (0.949, 0.949), (0.051, 0.051), (0.049, 0.0), (0.5, 0.5)],
)
def test_a_comparison_is_settled_from_95_percent_on(probability: float, expected: float) -> None:
    reading = Number(1.0 + float(norm.ppf(probability)), 1.0)
    got = truth(ABOVE_1, {"n": reading}, helpers.number("n"))
    assert got == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize(("value", "expected"), [(0.5, T), (1.5, F), (2.5, T), (3.0, F)])
def test_an_exact_number_is_sought_in_every_stretch(value: float, expected: float) -> None:
    within = Within("n", (Interval(0.0, 1.0), Interval(2.0, 3.0)))
    assert truth(within, {"n": Number(value)}, helpers.number("n")) == expected


def test_comparisons_too_close_to_call_multiply_and_settle() -> None:
    questions = (helpers.number("n"), helpers.number("m"))
    items = (ABOVE_1, Within("m", (Interval(low=1.0),)))
    even = {"n": Number(1.0, 0.1), "m": Number(1.0, 0.1)}
    assert truth(All(items), even, *questions) == pytest.approx(0.25, abs=1e-12)
    assert truth(AnyOf(items), even, *questions) == pytest.approx(0.75, abs=1e-12)
    low = {name: Number(1.0 + float(norm.ppf(0.2)), 1.0) for name in ("n", "m")}
    assert truth(All(items), low, *questions) == 0.0  # 0.2 * 0.2 = 0.04 is below 0.05


def test_something_too_close_to_call_with_something_unknown_is_unknown() -> None:
    questions = (helpers.number("n"), helpers.yes_no("x"))
    even = {"n": Number(1.0, 0.1)}
    assert truth(All((ABOVE_1, Is("x", True))), even, *questions) is U
    assert truth(AnyOf((ABOVE_1, Is("x", True))), even, *questions) is U


def test_findings_are_read_as_facts() -> None:
    book = helpers.rules(
        questions=[helpers.yes_no("x"), helpers.choice("c", "p", "q", "r"), helpers.number("n")],
        findings=[
            helpers.finding("late", when=All((Is("f", False), Is("pick", "r"), Known("size")))),
            helpers.finding("f", when=Is("x", True)),
            helpers.choice_finding("pick", "c", {"p": 0.2, "q": 0.3, "r": 0.5}, {}),
            helpers.band_finding("size", "n", [0.0], [0.5, 0.5], {}),
            helpers.finding("unsized", when=Known("size", known=False)),
            helpers.finding("high", when=OneOf("size", frozenset({"band-1"}))),
            helpers.finding("picked", when=Known("pick")),
        ],
    )
    assert helpers.chain_of(book).weights("picked") == (0.0, 1.0)
    chain = helpers.chain_of(book, {"x": False, "c": "r"})
    assert chain.weights("picked") == (1.0, 0.0)
    assert chain.weights("late") == (0.0, 1.0)
    assert chain.weights("high") is None
    assert chain.weights("unsized") == (1.0, 0.0)
    chain.answer("n", Number(3.0))
    assert chain.weights("late") == (1.0, 0.0)
    assert chain.weights("high") == (1.0, 0.0)
    assert chain.weights("unsized") == (0.0, 1.0)


def test_findings_by_choice_and_band_weigh_their_outcomes() -> None:
    book = helpers.rules(
        questions=[helpers.choice("c", "p", "q"), helpers.number("n")],
        findings=[
            helpers.choice_finding("pick", "c", {"p": 0.2, "q": 0.8}, {}),
            helpers.band_finding("size", "n", [0.0, 1.0], [0.3, 0.3, 0.4], {}),
        ],
    )
    chain = helpers.chain_of(book)
    assert chain.weights("pick") is None
    assert chain.weights("size") is None
    chain.answer("c", "q")
    assert chain.weights("pick") == (0.0, 1.0)
    chain.answer("n", Number(1.0))
    assert chain.weights("size") == (0.0, 0.0, 1.0)  # an edge belongs to the band above
    chain.answer("n", Number(1.0, 0.5))
    expected = (norm.cdf(-2.0), 0.5 - norm.cdf(-2.0), 0.5)
    assert chain.weights("size") == pytest.approx(expected, abs=1e-12)
    chain.answer("n", Number(-9.0, 0.5))
    assert chain.weights("size") == (1.0, 0.0, 0.0)


# -- computed facts --


def refuse(inputs: Mapping[str, Value]) -> Value:
    raise ComputationError("the two readings cannot both be right")


def test_a_computation_waits_for_its_inputs_but_not_for_optional_ones() -> None:
    book = helpers.rules(
        questions=[helpers.number("n"), helpers.number("m")],
        computed=[
            helpers.computed("both", {"n": "n", "m": "m"}, helpers.total),
            helpers.computed("either", {"n": "n", "m": "m"}, helpers.total, optional=["m"]),
        ],
    )
    chain = helpers.chain_of(book, {"n": Number(1.0)})
    assert chain.value("both") is UNKNOWN
    assert chain.reason_unknown("both") is None
    assert chain.value("either") == Number(1.0)
    chain.answer("m", Number(2.0))
    assert chain.value("both") == chain.value("either") == Number(3.0)


def test_a_computation_without_inputs_is_done_at_once() -> None:
    book = helpers.rules(computed=[helpers.computed("fixed", {}, lambda _: Number(7.0))])
    assert helpers.chain_of(book).value("fixed") == Number(7.0)


def test_a_finding_read_from_what_needs_no_answer_is_known_at_once() -> None:
    book = helpers.rules(
        computed=[helpers.computed("n", {}, lambda _: Number(3.0))],
        findings=[helpers.band_finding("f", "n", [2.0], [0.5, 0.5], {"a": (0.1, 0.9)})],
    )
    assert helpers.chain_of(book).weights("f") == (0.0, 1.0)


def test_a_computation_that_cannot_be_done_leaves_its_fact_unknown_with_the_reason() -> None:
    book = helpers.rules(
        questions=[helpers.number("x")],
        computed=[
            helpers.computed("n", {"x": "x"}, refuse),
            helpers.computed("after", {"n": "n"}, helpers.total),
        ],
        findings=[helpers.finding("f", when=ABOVE_1)],
    )
    chain = helpers.chain_of(book, {"x": Number(1.0)})
    assert chain.value("n") is UNKNOWN
    assert chain.reason_unknown("n") == "the two readings cannot both be right"
    assert chain.value("after") is UNKNOWN
    assert chain.weights("f") is None
    chain.take_back("x")
    assert chain.reason_unknown("n") is None


def test_a_changed_input_that_leaves_the_result_alone_stops_there() -> None:
    calls = []

    def after(inputs: Mapping[str, Value]) -> Value:
        calls.append(inputs)
        return True

    book = helpers.rules(
        questions=[helpers.number("x")],
        computed=[
            helpers.computed("sign", {"x": "x"}, lambda inputs: "positive"),
            helpers.computed("after", {"sign": "sign"}, after),
        ],
    )
    chain = helpers.chain_of(book, {"x": Number(1.0)})
    chain.answer("x", Number(2.0))
    assert len(calls) == 1


def test_a_diamond_is_worked_out_once_from_both_sides() -> None:
    calls = []

    def bottom(inputs: Mapping[str, Value]) -> Value:
        calls.append(dict(inputs))
        return helpers.total(inputs)

    book = helpers.rules(
        questions=[helpers.number("x")],
        computed=[
            helpers.computed("bottom", {"l": "left", "r": "right"}, bottom),
            helpers.computed("left", {"x": "x"}, helpers.total),
            helpers.computed("right", {"x": "x"}, helpers.total),
        ],
    )
    chain = helpers.chain_of(book, {"x": Number(1.0)})
    chain.answer("x", Number(2.0))
    assert calls == [
        {"l": Number(1.0), "r": Number(1.0)},
        {"l": Number(2.0), "r": Number(2.0)},
    ]


MEASURED_TOO = helpers.rules(
    questions=[helpers.number("n"), helpers.number("x")],
    computed=[helpers.computed("n", {"x": "x"}, helpers.total)],
    findings=[helpers.finding("f", when=ABOVE_1)],
)


def test_the_measured_value_wins_over_the_computed_one() -> None:
    chain = helpers.chain_of(MEASURED_TOO, {"x": Number(0.0), "n": Number(5.0)})
    assert chain.value("n") == Number(5.0)
    assert chain.computed_value("n") == Number(0.0)
    assert chain.weights("f") == (1.0, 0.0)
    chain.take_back("n")
    assert chain.value("n") == Number(0.0)
    assert chain.weights("f") == (0.0, 1.0)


def test_not_knowing_the_measured_value_leaves_the_computed_one() -> None:
    chain = helpers.chain_of(MEASURED_TOO, {"x": Number(2.0), "n": UNKNOWN})
    assert chain.value("n") == Number(2.0)


@pytest.mark.parametrize(
    ("measured", "is_reported"), [(3.99, False), (4.01, True), (2.01, False), (1.99, True)]
)
def test_a_conflict_is_reported_beyond_twice_the_combined_uncertainty(
    measured: float, is_reported: bool
) -> None:
    """Computed 3 with u 0.3, measured with u 0.4: combined 0.5, so the limit is 1."""
    answers = {"x": Number(3.0, 0.3), "n": Number(measured, 0.4)}
    conflicts = helpers.chain_of(MEASURED_TOO, answers).conflicts()
    assert bool(conflicts) == is_reported
    for conflict in conflicts:
        assert (conflict.fact, conflict.measured, conflict.computed) == (
            "n",
            answers["n"],
            Number(3.0, 0.3),
        )


# -- changes --


def test_an_answer_to_an_unknown_question_is_refused() -> None:
    with pytest.raises(KeyError, match="no-such-question"):
        helpers.chain_of(MEASURED_TOO).answer("no-such-question", True)


def test_an_answer_names_the_findings_whose_outcome_changed() -> None:
    book = helpers.rules(
        questions=[helpers.yes_no("x"), helpers.yes_no("y")],
        findings=[
            helpers.finding("f", when=AnyOf((Is("x", True), Is("y", True)))),
            helpers.finding("g", when=Is("y", True)),
        ],
    )
    chain = helpers.chain_of(book)
    assert chain.answer("x", True) == {"f"}
    assert chain.answer("y", True) == {"g"}
    assert chain.answer("y", True) == set()
    assert chain.take_back("x") == set()
    assert chain.take_back("y") == {"f", "g"}


def test_every_other_probability_of_a_close_call_is_a_change_and_the_same_is_none() -> None:
    above = Within("n", (Interval(low=0.0),))
    findings = [
        helpers.finding("leaf", when=above),
        helpers.finding("gate", when=All((above, Is("x", True)))),
    ]
    book = helpers.rules(questions=[helpers.number("n"), helpers.yes_no("x")], findings=findings)
    chain = helpers.chain_of(book, {"x": True})
    for probability in (0.3, 0.4, 0.6, 0.3, 0.5):
        reading = Number(float(norm.ppf(probability)), 1.0)
        assert chain.answer("n", reading) == {"leaf", "gate"}
        for name in ("leaf", "gate"):
            assert chain.weights(name) == pytest.approx((probability, 1.0 - probability))
        twice = Number(2.0 * reading.value, 2.0 * reading.u)
        assert chain.answer("n", twice) == set()
    assert chain.answer("n", Number(5.0, 1.0)) == {"leaf", "gate"}
    assert chain.answer("n", Number(0.0, 1.0)) == {"leaf", "gate"}
    assert chain.weights("gate") == pytest.approx((0.5, 0.5))
    assert chain.take_back("n") == {"leaf", "gate"}


def test_a_number_that_stays_in_its_band_changes_no_finding() -> None:
    book = helpers.rules(
        questions=[helpers.number("n")],
        findings=[helpers.band_finding("size", "n", [1.0], [0.5, 0.5], {})],
    )
    chain = helpers.chain_of(book, {"n": Number(2.0)})
    assert chain.answer("n", Number(3.0)) == set()
    assert chain.answer("n", Number(0.0)) == {"size"}


def test_taking_back_what_was_never_answered_changes_nothing() -> None:
    assert helpers.chain_of(MEASURED_TOO).take_back("n") == set()


def test_the_answers_given_out_are_a_copy() -> None:
    chain = helpers.chain_of(MEASURED_TOO, {"n": Number(1.0)})
    chain.answers.clear()
    assert chain.answers == {"n": Number(1.0)}


def test_unknown_truth_is_no_probability() -> None:
    assert not 0.0 <= UNKNOWN_TRUTH <= 1.0
