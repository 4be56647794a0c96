"""The choices side by side, against enumeration of everything that can come of each."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

import pytest

from advisor.engine.choices import Choice, Course
from advisor.engine.diagnosis import Diagnosis
from advisor.engine.rules import Is, Rules
from advisor.engine.values import UNKNOWN, Value
from tests import helpers, oracles
from tests.optimum import Model
from tests.random_books import SmallBook, small_book

SEEDS = range(20)


def with_confirming_tests(seed: int) -> SmallBook:
    """A random rulebook in which each cause has a test that confirms it, more or less."""
    book = small_book(seed)
    tests = [test.id for test in book.rules.tests]
    causes = tuple(
        replace(cause, confirm=tests[(seed + place) % len(tests)])
        for place, cause in enumerate(book.rules.causes)
    )
    return SmallBook(replace(book.rules, causes=causes), book.readings)


def choices_of(case: Diagnosis, at: str) -> tuple[Choice, ...]:
    return case.choices(case.plan(at=at), at=at)


def belief_of(model: Model, masses: Sequence[float]) -> dict[oracles.Hypothesis, float]:
    return dict(zip(model.guesses, masses, strict=True))


def after_tests(model: Model, tests: Collection[str]) -> list[Mapping[oracles.Hypothesis, float]]:
    """What the belief can be once the tests are done, each times its chance."""
    branches = [(model.start, model.start_masses)]
    for test in tests:
        branches = [
            after for state, masses in branches for after in model.after_test(state, masses, test)
        ]
    return [belief_of(model, masses) for _, masses in branches]


def first_repair(rules: Rules, belief: Mapping[oracles.Hypothesis, float]) -> int | None:
    """The repair that the best stopping point of the order by probability over cost begins with."""
    cost = [cause.repair_minutes + cause.verify_minutes for cause in rules.causes]
    worth = [oracles.marginal(belief, place) / cost[place] for place in range(len(cost))]
    hand_on = rules.escalation_minutes * sum(belief.values())
    best = max(range(len(cost)), key=worth.__getitem__)
    return best if oracles.repair_minutes(rules, belief) < hand_on - 1e-9 else None


def cured_by_first(rules: Rules, belief: Mapping[oracles.Hypothesis, float]) -> float:
    first = first_repair(rules, belief)
    return 0.0 if first is None else belief[first,]


def minutes_of(model: Model, tests: Collection[str]) -> float:
    at, minutes = model.start.at, 0.0
    for test in tests:
        minutes += model.test_minutes(replace(model.start, at=at), test)
        at = model.tests[test].place
    return minutes


@pytest.mark.parametrize("seed", SEEDS)
def test_every_choice_costs_and_cures_what_enumeration_gives(seed: int) -> None:
    """Source: tests/optimum.py and tests/oracles.py, which share nothing with the planner."""
    book = with_confirming_tests(seed)
    rules, model = book.rules, Model(book)
    index = {cause.id: place for place, cause in enumerate(rules.causes)}
    now = belief_of(model, model.start_masses)
    for choice in choices_of(helpers.diagnosis(rules), model.start.at):
        if choice.course is Course.HAND_ON:
            expected, cures, first = rules.escalation_minutes, 0.0, rules.escalation_minutes
        elif choice.course is Course.REPAIR:
            assert choice.cause is not None
            place = index[choice.cause]
            first = model.repair_minutes[place]
            _, left = model.after_repair(model.start, model.start_masses, place)
            cures = now[place,]
            # A pair with the mended cause is the other one alone from now on.
            rest = dict.fromkeys(now, 0.0)
            for guess, mass in belief_of(model, left).items():
                rest[tuple(one for one in guess if one != place)] += mass
            expected = first + oracles.repair_minutes(rules, rest)
        else:
            branches = after_tests(model, choice.tests)
            first = minutes_of(model, choice.tests)
            expected = first + sum(oracles.repair_minutes(rules, branch) for branch in branches)
            cures = sum(cured_by_first(rules, branch) for branch in branches)
        assert choice.first_minutes == pytest.approx(first, abs=1e-9)
        assert choice.minutes == pytest.approx(expected, abs=1e-7)
        assert choice.first_cures == pytest.approx(cures, abs=1e-7)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_advised_choice_stands_first_and_costs_what_the_plan_expects(seed: int) -> None:
    rules = with_confirming_tests(seed).rules
    case = helpers.diagnosis(rules)
    plan = case.plan(at=rules.places[0].id)
    first = choices_of(case, rules.places[0].id)[0]
    if plan.test is not None:
        assert first.tests[0] == plan.test
    else:
        steps = plan.repair.steps
        assert first.cause == (steps[0].cause if steps else None)
    assert first.minutes == pytest.approx(plan.expected_minutes, abs=1e-9)


def two_causes(**changes: object) -> Rules:
    """Causes a and b; b is likelier, a quicker to mend; a test at the bench confirms b."""
    rules = helpers.rules(
        findings=[helpers.finding("f", {"b": 0.9}, usual=0.05)],
        causes=[
            helpers.cause("a", repair_minutes=5.0),
            replace(helpers.cause("b", commonness=2.0, repair_minutes=90.0), confirm="test-f"),
        ],
        tests=[helpers.work("test-f", ["q-f"], place="bench", minutes=60.0)],
    )
    return replace(rules, **changes)  # type: ignore[arg-type]


def test_the_repair_of_the_leading_cause_is_a_choice_beside_the_quicker_one() -> None:
    mended = [c.cause for c in choices_of(helpers.diagnosis(two_causes()), "desk") if not c.tests]
    assert mended == ["a", "b", None]


def test_a_confirming_test_that_is_the_best_test_is_one_choice() -> None:
    found = choices_of(helpers.diagnosis(two_causes()), "desk")
    assert [choice.course for choice in found if choice.tests] == [Course.TEST]


def test_a_confirming_test_is_no_choice_once_it_is_done_or_where_nobody_goes() -> None:
    rules = two_causes()
    done = helpers.diagnosis(rules, {"q-f": True})
    assert not any(choice.tests for choice in choices_of(done, "bench"))
    case = helpers.diagnosis(rules)
    plan = case.plan(at="desk", places=["desk"])
    assert not any(choice.tests for choice in case.choices(plan, at="desk", places=["desk"]))


def test_what_was_mended_is_no_choice_any_more() -> None:
    case = helpers.diagnosis(two_causes())
    case.mend("b")
    assert "b" not in {choice.cause for choice in choices_of(case, "desk")}


def test_a_confirming_test_put_off_stays_a_choice() -> None:
    """Putting off is for the planner; a person who weighs the choices may want it after all."""
    case = helpers.diagnosis(two_causes())
    plan = case.plan(at="desk", put_off=["test-f"])
    found = case.choices(plan, at="desk", put_off=["test-f"])
    assert [choice.tests for choice in found if choice.course is Course.CONFIRM] == [("test-f",)]


def test_handing_on_at_once_is_advised_where_nothing_else_pays() -> None:
    first = choices_of(helpers.diagnosis(two_causes(escalation_minutes=4.0)), "desk")[0]
    assert (first.course, first.minutes) == (Course.HAND_ON, 4.0)


@pytest.mark.parametrize("seed", SEEDS)
def test_choices_are_the_first_repair_the_leading_cause_and_their_own_tests(seed: int) -> None:
    rules = with_confirming_tests(seed).rules
    at = rules.places[0].id
    case = helpers.diagnosis(rules)
    found, plan = choices_of(case, at), case.plan(at=at)
    firsts = {case.ranking().causes[0].cause, *(step.cause for step in plan.repair.steps[:1])}
    confirm = {cause.id: (cause.confirm,) for cause in rules.causes}
    by_course = {course: [c for c in found if c.course is course] for course in Course}
    assert {choice.cause for choice in by_course[Course.REPAIR]} == firsts
    confirmed = [choice.tests for choice in by_course[Course.CONFIRM]]
    assert confirmed == [confirm[choice.cause or ""] for choice in by_course[Course.CONFIRM]]
    assert len(set(confirmed)) == len(confirmed)
    best = [option.tests for option in plan.options[:1]]
    assert [choice.tests for choice in by_course[Course.TEST]] == best
    assert {confirm[cause] for cause in firsts} <= {*confirmed, *best}


def one_for_both(**changes: object) -> Rules:
    """The first repair, a, and the leading cause, b, are confirmed by one test; another is best."""
    rules = two_causes()
    best = helpers.finding("g", {"b": 0.95}, usual=0.05)
    return replace(
        rules,
        questions=(*rules.questions, helpers.yes_no("q-g")),
        findings=(*rules.findings, best),
        causes=tuple(replace(cause, confirm="test-f") for cause in rules.causes),
        tests=(*rules.tests, helpers.work("test-g", ["q-g"])),
        **changes,  # type: ignore[arg-type]
    )


def confirming(rules: Rules, answers: Mapping[str, Value] | None = None) -> list[tuple[str, ...]]:
    found = choices_of(helpers.diagnosis(rules, answers), "desk")
    return [choice.tests for choice in found if choice.course is Course.CONFIRM]


def test_a_test_that_confirms_both_is_one_choice() -> None:
    assert confirming(one_for_both()) == [("test-f",)]


def test_a_confirming_test_that_cannot_be_begun_yet_is_no_choice() -> None:
    rules = one_for_both()
    deep = helpers.yes_no("q-f", ask_if=Is("q-g", True))
    assert confirming(replace(rules, questions=(deep, helpers.yes_no("q-g")))) == []


def test_a_confirming_test_half_of_which_is_answered_is_a_choice_while_it_settles_something() -> (
    None
):
    rules = one_for_both()
    rules = replace(
        rules,
        questions=(*rules.questions, helpers.yes_no("q-h")),
        tests=(helpers.work("test-f", ["q-h", "q-f"], place="bench", minutes=60.0), rules.tests[1]),
    )
    assert confirming(rules, {"q-h": True}) == [("test-f",)]
    assert confirming(rules, {"q-f": UNKNOWN}) == []
