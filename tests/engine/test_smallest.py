"""The smallest sets that would put another cause first, against trying every set of answers."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import combinations, product
from random import Random

import pytest

from advisor.engine import smallest
from advisor.engine.belief import Belief
from advisor.engine.effects import Effect, Effects
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


def sets_of_changes(
    count: int,
    ratio: float = 9.0,
    *,
    on_rival: float = 1.0,
    none: float = 0.01,
    single: tuple[float, float] = (0.96, 0.03),
    mended: tuple[int, ...] = (),
) -> smallest.Smallest:
    """Of so many changes, each of which makes the second of two causes so many times as likely."""
    effect = Effect(0.1, ((0, on_rival), (1, ratio)), ((0, on_rival), (1, ratio)), ())
    changes = [smallest.Change(f"f-{k}", 0, f"f-{k}", effect, None) for k in range(count)]
    belief = Belief(none, list(single), [[0.0, 0.0], [0.0, 0.0]])
    return smallest.Search(belief, changes, mended).smallest(1)


def test_bounds_that_take_too_long_are_given_up_at_the_size_begun(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """One change makes 27 to 96, two make 243 to 96; the bounds alone rule out all single ones.

    Bounds are looked at for the first of a pair and then for its pairs, ten of them: the last
    pair is the fourteenth.
    """
    found = sets_of_changes(5)
    assert (len(found.sets), found.ruled_out) == (math.comb(5, 2), 1)
    monkeypatch.setattr(smallest, "MOST_SCANNED", 14)
    assert sets_of_changes(5) == found
    monkeypatch.setattr(smallest, "MOST_SCANNED", 13)
    assert sets_of_changes(5) == smallest.Smallest(found.sets[:-1], 1)
    monkeypatch.setattr(smallest, "MOST_SCANNED", 0)
    assert sets_of_changes(5) == smallest.Smallest((), 1)


def test_sets_beyond_those_worked_out_are_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(smallest, "MOST_TRIED", 10)
    assert len(sets_of_changes(5).sets) == 10
    monkeypatch.setattr(smallest, "MOST_TRIED", 9)
    assert len(sets_of_changes(5).sets) == 9


def test_no_larger_sets_are_looked_for_than_three() -> None:
    """Three changes make 27 times 4 to 96, which is enough to lead; of 2 it takes four."""
    assert {len(one) for one in sets_of_changes(5, 3.0, single=(0.96, 0.04)).sets} == {3}
    assert sets_of_changes(5, 3.0, single=(0.96, 0.02)) == smallest.Smallest((), 3)


def test_without_a_share_of_none_a_cause_has_only_the_others_to_beat() -> None:
    assert len(sets_of_changes(5, none=0.0).sets) == 10


def test_a_change_that_lowers_a_cause_lifts_it_where_it_lowers_the_rival_more() -> None:
    """Two changes make a quarter of 3 and a ten-thousandth of 960."""
    found = sets_of_changes(5, 0.5, on_rival=0.01, none=1e-6, single=(0.997, 0.003))
    assert {len(one) for one in found.sets} == {2}


def test_a_mended_cause_neither_leads_nor_stands_in_the_way() -> None:
    """The second of the causes has only none of the listed to beat, then."""
    assert {len(one) for one in sets_of_changes(5, none=0.1, mended=(0,)).sets} == {1}
    assert sets_of_changes(5, mended=(1,)) == smallest.Smallest((), 3)


def test_as_likely_as_another_is_not_first() -> None:
    """Twice 1 in 8 is 1 in 4: as likely as none of the listed, or as the other cause."""
    for none, other in ((0.25, 0.125), (0.125, 0.25)):
        found = sets_of_changes(2, 2.0, none=none, single=(other, 0.125))
        assert {len(one) for one in found.sets} == {2}


@pytest.mark.parametrize("seed", SEEDS)
def test_a_row_is_what_an_effect_does_to_one_cause(seed: int) -> None:
    rules, _ = book_and_answers(seed)
    count = len(rules.causes)
    effects = Effects(rules)
    even = Belief(1.0, [1.0] * count, [[1.0] * count for _ in range(count)])
    for item in rules.findings:
        for effect in effects.outcomes(item.id, mended=range(seed % 2)):
            after = even.after(effect)
            for cause in range(count):
                row = after.pair[cause].copy()
                row[cause] = after.single[cause]
                assert smallest.row_of(effect, cause, count) == pytest.approx(row, rel=1e-12)


def of_their_own(seed: int) -> tuple[Rules, dict[str, Value]]:
    """As `book_and_answers`, but no finding restates another."""
    rules, answers = book_and_answers(seed)
    findings = tuple(replace(item, observation=None) for item in rules.findings)
    return replace(rules, findings=findings), answers


def test_a_small_set_found_step_by_step_leads_too(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the search is given up: one change where one will do, and never more than four."""
    lengths = set()
    for seed in range(40):
        rules, answers = of_their_own(seed)
        case = helpers.diagnosis(rules, answers)
        exact = {cause.id: case.upset_by(cause.id).turns for cause in rules.causes}
        with monkeypatch.context() as limited:
            limited.setattr(smallest, "MOST_TRIED", 0)
            found = {cause.id: case.upset_by(cause.id) for cause in rules.causes}
        for cause, upset in found.items():
            least, turns = exact[cause], upset.turns
            if turns is None:
                assert least is None or len(least) > 1
                assert not upset.is_smallest
                continue
            lengths.add(len(turns))
            assert (len(turns) == 1) == (least is not None and len(least) == 1)
            changed = {**answers, **{f"q-{t.finding}": t.outcome == "true" for t in turns}}
            assert first_of(rules, changed) == cause
    assert {0, 1, 2, 3} <= lengths <= {0, 1, 2, 3, 4}


@pytest.mark.parametrize(("rate", "steps"), [(0.4, 4), (0.3, None)])
def test_step_by_step_goes_no_farther_than_four(
    rate: float, steps: int | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The other cause is 160 times as likely: 4 four times makes up for it, 3 five times would."""
    items = [helpers.finding(f"f-{k}", {"b": rate}, usual=0.1) for k in range(6)]
    causes = [helpers.cause("a", commonness=160.0), helpers.cause("b")]
    rules = helpers.rules(findings=items, causes=causes, none_share=0.001, pair_factor=0.0)
    monkeypatch.setattr(smallest, "MOST_TRIED", 0)
    turns = helpers.diagnosis(rules).upset_by("b").turns
    assert (None if turns is None else len(turns)) == steps


@pytest.mark.parametrize("seed", range(30))
def test_of_the_smallest_sets_the_likeliest_is_shown(seed: int) -> None:
    """Source: all sets of that size, their joint chance on the other answers by enumeration."""
    rules, answers = of_their_own(seed)
    case = helpers.diagnosis(rules, answers)
    by_question = {f"q-{item.id}": item for item in rules.findings}

    def chance(changed: Mapping[str, Value]) -> float:
        new = {q: value for q, value in changed.items() if answers.get(q) is not value}
        belief = oracles.posterior(rules, {q: v for q, v in answers.items() if q not in new})
        return sum(
            mass * math.prod(oracles.rates(rules, by_question[q], g)[not v] for q, v in new.items())
            for g, mass in belief.items()
        )

    for cause in rules.causes:
        turns = case.upset_by(cause.id).turns
        if not turns or len(turns) > smallest.MOST_EXACT:
            continue
        leading = [
            chance(changed)
            for changed in other_answers(rules, answers, len(turns))
            if first_of(rules, changed) == cause.id
        ]
        shown = chance({**answers, **{f"q-{t.finding}": t.outcome == "true" for t in turns}})
        assert shown == pytest.approx(max(leading), rel=1e-9)


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
