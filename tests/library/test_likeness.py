"""How like two cases are: within 0 to 1, symmetric, highest with itself, and as defined."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.engine.diagnosis import Diagnosis
from advisor.engine.rules import Rules
from advisor.library.likeness import Likeness
from advisor.library.weighing import Known, Weighed
from advisor.proof.reading import FOLDER, read_examples
from advisor.rulebook import Rulebook, load, shipped
from tests.helpers import choice_finding, finding, rules

BOOK = rules(
    findings=[
        finding("often", {"a": 0.9, "b": 0.8}, usual=0.7),
        finding("rare", {"a": 0.6}, usual=0.01),
        finding("against", {"b": 0.02}, usual=0.5),
        finding("again", {"a": 0.7}, usual=0.05, observation="one"),
        finding("other", {"b": 0.7}, usual=0.05, observation="one"),
    ],
    causes=["a", "b", "c"],
)


def case(**truths: float) -> Weighed:
    """A case with these findings, each with the probability of being true."""
    groups = {"again": "one", "other": "one"}
    return Weighed(known=tuple(Known(groups.get(k, k), k, (p, 1.0 - p)) for k, p in truths.items()))


@st.composite
def cases(draw: st.DrawFn) -> Weighed:
    names = draw(st.sets(st.sampled_from(["often", "rare", "against", "again"]), min_size=1))
    chance = st.sampled_from([0.0, 1.0]) | st.floats(0.0, 1.0)
    return case(**{name: draw(chance) for name in sorted(names)})


@given(cases(), cases())
def test_likeness_is_symmetric_and_highest_with_itself(first: Weighed, second: Weighed) -> None:
    likeness = Likeness(BOOK)
    there = likeness.between(first, second)
    assert there == likeness.between(second, first)
    assert 0.0 <= there <= 1.0
    own = likeness.between(first, first)
    assert own in (0.0, pytest.approx(1.0, abs=1e-12))
    assert there <= own + 1e-12


def by_brute_force(book: Rules, first: Weighed, second: Weighed) -> float:
    """The cosine of the rows of factors, weighed by the prior, written out with NumPy."""
    none = book.none_share
    shares = np.array([cause.commonness for cause in book.causes])
    prior = np.array([none, *(1.0 - none) * shares / shares.sum()])
    observations = sorted({k.observation for k in (*first.known, *second.known)})

    def row(one: Weighed) -> np.ndarray:
        parts = []
        known = {k.observation: k for k in one.known}
        for name in observations:
            part = np.zeros(len(prior))
            if name in known:
                found = next(f for f in book.findings if f.id == known[name].finding)
                rates = [found.usual, *(found.rates.get(c.id, found.usual) for c in book.causes)]
                likelihood = np.array(rates) @ np.array(known[name].weights)
                part = np.sqrt(prior) * (likelihood / (prior @ likelihood) - 1.0)
            parts.append(part)
        return np.concatenate(parts)

    a, b = row(first), row(second)
    norm = float(np.linalg.norm(a) * np.linalg.norm(b))
    return max(float(a @ b) / norm, 0.0) if norm else 0.0


@given(cases(), cases())
def test_likeness_is_the_cosine_worked_out_by_numpy(first: Weighed, second: Weighed) -> None:
    expected = by_brute_force(BOOK, first, second)
    assert Likeness(BOOK).between(first, second) == pytest.approx(expected, abs=1e-7)


def test_rare_and_telling_outcome_makes_more_alike_than_a_common_one() -> None:
    likeness = Likeness(BOOK)
    this = case(often=1.0, rare=1.0)
    assert likeness.between(this, case(rare=1.0)) > 3 * likeness.between(this, case(often=1.0))


def test_opposite_outcomes_make_unlike() -> None:
    likeness = Likeness(BOOK)
    assert likeness.between(case(rare=1.0), case(rare=0.0)) == 0.0
    this, same, other = case(often=1.0, rare=1.0), case(often=1.0), case(often=0.0)
    assert likeness.between(this, same) > likeness.between(this, other)


def test_what_one_case_alone_knows_lessens_likeness() -> None:
    likeness = Likeness(BOOK)
    this = case(rare=1.0)
    assert likeness.between(this, case(rare=1.0)) > likeness.between(
        this, case(rare=1.0, often=1.0)
    )


def test_findings_of_one_observation_are_compared_by_what_they_tell() -> None:
    likeness = Likeness(BOOK)
    assert likeness.between(case(again=1.0), case(other=1.0)) == 0.0  # one for a, one for b
    (agreement,) = likeness.agreements(case(again=1.0), case(other=1.0))
    assert agreement.share < 0.0


def test_case_that_tells_nothing_is_like_none() -> None:
    likeness = Likeness(BOOK)
    assert likeness.between(Weighed(), case(rare=1.0)) == 0.0
    assert likeness.agreements(Weighed(), Weighed()) == ()


def test_shares_of_the_observations_add_up_to_the_likeness() -> None:
    likeness = Likeness(BOOK)
    first, second = case(often=1.0, rare=1.0, against=0.3), case(often=0.2, rare=1.0, against=1.0)
    shares = [one.share for one in likeness.agreements(first, second)]
    assert sum(shares) == pytest.approx(likeness.between(first, second))
    assert shares == sorted(shares, key=lambda share: -abs(share))


def test_finding_of_several_values_is_compared_by_its_value() -> None:
    rates = {"a": (0.8, 0.1, 0.1), "b": (0.1, 0.8, 0.1)}
    usual = {"x": 0.2, "y": 0.2, "z": 0.6}
    book = rules(findings=[choice_finding("kind", "fact", usual, rates)])
    likeness = Likeness(book)

    def kind(place: int) -> Weighed:
        weights = tuple(float(k == place) for k in range(3))
        return Weighed(known=(Known("kind", "kind", weights),))

    assert likeness.between(kind(0), kind(0)) == pytest.approx(1.0)
    assert likeness.between(kind(0), kind(1)) == 0.0


def agreement(rulebook: Rulebook) -> tuple[float, float, float]:
    """Leave one out over the example vehicles: how often the most alike one, and any of the three
    most alike, has a cause in common; and how often one drawn by chance would."""
    weighed: list[Weighed] = []
    right: list[frozenset[str]] = []
    for example in read_examples(shipped() / FOLDER, rulebook):
        if example.right:
            diagnosis = Diagnosis(rulebook.engine)
            diagnosis.answer_all(example.values)
            weighed.append(seen(diagnosis))
            right.append(example.right)
    likeness = Likeness(rulebook.rules)
    count = len(weighed)
    first, three, chance = [], [], []
    for i in range(count):
        others = [j for j in range(count) if j != i]
        mates = [j for j in others if right[j] & right[i]]
        if mates:
            scores = {j: likeness.between(weighed[i], weighed[j]) for j in others}
            order = sorted(others, key=lambda j: -scores[j])
            first.append(bool(right[order[0]] & right[i]))
            three.append(any(right[j] & right[i] for j in order[:3]))
            chance.append(len(mates) / len(others))
    return share(first), share(three), sum(chance) / len(chance)


def share(hits: Sequence[bool]) -> float:
    return sum(hits) / len(hits)


def seen(diagnosis: Diagnosis) -> Weighed:
    return Weighed(
        known=tuple(
            Known(observation, name, weights)
            for observation, name in diagnosis.counted()
            if (weights := diagnosis.weights(name)) is not None
        )
    )


@pytest.mark.slow
def test_most_alike_example_has_the_same_cause_far_more_often_than_by_chance() -> None:
    first, three, chance = agreement(load(shipped()))
    print(f"\nfirst {first:.3f}, one of three {three:.3f}, by chance {chance:.3f}")
    assert first > 0.7
    assert three > 0.8
    assert chance < 0.05
