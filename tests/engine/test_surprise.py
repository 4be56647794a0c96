"""Surprise at an answer, against enumeration of the hypotheses."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from advisor.engine import surprise
from advisor.engine.rules import Rules, Within
from advisor.engine.values import Interval, Number, Value
from tests import helpers, oracles
from tests.engine.test_smallest import book_and_answers


def expected_without(seed: int, question: str) -> tuple[list[float], list[float]]:
    """The chances of yes and no of a question's finding: on the other answers, and on none."""
    rules, answers = book_and_answers(seed, sharp=True)
    item = next(item for item in rules.findings if f"q-{item.id}" == question)
    others = {name: value for name, value in answers.items() if name != question}
    chances = []
    for known in (others, {}):
        belief = oracles.posterior(rules, known)
        rates = [(mass, oracles.rates(rules, item, guess)) for guess, mass in belief.items()]
        chances.append([sum(mass * each[k] for mass, each in rates) for k in (0, 1)])
    return chances[0], chances[1]


def restated(rules: Rules, answers: Mapping[str, Value]) -> set[str]:
    """The known findings beside which another one of the same observation is known."""
    known = [item for item in rules.findings if item.observation and f"q-{item.id}" in answers]
    return {item.id for item in known} if len(known) > 1 else set()


def test_an_answer_surprises_by_its_chance_without_it() -> None:
    """Those that enumeration finds unlikely, and made so by the rest, and no others."""
    surprised = 0
    for seed in range(150):
        rules, answers = book_and_answers(seed, sharp=True)
        case = helpers.diagnosis(rules, answers)
        for question, value in answers.items():
            looks = case.surprises(question)
            name = question.removeprefix("q-")
            if name in restated(rules, answers):
                continue
            given_rest, before = expected_without(seed, question)
            chance = given_rest[not value]
            is_surprise = chance < 0.05 and chance < 0.5 * before[not value]
            assert bool(looks) == is_surprise
            if looks:
                surprised += 1
                assert looks[0].probability == pytest.approx(chance, abs=1e-12)
        assert case.answers == answers
    assert surprised > 5


def test_asking_for_surprises_leaves_the_case_as_it_was() -> None:
    rules, answers = book_and_answers(3)
    case = helpers.diagnosis(rules, answers)
    before = case.belief()
    for question in answers:
        case.surprises(question)
    assert case.belief() == before
    assert case.surprises("q-nowhere") == ()


def test_what_is_only_rare_does_not_surprise() -> None:
    """A sign that one vehicle in a hundred shows contradicts nothing."""
    rare = helpers.finding("rare", {"a": 0.02}, usual=0.01)
    case = helpers.diagnosis(helpers.rules(findings=[rare]), {"q-rare": True})
    assert case.surprises("q-rare") == ()


def test_an_answer_at_odds_with_the_rest_surprises() -> None:
    items = [helpers.finding(f"f-{k}", {"a": 0.98, "b": 0.02}, usual=0.05) for k in range(4)]
    answers: dict[str, Value] = {f"q-f-{k}": k != 2 for k in range(4)}
    (look,) = helpers.diagnosis(helpers.rules(findings=items), answers).surprises("q-f-2")
    assert look.finding == "f-2"
    assert look.probability < 0.05


def test_one_of_many_equal_outcomes_is_no_surprise() -> None:
    """Weaver's index of one of twelve equal outcomes is 1; of 4 in 100 against 96, 23.08 (D)."""
    assert surprise.weaver_index([1 / 12] * 12, 3) == pytest.approx(1.0)
    assert surprise.weaver_index([0.96, 0.04], 1) == pytest.approx(23.08)
    chances = [1 / 25] * 25
    assert not surprise.is_surprising(chances, [0.2, *[0.8 / 24] * 24], 0)
    assert surprise.is_surprising([0.04, 0.96], [0.2, 0.8], 0)


def test_an_answer_after_a_repair_surprises_by_what_was_left() -> None:
    """With cause a still there, the finding would be true in nearly every vehicle."""
    items = [
        helpers.finding("f", {"a": 0.98, "b": 0.01}, usual=0.5),
        helpers.finding("g", {"b": 0.98}, usual=0.01),
    ]
    case = helpers.diagnosis(helpers.rules(findings=items, pair_factor=1.0), {"q-g": True})
    case.mend("a")
    nothing_listed = case.belief().none
    case.answer("q-f", True)
    (look,) = case.surprises("q-f")
    chance = 0.5 * nothing_listed + 0.01 * (1.0 - nothing_listed)
    assert look.probability == pytest.approx(chance, abs=1e-12)


def test_a_close_call_and_what_another_restates_do_not_surprise() -> None:
    """Four findings speak for cause a; a fifth, against them, is close or restates one of them."""
    items = [helpers.finding(f"f-{k}", {"a": 0.98}, usual=0.05) for k in range(4)]
    close = helpers.finding("close", {"a": 0.98}, usual=0.5, when=Within("n", (Interval(low=0.0),)))
    restating = helpers.finding("weak", {"a": 0.9}, usual=0.1, observation="one")
    strong = helpers.finding("strong", {"a": 0.98}, usual=0.01, observation="one")
    findings = [*items, close, restating, strong]
    rules = helpers.rules(
        questions=[helpers.number("n"), *(helpers.yes_no(f"q-{f.id}") for f in findings)],
        findings=findings,
    )
    answers: dict[str, Value] = {f"q-f-{k}": True for k in range(4)}
    case = helpers.diagnosis(rules, {**answers, "n": Number(-1.0, 1.0)})
    assert case.surprises("n") == ()
    case.answer("n", Number(-9.0, 1.0))
    assert [look.finding for look in case.surprises("n")] == ["close"]
    assert helpers.diagnosis(rules, {**answers, "q-strong": False}).surprises("q-strong")
    both = helpers.diagnosis(rules, {**answers, "q-weak": True, "q-strong": False})
    assert both.surprises("q-strong") == ()
