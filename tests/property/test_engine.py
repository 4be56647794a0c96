"""Properties of the engine on random rulebooks, against the plain oracles of tests/oracles.py."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from itertools import combinations
from random import Random
from unittest import mock

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from advisor.engine import forecast as forecast_module
from advisor.engine import plan as plan_module
from advisor.engine.belief import Belief
from advisor.engine.chain import Chain
from advisor.engine.diagnosis import Diagnosis
from advisor.engine.hypotheses import flat
from advisor.engine.network import Network, facts_read
from advisor.engine.repair import Repairs
from advisor.engine.rules import ComputedFact, Condition, Rules
from advisor.engine.turning import CLEAR_LEAD
from advisor.engine.values import UNKNOWN, Interval, Number, Value, probability_within
from tests import helpers, oracles
from tests.property import engine_strategies as made

relaxed = settings(max_examples=30, deadline=None)
quick = settings(max_examples=100, deadline=None)


def state(case: Diagnosis) -> dict[str, object]:
    """Everything that a diagnosis shows, for an exact comparison."""
    book = case.engine.rules
    return {
        "answers": case.answers,
        "values": {fact: case.value(fact) for fact in oracles.fact_ids(book)},
        "reasons": {item.id: case.reason_unknown(item.id) for item in book.computed},
        "weights": {item.id: case.weights(item.id) for item in book.findings},
        "conflicts": case.conflicts(),
        "prior": case.prior(),
        "belief": case.belief(),
        "ranking": case.ranking(),
        "trails": [case.trail(item.id) for item in book.causes],
        "second looks": case.second_looks(),
        "turns": case.turns(),
        "plan": case.plan(at="desk"),
        "stops": case.stops(),
        "close calls": case.close_calls(),
    }


def by_hypothesis(belief: Belief) -> dict[oracles.Hypothesis, float]:
    masses: dict[oracles.Hypothesis, float] = {(): belief.none}
    masses |= {(place,): mass for place, mass in enumerate(belief.single)}
    pairs = combinations(range(len(belief.single)), 2)
    return masses | {(i, j): belief.pair[i][j] for i, j in pairs}


# -- values --

ends = st.one_of(st.sampled_from([-math.inf, 0.0, 1.0, math.inf]), st.floats(-3.0, 3.0))
stretches = st.builds(Interval, ends, ends, st.booleans(), st.booleans())


@quick
@given(stretches, stretches, ends)
def test_what_two_intervals_share_is_in_both(a: Interval, b: Interval, x: float) -> None:
    shared = a.meets(b)
    assert (shared is not None and x in shared) == (x in a and x in b)


@quick
@given(st.floats(-5.0, 5.0), st.floats(0.01, 3.0), st.lists(st.floats(-9.0, 9.0), max_size=4))
def test_bands_that_fill_the_line_hold_the_whole_probability(
    value: float, u: float, edges: list[float]
) -> None:
    bands = helpers.bands_between(sorted(edges))
    shares = [probability_within(Number(value, u), (band,)) for band in bands]
    assert sum(shares) == pytest.approx(1.0, abs=1e-12)


# -- logic --


@quick
@given(made.conditions(made.leaves()), made.answers())
def test_conditions_follow_kleene(condition: Condition, answers: made.Answers) -> None:
    book = helpers.rules(
        questions=made.QUESTIONS,
        computed=made.COMPUTED,
        findings=[helpers.finding("f", when=condition)],
    )
    known = oracles.facts(book, answers)
    expected = oracles.truth(book, known, condition)
    weights = helpers.diagnosis(book, answers).weights("f")
    got = None if weights is None else weights[0]
    assert (got is None) == (expected is None)
    if got is not None:
        assert got == pytest.approx(expected, abs=1e-12)


@quick
@given(made.rulebooks(), made.answers())
def test_findings_have_the_weights_of_their_conditions(book: Rules, answers: made.Answers) -> None:
    case = helpers.diagnosis(book, answers)
    known = oracles.facts(book, answers)
    for item in book.findings:
        expected = oracles.weights(book, known, item)
        got = case.weights(item.id)
        assert (got is None) == (expected is None), item.id
        if got is not None:
            assert got == pytest.approx(expected, abs=1e-12), item.id


@quick
@given(made.conditions(made.leaves(known=False)), made.answers(), st.data())
def test_more_knowledge_never_turns_a_settled_condition(
    condition: Condition, answers: made.Answers, data: st.DataObject
) -> None:
    """As long as no known fact changes, as "whole" would when it is measured after all."""
    book = helpers.rules(
        questions=made.QUESTIONS,
        computed=made.COMPUTED,
        findings=[helpers.finding("f", when=condition)],
    )
    case = helpers.diagnosis(book, answers)
    before = case.weights("f")
    unknown = [name for name in made.ANSWERS if case.value(name) is UNKNOWN]
    for name in data.draw(
        st.lists(st.sampled_from(unknown), unique=True) if unknown else st.just([])
    ):
        if case.value(name) is UNKNOWN:
            case.answer(name, data.draw(made.ANSWERS[name]))
    if before is not None and 1.0 in before:
        assert case.weights("f") == before


# -- chain --


@relaxed
@given(made.rulebooks(), made.answers(least=2), st.randoms(use_true_random=False))
def test_order_of_answers_does_not_matter(
    book: Rules, answers: made.Answers, random: Random
) -> None:
    shuffled = list(answers.items())
    random.shuffle(shuffled)
    assert state(helpers.diagnosis(book, dict(shuffled))) == state(helpers.diagnosis(book, answers))


@relaxed
@given(made.rulebooks(), made.answers(), made.answers(least=1), made.answers())
def test_changing_and_taking_back_equals_never_having_answered(
    book: Rules, kept: made.Answers, passing: made.Answers, early: made.Answers
) -> None:
    case = helpers.diagnosis(book, early)
    for question, value in {**kept, **passing}.items():
        case.answer(question, value)
    for question, value in kept.items():
        case.answer(question, value)
    for question in [*passing, *early]:
        if question not in kept:
            case.take_back(question)
    assert state(case) == state(helpers.diagnosis(book, kept))


@relaxed
@given(made.rulebooks(), made.answers())
def test_each_computed_fact_is_worked_out_at_most_once_per_change(
    book: Rules, answers: made.Answers
) -> None:
    calls: list[str] = []

    def counting(item: ComputedFact) -> ComputedFact:
        def compute(inputs: Mapping[str, Value]) -> Value:
            calls.append(item.id)
            return item.compute(inputs)

        return helpers.computed(item.id, item.inputs, compute, optional=item.optional)

    book = replace(book, computed=tuple(map(counting, book.computed)))
    chain = Chain(book, Network(book))
    for question, value in answers.items():
        calls.clear()
        chain.answer(question, value)
        assert len(calls) == len(set(calls))
    for question in answers:
        calls.clear()
        chain.take_back(question)
        assert len(calls) == len(set(calls))


@relaxed
@given(made.rulebooks(), made.answers())
def test_every_fact_has_the_value_of_plain_recursion(book: Rules, answers: made.Answers) -> None:
    case = helpers.diagnosis(book, answers)
    for fact, value in oracles.facts(book, answers).items():
        assert case.value(fact) == value


# -- evidence --


@quick
@given(made.rulebooks(), made.answers())
def test_posterior_equals_plain_enumeration(book: Rules, answers: made.Answers) -> None:
    assume(clear_which_is_most_telling(book, answers))
    belief = helpers.diagnosis(book, answers).belief()
    assert by_hypothesis(belief) == pytest.approx(oracles.posterior(book, answers), abs=1e-9)


def clear_which_is_most_telling(book: Rules, answers: made.Answers) -> bool:
    """Whether no two findings of one observation tell equally much but for rounding."""
    known = oracles.facts(book, answers)
    telling: dict[str, list[float]] = {}
    for item in book.findings:
        shares = oracles.weights(book, known, item)
        if shares is not None and item.observation is not None:
            telling.setdefault(item.observation, []).append(oracles.spread(book, item, shares))
    return all(
        abs(a - b) > 1e-9 or (a == 0.0 and b == 0.0)
        for group in telling.values()
        for a, b in combinations(group, 2)
    )


@relaxed
@given(made.rulebooks(), made.answers())
def test_probabilities_add_up_to_one(book: Rules, answers: made.Answers) -> None:
    case = helpers.diagnosis(book, answers)
    assert math.fsum(by_hypothesis(case.belief()).values()) == pytest.approx(1.0, abs=1e-12)
    assert math.fsum(by_hypothesis(case.prior()).values()) == pytest.approx(1.0, abs=1e-12)


@relaxed
@given(made.rulebooks(), made.answers())
def test_ranking_sums_singles_and_pairs(book: Rules, answers: made.Answers) -> None:
    assume(clear_which_is_most_telling(book, answers))
    ranking = helpers.diagnosis(book, answers).ranking()
    expected = oracles.posterior(book, answers)
    probabilities = [item.probability for item in ranking.causes]
    assert probabilities == sorted(probabilities, reverse=True)
    by_id = {item.id: place for place, item in enumerate(book.causes)}
    for item in ranking.causes:
        assert item.probability == pytest.approx(
            oracles.marginal(expected, by_id[item.cause]), abs=1e-9
        )
    two = math.fsum(mass for guess, mass in expected.items() if len(guess) == 2)
    assert ranking.two_probability == pytest.approx(two, abs=1e-9)
    assert ranking.none_probability == pytest.approx(expected[()], abs=1e-9)


# -- explain --


@relaxed
@given(made.rulebooks(), made.answers())
def test_decibans_of_a_trail_add_up_to_the_posterior(book: Rules, answers: made.Answers) -> None:
    assume(clear_which_is_most_telling(book, answers))
    case = helpers.diagnosis(book, answers)
    known = oracles.facts(book, answers)
    before, after = oracles.prior(book, known), oracles.posterior(book, answers)
    for place, item in enumerate(book.causes):
        trail = case.trail(item.id)
        if oracles.marginal(before, place) == 0.0:
            assert trail.prior_decibans == trail.posterior_decibans == -math.inf
            assert trail.lines == ()
            continue
        whole = trail.prior_decibans + math.fsum(line.decibans for line in trail.lines)
        assert whole == pytest.approx(trail.posterior_decibans, abs=1e-9)
        assert trail.prior_decibans == pytest.approx(oracles.log_odds(before, place), abs=1e-9)
        assert whole == pytest.approx(oracles.log_odds(after, place), abs=1e-8)
        assert {line.finding for line in trail.lines} == set(oracles.counted(book, known))


@relaxed
@given(made.rulebooks(), made.answers(least=3))
def test_second_looks_equal_leaving_each_finding_out(book: Rules, answers: made.Answers) -> None:
    assume(clear_which_is_most_telling(book, answers))
    known = oracles.facts(book, answers)
    by_id = {item.id: item for item in book.findings}
    expected = {}
    for name, shares in oracles.counted(book, known).items():
        rest = oracles.posterior(book, answers, frozenset((name,)))
        chance = sum(
            mass * oracles.likelihood(book, by_id[name], shares, guess)
            for guess, mass in rest.items()
        )
        assume(abs(chance - 0.05) > 1e-9)
        if chance < 0.05:
            expected[name] = chance
    looks = helpers.diagnosis(book, answers).second_looks()
    assert {look.finding: look.probability for look in looks} == pytest.approx(expected, abs=1e-9)


@st.composite
def plain_rulebooks(draw: st.DrawFn, most_findings: int = 4) -> Rules:
    """Yes/no findings only, each with a question of its own, all at one place."""
    ids = [f"cause-{place}" for place in range(draw(st.integers(1, 4)))]
    spoken = st.dictionaries(st.sampled_from(ids), made.single_rates, max_size=3)
    items = [
        helpers.finding(f"f-{place}", draw(spoken), usual=draw(made.single_rates))
        for place in range(draw(st.integers(1, most_findings)))
    ]
    return helpers.rules(
        findings=items,
        causes=[
            helpers.cause(
                name,
                commonness=draw(st.sampled_from([0.5, 1.0, 3.0])),
                repair_minutes=draw(st.sampled_from([5.0, 30.0, 90.0])),
            )
            for name in ids
        ],
        tests=[
            helpers.work(
                f"test-{item.id}", [f"q-{item.id}"], minutes=draw(st.sampled_from([0.5, 2.0]))
            )
            for item in items
        ],
        pair_factor=draw(st.sampled_from([0.0, 0.3])),
    )


@st.composite
def some_answers(draw: st.DrawFn, book: Rules) -> made.Answers:
    names = [item.id for item in book.questions]
    return dict(draw(st.dictionaries(st.sampled_from(names), st.booleans())))


@relaxed
@given(plain_rulebooks(), st.data())
def test_turns_are_the_answers_that_really_put_another_cause_clearly_first(
    book: Rules, data: st.DataObject
) -> None:
    answers = data.draw(some_answers(book))
    case = helpers.diagnosis(book, answers)
    assume(is_clear(case))
    leading = leader(shares_of(case))
    expected = {}
    for item in book.findings:
        for outcome in (True, False):
            other = helpers.diagnosis(book, {**answers, f"q-{item.id}": outcome})
            assume(is_clear(other))
            shares = shares_of(other)
            lead = shares[leader(shares)] / shares[leading]
            assume(abs(lead - CLEAR_LEAD) > 1e-9)
            if lead > CLEAR_LEAD:
                known = f"q-{item.id}" in answers
                expected[item.id, str(outcome).lower()] = (leader(shares), known)
    got = {(turn.finding, turn.outcome): (turn.leading, turn.is_known) for turn in case.turns()}
    assert got == expected


def shares_of(case: Diagnosis) -> dict[str | None, float]:
    """The probabilities of *none of the listed* (None) and of each cause."""
    ranking = case.ranking()
    shares: dict[str | None, float] = {None: ranking.none_probability}
    return shares | {item.cause: item.probability for item in ranking.causes}


def leader(shares: Mapping[str | None, float]) -> str | None:
    return max(shares, key=shares.__getitem__)


def is_clear(case: Diagnosis) -> bool:
    """Whether the first two of the order differ by more than rounding."""
    *_, second, first = sorted(shares_of(case).values())
    return first - second > 1e-9


# -- repair and plan --


@st.composite
def beliefs_of_one_fault(draw: st.DrawFn) -> tuple[Rules, Belief]:
    count = draw(st.integers(1, 5))
    minutes = st.sampled_from([5.0, 20.0, 45.0, 110.0, 300.0])
    book = helpers.rules(
        causes=[
            helpers.cause(f"c-{place}", repair_minutes=draw(minutes), verify_minutes=2.0)
            for place in range(count)
        ],
        escalation_minutes=draw(st.sampled_from([10.0, 120.0, 600.0])),
    )
    parts = draw(st.lists(st.integers(0, 9), min_size=count + 1, max_size=count + 1))
    assume(sum(parts) > 0)
    shares = [part / sum(parts) for part in parts]
    return book, Belief(shares[0], shares[1:], [[0.0] * count for _ in range(count)])


@quick
@given(beliefs_of_one_fault())
def test_repair_order_is_the_best_of_all_orders_for_one_fault(
    made_up: tuple[Rules, Belief],
) -> None:
    """Heckerman, Breese, Rommelse 1995: probability over cost is optimal."""
    book, belief = made_up
    plan = Repairs(book).plan(*flat(book, belief, None))
    masses = by_hypothesis(belief)
    assert plan.expected_minutes == pytest.approx(
        oracles.least_minutes_of_all_orders(book, masses), abs=1e-9
    )
    places = {item.id: place for place, item in enumerate(book.causes)}
    order = [places[step.cause] for step in plan.steps]
    assert oracles.minutes_of_sequence(book, masses, order) == pytest.approx(
        plan.expected_minutes, abs=1e-9
    )


@relaxed
@given(made.rulebooks(), made.answers())
def test_repair_plan_agrees_with_walking_through_it(book: Rules, answers: made.Answers) -> None:
    case = helpers.diagnosis(book, answers)
    plan = case.plan(at="desk").repair
    masses = by_hypothesis(case.belief())
    places = {item.id: place for place, item in enumerate(book.causes)}
    done: set[int] = set()
    for step in plan.steps:
        uncured = math.fsum(
            mass for guess, mass in masses.items() if not guess or not set(guess) <= done
        )
        assert step.reached == pytest.approx(uncured, abs=1e-9)
        assert step.probability == pytest.approx(
            oracles.marginal(masses, places[step.cause]), abs=1e-9
        )
        assert step.probability > 0.0
        done.add(places[step.cause])
    left = math.fsum(mass for guess, mass in masses.items() if not guess or not set(guess) <= done)
    assert plan.hand_on == pytest.approx(left, abs=1e-9)
    assert plan.expected_minutes == pytest.approx(oracles.repair_minutes(book, masses), abs=1e-8)


@relaxed
@given(plain_rulebooks(), st.data())
def test_saving_of_a_test_equals_plain_preposterior_enumeration(
    book: Rules, data: st.DataObject
) -> None:
    answers = data.draw(some_answers(book))
    with mock.patch.object(forecast_module, "NEGLIGIBLE", 0.0):
        plan = helpers.diagnosis(book, answers).plan(at="desk")
    tests = {item.id: item for item in book.tests}
    for option in plan.options:
        questions = [tests[name].questions[0] for name in option.tests]
        minutes = sum(tests[name].minutes for name in option.tests)
        saved = oracles.saving(book, answers, questions) - minutes
        assert option.minutes == pytest.approx(minutes, abs=1e-12)
        assert option.saves == pytest.approx(saved, abs=1e-8)
    firsts = {option.tests[0]: option.saves for option in plan.options}
    for item in book.tests:
        if item.questions[0] not in answers:
            alone = oracles.saving(book, answers, list(item.questions))
            assert alone <= 1e-8 or firsts[item.id] >= alone - item.minutes - 1e-8
    best = plan.options[0].saves if plan.options else 0.0
    pays = best >= plan_module.LEAST_SAVING
    assert plan.test == (plan.options[0].tests[0] if pays else None)
    now = oracles.repair_minutes(book, oracles.posterior(book, answers))
    assert plan.expected_minutes == pytest.approx(now - (best if pays else 0.0), abs=1e-8)


@relaxed
@given(made.rulebooks(), made.answers(), st.data())
def test_advised_work_can_be_begun(book: Rules, answers: made.Answers, data: st.DataObject) -> None:
    asked = {
        item.id: data.draw(st.none() | made.leaves(), label=f"ask_if of {item.id}")
        for item in book.questions[:3]
    }
    book = replace(
        book,
        questions=tuple(
            replace(item, ask_if=asked[item.id])
            if item.id in asked and not reads_questions_before(asked[item.id])
            else item
            for item in book.questions
        ),
    )
    case = helpers.diagnosis(book, answers)
    tests = {item.id: item for item in book.tests}
    for option in case.plan(at="desk").options:
        first = tests[option.tests[0]]
        assert any(
            case.is_asked(question) and not case.is_answered(question)
            for question in first.questions
        )


def reads_questions_before(condition: Condition | None) -> bool:
    """Whether an `ask_if` reads a yes/no question, and so might hang on itself."""
    return condition is not None and any(
        name.startswith("yes-") or name == "size" for name in facts_read(condition)
    )
