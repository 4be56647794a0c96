"""The flat list of hypotheses."""

from __future__ import annotations

import math

import pytest

from advisor.engine.belief import Belief
from advisor.engine.effects import Rates
from advisor.engine.hypotheses import KEPT_PAIRS, flat, information, times
from tests import helpers

BOOK = helpers.rules(
    findings=[helpers.finding("f", {"a": 0.8, "b": 0.6}, usual=0.1)], causes=["a", "b", "c"]
)
RATES = Rates(BOOK.findings[0], {"a": 0, "b": 1, "c": 2})
BELIEF = Belief(0.2, [0.3, 0.2, 0.1], [[0.0, 0.1, 0.04], [0.1, 0.0, 0.06], [0.04, 0.06, 0.0]])


def test_a_flat_belief_keeps_masses_and_marginals() -> None:
    hypotheses, masses = flat(BOOK, BELIEF)
    assert hypotheses.pairs == ((0, 1), (0, 2), (1, 2))
    assert masses == [0.2, 0.3, 0.2, 0.1, 0.1, 0.04, 0.06]
    assert hypotheses.marginals(masses) == pytest.approx(BELIEF.marginals(), abs=1e-15)


def test_pairs_beyond_the_likeliest_go_half_to_each_cause() -> None:
    hypotheses, masses = flat(BOOK, BELIEF, kept=1)
    assert hypotheses.pairs == ((0, 1),)
    assert masses == pytest.approx([0.2, 0.32, 0.23, 0.15, 0.1], abs=1e-15)


def test_no_more_than_a_fixed_number_of_pairs_is_kept() -> None:
    book = helpers.rules(causes=[f"c-{place}" for place in range(12)])
    belief = helpers.diagnosis(book).belief()
    hypotheses, masses = flat(book, belief)
    assert len(hypotheses.pairs) == KEPT_PAIRS < 66
    assert math.fsum(masses) == pytest.approx(1.0, abs=1e-12)


def test_pairs_without_mass_are_left_out() -> None:
    none = [[0.0] * 3 for _ in range(3)]
    hypotheses, masses = flat(BOOK, Belief(0.4, [0.3, 0.2, 0.1], none))
    assert hypotheses.pairs == ()
    assert masses == [0.4, 0.3, 0.2, 0.1]


def test_likelihoods_are_the_rates_under_each_hypothesis() -> None:
    hypotheses, _ = flat(BOOK, BELIEF)
    true, false = hypotheses.likelihoods(RATES)
    both = 1.0 - 0.2 * 0.4 / 0.9
    assert true == pytest.approx([0.1, 0.8, 0.6, 0.1, both, 0.8, 0.6], abs=1e-15)
    assert false == pytest.approx([1.0 - rate for rate in true], abs=1e-15)


@pytest.mark.parametrize(
    ("masses", "expected"),
    [
        ([0.1, 0.5, 0.4, 0.0, 0.0, 0.0, 0.0], ("a", 0.5)),
        ([0.5, 0.5, 0.0, 0.0, 0.0, 0.0, 0.0], (None, 0.5)),
        ([0.2, 0.2, 0.0, 0.0, 0.0, 0.0, 0.4], ("b", 0.5)),
    ],
)
def test_the_leading_cause_is_judged_by_marginals_and_none_wins_ties(
    masses: list[float], expected: tuple[str | None, float]
) -> None:
    hypotheses, _ = flat(BOOK, BELIEF)
    assert hypotheses.leading(masses) == pytest.approx(expected)


def test_without_causes_nothing_leads() -> None:
    hypotheses, masses = flat(helpers.rules(causes=[]), Belief(0.5, [], []))
    assert hypotheses.leading(masses) == (None, 1.0)


def test_a_belief_disproved_as_a_whole_is_something_else() -> None:
    disproved = Belief(0.0, [0.6, 0.4], [[0.0, 0.0], [0.0, 0.0]]).without([0, 1])
    assert (disproved.none, disproved.total) == (1.0, 1.0)


def test_information_is_the_mutual_information() -> None:
    """H(finding) - H(finding | hypothesis), worked out by the other route."""
    hypotheses, masses = flat(BOOK, BELIEF)
    outcomes = hypotheses.likelihoods(RATES)

    def entropy(shares: list[float]) -> float:
        return -math.fsum(share * math.log(share) for share in shares)

    before = entropy([sum(times(masses, likelihood)) for likelihood in outcomes])
    within = math.fsum(
        mass * entropy([true, false]) for mass, true, false in zip(masses, *outcomes, strict=True)
    )
    assert information(masses, outcomes) == pytest.approx(before - within, abs=1e-12)


def test_an_outcome_that_cannot_be_tells_nothing_by_itself() -> None:
    """One of two hypotheses is out; the other one always shows the first outcome."""
    assert information([1.0, 0.0], [[1.0, 0.0], [0.0, 1.0]]) == 0.0
    assert information([0.5, 0.5], [[1.0, 0.0], [0.0, 1.0]]) == pytest.approx(math.log(2.0))


def test_a_finding_that_speaks_of_no_cause_tells_nothing() -> None:
    hypotheses, masses = flat(BOOK, BELIEF)
    silent = Rates(helpers.finding("g"), {})
    assert hypotheses.told(masses, silent) == 0.0
    assert information(masses, hypotheses.likelihoods(silent)) == pytest.approx(0.0, abs=1e-15)


def test_narrowed_keeps_the_causes_their_partners_and_the_place_of_each() -> None:
    """Cause c comes in as the partner of b, and the reverse; a and its partner d do not."""
    book = helpers.rules(causes=["a", "b", "c", "d"])
    pairs = [[0.0] * 4 for _ in range(4)]
    for i, j, mass in ((1, 2, 0.2), (0, 3, 0.1)):
        pairs[i][j] = pairs[j][i] = mass
    hypotheses, masses = flat(book, Belief(0.1, [0.1, 0.2, 0.2, 0.1], pairs))
    for chosen in (1, 2):
        narrow, places = hypotheses.narrowed([chosen])
        assert narrow.causes == ("b", "c")
        assert narrow.pairs == ((0, 1),)
        assert [masses[place] for place in places] == [0.1, 0.2, 0.2, 0.2]
        assert narrow.minutes == (60.0, 60.0)


def test_a_rate_that_rounds_to_certain_tells_a_finite_amount() -> None:
    """With both causes the finding is false once in 10^20, which is 0 beside 1."""
    sure = {"a": 1.0 - 1e-10, "b": 1.0 - 1e-10}
    book = helpers.rules(findings=[helpers.finding("f", sure, usual=0.1)], causes=["a", "b", "c"])
    rates = Rates(book.findings[0], {"a": 0, "b": 1, "c": 2})
    hypotheses, masses = flat(book, BELIEF)
    told = information(masses, hypotheses.likelihoods(rates))
    assert hypotheses.told(masses, rates) == pytest.approx(told, abs=1e-12)
