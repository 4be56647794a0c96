"""Single findings that would put another cause first, against ranking every case anew."""

from __future__ import annotations

from collections.abc import Mapping
from random import Random

import pytest

from advisor.engine import turning
from advisor.engine.rules import Rules
from advisor.engine.turning import Turn, Upset
from advisor.engine.values import Value
from tests import helpers, oracles

CLEARLY = 1.5  # times as likely as what leads now; less would be a tie


def book_and_answers(seed: int) -> tuple[Rules, dict[str, Value]]:
    """Six yes/no findings on up to three causes, some of them known."""
    rng = Random(seed)
    causes = [f"c-{k}" for k in range(rng.randint(2, 3))]
    findings = [
        helpers.finding(
            f"f-{k}",
            {name: rng.uniform(0.02, 0.98) for name in causes if rng.random() < 0.7},
            usual=rng.uniform(0.05, 0.5),
        )
        for k in range(6)
    ]
    rules = helpers.rules(findings=findings, causes=causes, pair_factor=rng.choice((0.0, 0.2)))
    return rules, {f"q-f-{k}": rng.random() < 0.5 for k in range(rng.randint(1, 5))}


def race(rules: Rules, answers: Mapping[str, Value]) -> dict[str | None, float]:
    """The share of none of the listed, then of each cause."""
    belief = oracles.posterior(rules, answers)
    shares: dict[str | None, float] = {None: belief[()]}
    for place, cause in enumerate(rules.causes):
        shares[cause.id] = oracles.marginal(belief, place)
    return shares


def expected_turns(rules: Rules, answers: Mapping[str, Value]) -> list[Turn]:
    now = race(rules, answers)
    first = max(now, key=now.__getitem__)
    found = []
    for finding in rules.findings:
        question = f"q-{finding.id}"
        others = {name: value for name, value in answers.items() if name != question}
        for outcome in finding.outcomes:
            changed = {**others, question: outcome == "true"}
            if answers.get(question) == changed[question]:
                continue
            after = race(rules, changed)
            if max(after.values()) >= CLEARLY * after[first]:
                leading = max(after, key=after.__getitem__)
                chance = sum(
                    share * oracles.rates(rules, finding, guess)[finding.outcomes.index(outcome)]
                    for guess, share in oracles.posterior(rules, others).items()
                )
                found.append(Turn(finding.id, outcome, leading, chance, question in answers))
    return sorted(found, key=lambda turn: (-turn.probability, turn.finding))


@pytest.mark.parametrize("seed", range(30))
def test_turns_are_all_single_outcomes_after_which_another_clearly_leads(seed: int) -> None:
    """Source: each outcome of each finding, ranked anew by tests/oracles.py."""
    rules, answers = book_and_answers(seed)
    expected = expected_turns(rules, answers)
    got = helpers.diagnosis(rules, answers).turns()
    assert [(one.finding, one.outcome, one.leading, one.is_known) for one in got] == [
        (one.finding, one.outcome, one.leading, one.is_known) for one in expected
    ]
    assert [one.probability for one in got] == pytest.approx(
        [one.probability for one in expected], rel=1e-9
    )


def test_the_books_of_the_comparison_have_turns_of_every_kind() -> None:
    turns = [one for seed in range(30) for one in expected_turns(*book_and_answers(seed))]
    assert {one.is_known for one in turns} == {True, False}
    assert {one.outcome for one in turns} == {"true", "false"}
    assert None in {one.leading for one in turns}
    assert len({one.leading for one in turns}) > 2


def test_no_more_turns_are_shown_than_would_be_read(monkeypatch: pytest.MonkeyPatch) -> None:
    findings = [helpers.finding(f"f-{k}", {"b": 0.9 - k / 100}, usual=0.05) for k in range(5)]
    rules = helpers.rules(findings=findings)
    whole = helpers.diagnosis(rules).turns()
    assert len(whole) == 5
    monkeypatch.setattr(turning, "MOST_TURNS", 3)
    assert helpers.diagnosis(rules).turns() == whole[:3]


def test_a_mended_cause_is_out_of_the_race() -> None:
    rules = helpers.rules(
        findings=[helpers.finding("f", {"b": 0.9}, usual=0.05)], causes=["a", "b", "c"]
    )
    case = helpers.diagnosis(rules)
    assert [turn.leading for turn in case.turns()] == ["b"]
    case.mend("b")
    assert "b" not in [turn.leading for turn in case.turns()]
    assert case.upset_by("b").turns is None


@pytest.mark.parametrize("seed", range(30, 60))
def test_the_likeliest_turns_are_shown(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    rules, answers = book_and_answers(seed)
    case = helpers.diagnosis(rules, answers)
    whole = case.turns()
    for most in range(1, len(whole)):
        monkeypatch.setattr(turning, "MOST_TURNS", most)
        assert case.turns() == whole[:most]


def test_a_finding_that_would_restate_a_known_one_is_no_turn() -> None:
    """It would hardly say otherwise than the one that is known."""
    rules = helpers.rules(
        findings=[
            helpers.finding("known", {"b": 0.6}, usual=0.3, observation="one"),
            helpers.finding("other", {"b": 0.99}, usual=0.01, observation="one"),
        ]
    )
    assert {turn.finding for turn in helpers.diagnosis(rules).turns()} == {"known", "other"}
    answered = helpers.diagnosis(rules, {"q-known": False})
    assert "other" not in [turn.finding for turn in answered.turns()]


def test_a_cause_that_leads_needs_no_other_outcome() -> None:
    rules = helpers.rules(causes=["a"], none_share=0.0)
    upset = helpers.diagnosis(rules).upset_by("a")
    assert upset == Upset((), 0)
    assert upset.is_smallest
