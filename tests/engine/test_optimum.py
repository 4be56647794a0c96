"""The advice against the least expected minutes that any way of going about it can have."""

from __future__ import annotations

from dataclasses import replace
from statistics import mean

import pytest

from advisor.engine.rules import Rules
from tests import helpers, oracles
from tests.optimum import Model, is_within_reach, least_minutes, minutes_of_advice
from tests.random_books import Reading, SmallBook, small_book

SEEDS = [seed for seed in range(33) if is_within_reach(small_book(seed))]


def two_causes(*, escalation_minutes: float, informative: bool = True) -> SmallBook:
    """Causes a and b, as likely, a hundred minutes each; a test of ten minutes at the bench."""
    rates = {"a": 0.8, "b": 0.2} if informative else {}
    rules = helpers.rules(
        findings=[helpers.finding("f", rates, usual=0.5)],
        causes=[
            helpers.cause(name, repair_minutes=90.0, verify_minutes=10.0) for name in ("a", "b")
        ],
        tests=[helpers.work("test-f", ["q-f"], place="desk", minutes=10.0)],
        none_share=0.0,
        pair_factor=0.0,
        escalation_minutes=escalation_minutes,
    )
    return SmallBook(rules, {"f": Reading("f", {"q-f": "test-f"}, shared=False, yes_no=True)})


@pytest.mark.parametrize(
    ("book", "minutes"),
    [
        (two_causes(escalation_minutes=1000.0), 10.0 + 100.0 + 0.2 * 100.0),
        (two_causes(escalation_minutes=1000.0, informative=False), 100.0 + 0.5 * 100.0),
        (two_causes(escalation_minutes=105.0), 105.0),
    ],
    ids=["test, then mend", "mend at once", "hand on at once"],
)
def test_the_oracle_and_the_advice_agree_with_what_a_hand_can_work_out(
    book: SmallBook, minutes: float
) -> None:
    """Handing on for 105 minutes beats testing (10 + 120) and mending (150)."""
    model = Model(book)
    assert least_minutes(model) == pytest.approx(minutes, abs=1e-9)
    assert minutes_of_advice(model) == pytest.approx(minutes, abs=1e-9)


@pytest.fixture(scope="module")
def compared() -> list[tuple[float, float]]:
    """For each random rulebook the minutes of the advice, and the least."""
    models = [Model(small_book(seed)) for seed in SEEDS]
    return [(minutes_of_advice(model), least_minutes(model)) for model in models]


def test_nothing_beats_the_optimum(compared: list[tuple[float, float]]) -> None:
    """Else one of the two, each worked out by itself, would be wrong."""
    assert min(advice - least for advice, least in compared) >= -1e-9


def test_the_advice_costs_little_more_than_the_optimum(
    compared: list[tuple[float, float]],
) -> None:
    """Design limits: 2 % on average, 15 % for the worst."""
    ratios = [advice / least for advice, least in compared]
    assert mean(ratios) <= 1.02
    assert max(ratios) <= 1.15


def one_fault(seed: int, *, tests: bool) -> SmallBook:
    """A random rulebook with one of the listed causes for sure, and findings that tell nothing.

    Handing on costs so much that it never pays.
    """
    book = small_book(seed)
    rules = replace(
        book.rules,
        findings=tuple(replace(finding, rates={}) for finding in book.rules.findings),
        tests=book.rules.tests if tests else (),
        none_share=0.0,
        pair_factor=0.0,
        escalation_minutes=1e5,
    )
    return SmallBook(rules, book.readings)


def by_probability_over_cost(book: Rules) -> float:
    """Expected minutes of this order, written down as Heckerman et al. 1995 do."""
    belief = oracles.prior(book, {})
    repairs = [
        (belief[place,], item.repair_minutes + item.verify_minutes)
        for place, item in enumerate(book.causes)
    ]
    repairs.sort(key=lambda repair: -repair[0] / repair[1])
    return sum(
        cost * sum(chance for chance, _ in repairs[place:])
        for place, (_, cost) in enumerate(repairs)
    )


@pytest.mark.parametrize("tests", [False, True], ids=["no tests", "tests that tell nothing"])
@pytest.mark.parametrize("seed", range(10))
def test_for_one_fault_without_handing_on_the_repair_plan_is_the_optimum(
    seed: int, tests: bool
) -> None:
    """Probability over cost is optimal then. Source: Heckerman, Breese, Rommelse, CACM 38(3),
    1995 (M)."""
    book = one_fault(seed, tests=tests)
    model = Model(book)
    plan = helpers.diagnosis(book.rules).plan(at=book.rules.places[0].id)
    assert plan.test is None
    least = least_minutes(model)
    assert plan.repair.expected_minutes == pytest.approx(least, abs=1e-7)
    assert by_probability_over_cost(book.rules) == pytest.approx(least, abs=1e-7)
    assert minutes_of_advice(model) == pytest.approx(least, abs=1e-7)
