"""The smallest sets that would put another cause first, against trying every set of answers."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from itertools import combinations, product
from random import Random

import pytest

from advisor.engine import smallest
from advisor.engine.belief import Belief
from advisor.engine.effects import Effect
from advisor.engine.rules import Rules
from advisor.engine.values import Value
from tests import helpers, oracles

SEEDS = range(12)


def book_and_answers(seed: int, *, sharp: bool = False) -> tuple[Rules, dict[str, Value]]:
    """Yes/no findings, each with a question; some restate one observation, some are known.

    With `sharp`, a cause nearly always or nearly never shows a finding of which it speaks.
    """
    rng = Random(seed)
    rates = (0.01, 0.03, 0.97, 0.99) if sharp else tuple(k / 50 for k in range(1, 50))
    causes = [f"c-{k}" for k in range(rng.randint(2, 4))]
    findings = [
        helpers.finding(
            f"f-{k}",
            {name: rng.choice(rates) for name in causes if rng.random() < 0.6},
            usual=rng.uniform(0.05, 0.5),
            observation="one" if rng.random() < 0.3 else None,
        )
        for k in range(6)
    ]
    rules = helpers.rules(
        findings=findings,
        causes=[helpers.cause(name, commonness=rng.uniform(0.5, 4.0)) for name in causes],
        none_share=rng.uniform(0.02, 0.2),
        pair_factor=rng.choice((0.0, 0.1, 0.3)),
    )
    answers: dict[str, Value] = {f"q-f-{k}": rng.random() < 0.5 for k in range(rng.randint(2, 6))}
    return rules, answers


def first_of(rules: Rules, answers: Mapping[str, Value]) -> str | None:
    belief = oracles.posterior(rules, answers)
    masses = {cause.id: oracles.marginal(belief, k) for k, cause in enumerate(rules.causes)}
    best = max(masses, key=masses.__getitem__)
    return best if masses[best] > belief[()] else None


def other_answers(
    rules: Rules, answers: Mapping[str, Value], size: int
) -> Iterator[dict[str, Value]]:
    """Every way to give or change so many answers, of which no two restate one observation."""
    observation = {f"q-{item.id}": item.observation or item.id for item in rules.findings}
    for questions in combinations([question.id for question in rules.questions], size):
        if len({observation[question] for question in questions}) < size:
            continue
        values = [[v for v in (True, False) if answers.get(q) is not v] for q in questions]
        for chosen in product(*values):
            yield {**answers, **dict(zip(questions, chosen, strict=True))}


@pytest.mark.parametrize("seed", SEEDS)
def test_no_smaller_set_of_answers_puts_a_cause_first(seed: int) -> None:
    """Source: every set of up to three answers, ranked anew by tests/oracles.py."""
    rules, answers = book_and_answers(seed)
    case = helpers.diagnosis(rules, answers)
    least: dict[str | None, int] = {first_of(rules, answers): 0}
    for size in range(1, smallest.MOST_EXACT + 1):
        for changed in other_answers(rules, answers, size):
            least.setdefault(first_of(rules, changed), size)
    for cause in rules.causes:
        upset = case.upset_by(cause.id)
        if cause.id not in least:
            assert upset.ruled_out == smallest.MOST_EXACT
            assert upset.turns is None or len(upset.turns) > smallest.MOST_EXACT
            continue
        assert upset.turns is not None
        assert len(upset.turns) == least[cause.id]
        assert upset.is_smallest
        changed = {**answers, **{f"q-{t.finding}": t.outcome == "true" for t in upset.turns}}
        assert first_of(rules, changed) == cause.id


def test_the_likeliest_of_the_smallest_sets_is_shown() -> None:
    rules = helpers.rules(
        findings=[
            helpers.finding("likely", {"b": 0.9}, usual=0.1),
            helpers.finding("unlikely", {"b": 0.09}, usual=0.001),
        ],
        causes=[helpers.cause("a", commonness=2.0), "b"],
    )
    (turn,) = helpers.diagnosis(rules).upset_by("b").turns or ()
    assert turn.finding == "likely"


def test_a_search_given_up_calls_only_that_smallest_which_bounds_prove(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    seeds = range(40)
    exact = [_upset_sizes(seed) for seed in seeds]
    monkeypatch.setattr(smallest, "MOST_TRIED", 0)
    claims = []
    for seed, sizes in zip(seeds, exact, strict=True):
        rules, answers = book_and_answers(seed)
        case = helpers.diagnosis(rules, answers)
        for cause in rules.causes:
            upset = case.upset_by(cause.id)
            if upset.turns:
                claims.append(upset.is_smallest)
                assert not upset.is_smallest or len(upset.turns) == sizes[cause.id]
    assert True in claims
    assert False in claims


def sets_of_changes(count: int) -> smallest.Smallest:
    """Of so many changes, each of which makes the second of two causes nine times as likely."""
    effect = Effect(0.1, ((1, 9.0),), ((1, 9.0),), ())
    changes = [smallest.Change(f"f-{k}", 0, f"f-{k}", effect, None) for k in range(count)]
    belief = Belief(0.01, [0.96, 0.03], [[0.0, 0.0], [0.0, 0.0]])
    return smallest.Search(belief, changes).smallest(1)


def test_bounds_that_take_too_long_are_given_up_at_the_size_begun(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """One change makes 27 to 96, two make 243 to 96; the bounds alone rule out all single ones."""
    found = sets_of_changes(5)
    assert (len(found.sets), found.ruled_out) == (math.comb(5, 2), 1)
    monkeypatch.setattr(smallest, "MOST_SCANNED", 0)
    assert sets_of_changes(5) == smallest.Smallest((), 1)


def test_no_more_sets_are_compared_than_are_enough(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(smallest, "ENOUGH", 3)
    assert len(sets_of_changes(5).sets) == 3


def _upset_sizes(seed: int) -> dict[str, int | None]:
    rules, answers = book_and_answers(seed)
    case = helpers.diagnosis(rules, answers)
    turns = {cause.id: case.upset_by(cause.id).turns for cause in rules.causes}
    return {cause: None if found is None else len(found) for cause, found in turns.items()}


@pytest.mark.parametrize("seed", SEEDS)
def test_the_bounds_hold_for_any_masses_and_factors(seed: int) -> None:
    """Hoelder's and Jensen's inequalities, for three lists of factors drawn at random."""
    rng = Random(seed)
    masses = [rng.expovariate(1.0) for _ in range(9)]
    lists = [[math.exp(rng.gauss(0.0, 2.0)) for _ in masses] for _ in range(3)]
    whole = sum(masses)
    mean = sum(m * a * b * c for m, a, b, c in zip(masses, *lists, strict=True)) / whole
    high = sum(
        math.log(sum(m * x**3 for m, x in zip(masses, factors, strict=True)) / whole) / 3
        for factors in lists
    )
    low = sum(
        sum(m * math.log(x) for m, x in zip(masses, factors, strict=True)) / whole
        for factors in lists
    )
    assert low - 1e-12 <= math.log(mean) <= high + 1e-12
