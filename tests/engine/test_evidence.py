"""Evidence: rates, effects, priors, observations and the posterior."""

from __future__ import annotations

import math
import random

import pytest

from advisor.engine.belief import Priors
from advisor.engine.effects import Effects, decibans, noisy_or, pair_rates
from advisor.engine.rules import Finding, Is
from advisor.engine.values import UNKNOWN, Number
from tests import helpers


def test_noisy_or_of_two_silent_causes_is_the_usual_rate() -> None:
    assert noisy_or(0.2, 0.2, 0.2) == pytest.approx(0.2, abs=1e-15)


def test_noisy_or_beside_a_silent_cause_is_the_speaking_ones_rate() -> None:
    assert noisy_or(0.2, 0.7, 0.2) == pytest.approx(0.7, abs=1e-15)


def test_a_cause_that_makes_a_finding_rarer_cannot_take_away_anothers_effect() -> None:
    assert noisy_or(0.5, 0.9, 0.1) >= 0.9
    assert noisy_or(0.5, 0.5, 0.1) == pytest.approx(0.5, abs=1e-15)


def test_several_valued_findings_take_the_mean_for_two_causes() -> None:
    item = helpers.band_finding("f", "n", [0.0, 1.0], [0.2, 0.3, 0.5], {})
    mean = pair_rates(item, (0.2, 0.2, 0.6), (0.4, 0.0, 0.6))
    assert mean == pytest.approx((0.3, 0.1, 0.6), abs=1e-15)


def test_decibans_of_even_odds_are_none() -> None:
    assert decibans(1.0) == 0.0


def test_a_prior_gives_none_its_share_and_the_rest_by_commonness() -> None:
    book = helpers.rules(
        causes=[helpers.cause("a", commonness=3.0), helpers.cause("b")],
        none_share=0.2,
        pair_factor=0.5,
    )
    belief = Priors(book).belief([1.0, 1.0])
    listed = 1.0 + 0.5 * 0.75 * 0.25
    assert belief.none == 0.2
    assert belief.single == pytest.approx([0.8 * 0.75 / listed, 0.8 * 0.25 / listed], abs=1e-15)
    assert belief.pair[0][1] == belief.pair[1][0]
    assert belief.pair[0][1] == pytest.approx(0.8 * 0.5 * 0.75 * 0.25 / listed, abs=1e-15)
    assert belief.total == pytest.approx(1.0, abs=1e-15)


def test_a_cause_that_cannot_exist_has_no_mass_alone_or_in_pairs() -> None:
    book = helpers.rules(
        questions=[helpers.yes_no("two-piece")],
        causes=["a", helpers.cause("b", applies_if=Is("two-piece", True))],
    )
    case = helpers.diagnosis(book, {"two-piece": False})
    assert [item.cause for item in case.ranking().causes] == ["a"]
    assert case.belief().pair[0][1] == 0.0
    case.answer("two-piece", UNKNOWN)
    assert len(case.ranking().causes) == 2


def test_a_cause_that_cannot_exist_has_no_mass_however_much_speaks_for_it() -> None:
    """Beyond `SAFE_NEPERS` the masses are made anew, of the causes that can exist alone."""
    items = [helpers.finding(f"f-{k}", {"a": 0.9, "b": 0.999}, usual=0.001) for k in range(60)]
    book = helpers.rules(
        questions=[helpers.yes_no("x"), *(helpers.yes_no(f"q-f-{k}") for k in range(60))],
        findings=items,
        causes=["a", helpers.cause("b", applies_if=Is("x", True)), "c"],
    )
    answers = {"x": False, **{f"q-f-{k}": True for k in range(60)}}
    belief = helpers.diagnosis(book, answers).belief()
    assert belief.single[1] == 0.0
    assert belief.pair[1] == [0.0, 0.0, 0.0]
    assert belief.pair[0][1] == 0.0
    assert belief.single[0] + belief.pair[0][2] == pytest.approx(1.0, abs=1e-12)


@pytest.mark.parametrize(("applies", "pair_factor"), [(False, 0.1), (True, 0.0)])
def test_what_cannot_be_leaves_the_others_their_odds_however_much_speaks_for_it(
    applies: bool, pair_factor: float
) -> None:
    """Evidence for a cause that cannot exist, then for a pair that cannot be: e^2000 to one."""
    speaks = [{"b": 0.999}] * 300 if not applies else [{"a": 0.999}, {"b": 0.999}] * 300
    items = [helpers.finding(f"f-{k}", rates, usual=0.001) for k, rates in enumerate(speaks)]
    book = helpers.rules(
        questions=[helpers.yes_no("x"), *(helpers.yes_no(f"q-{item.id}") for item in items)],
        findings=items,
        causes=["a", helpers.cause("b", applies_if=Is("x", True))],
        pair_factor=pair_factor,
    )
    case = helpers.diagnosis(book, {"x": applies})
    case.answer_all({f"q-{item.id}": True for item in items})
    belief, prior = case.belief(), case.prior()
    if applies:
        assert belief.single[0] == pytest.approx(0.5, abs=1e-12)
    else:
        odds = prior.single[0] / prior.none
        assert belief.single[0] / belief.none == pytest.approx(odds, rel=1e-12)
    assert belief.single[1] == pytest.approx(0.5 if applies else 0.0, abs=1e-12)


def test_a_cause_far_out_leaves_the_others_their_odds() -> None:
    """Sixty findings against "a" go beyond `SAFE_NEPERS`; one finding for "b" weighs 8."""
    items = [helpers.finding(f"f-{k}", {"a": 0.001}, usual=0.9) for k in range(60)]
    book = helpers.rules(findings=[*items, helpers.finding("g", {"b": 0.8}, usual=0.1)])
    case = helpers.diagnosis(book, {f"q-{item.id}": True for item in book.findings})
    prior, belief = case.prior(), case.belief()
    odds = 8.0 * prior.single[1] / prior.none
    assert belief.single[1] / belief.none == pytest.approx(odds, rel=1e-11)


def test_where_no_cause_can_exist_none_of_the_listed_has_all() -> None:
    book = helpers.rules(
        questions=[helpers.yes_no("x")], causes=[helpers.cause("a", applies_if=Is("x", True))]
    )
    ranking = helpers.diagnosis(book, {"x": False}).ranking()
    assert ranking.causes == ()
    assert ranking.none_probability == 1.0
    assert ranking.none_leads


RESTATED = helpers.rules(
    findings=[
        helpers.finding("weak", {"a": 0.4}, observation="one"),
        helpers.finding("strong", {"a": 0.9}, observation="one"),
        helpers.finding("other", {"b": 0.5}),
    ]
)


def test_of_findings_that_restate_one_observation_the_most_telling_counts() -> None:
    both = helpers.diagnosis(RESTATED, {"q-weak": True, "q-strong": True})
    one = helpers.diagnosis(RESTATED, {"q-strong": True})
    assert both.belief() == one.belief()


def test_the_less_telling_counts_again_when_the_other_is_taken_back() -> None:
    case = helpers.diagnosis(RESTATED, {"q-weak": True, "q-strong": True})
    case.take_back("q-strong")
    assert case.belief() == helpers.diagnosis(RESTATED, {"q-weak": True}).belief()


def test_of_two_equally_telling_findings_the_first_in_the_files_counts() -> None:
    items = [
        helpers.finding("first", {"a": 0.4}, observation="one"),
        helpers.finding("second", {"b": 0.4}, observation="one"),
    ]
    book = helpers.rules(findings=items)
    for answers in (["q-first", "q-second"], ["q-second", "q-first"]):
        ranking = helpers.diagnosis(book, dict.fromkeys(answers, True)).ranking()
        assert ranking.causes[0].cause == "a"


def test_a_false_finding_counts_and_an_unknown_one_does_not() -> None:
    book = helpers.rules(findings=[helpers.finding("f", {"a": 0.8})])
    prior = helpers.diagnosis(book).belief()
    assert helpers.diagnosis(book, {"q-f": UNKNOWN}).belief() == prior
    without = helpers.diagnosis(book, {"q-f": False}).belief()
    assert without.single[0] / without.none == pytest.approx(
        prior.single[0] / prior.none * 0.2 / 0.9, rel=1e-12
    )


def test_a_finding_too_close_to_call_enters_as_virtual_evidence() -> None:
    """Pearl 1988: the likelihood is the weighted sum over the outcomes."""
    book = helpers.rules(
        questions=[helpers.number("n")],
        findings=[helpers.band_finding("f", "n", [0.0], [0.9, 0.1], {"a": (0.2, 0.8)})],
        pair_factor=0.0,
    )
    belief = helpers.diagnosis(book, {"n": Number(0.0, 1.0)}).belief()
    assert belief.single[0] / belief.single[1] == pytest.approx(1.0, abs=1e-12)
    belief = helpers.diagnosis(book, {"n": Number(0.6744897501960817, 1.0)}).belief()
    expected = (0.25 * 0.2 + 0.75 * 0.8) / (0.25 * 0.9 + 0.75 * 0.1)
    assert belief.single[0] / belief.single[1] == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("count", [1, 40, 120, 300])
@pytest.mark.parametrize("answer", [True, False])
@pytest.mark.parametrize(("usual", "rate"), [(0.001, 0.999), (0.999, 0.001)])
def test_any_amount_of_evidence_gives_a_belief(
    count: int, answer: bool, usual: float, rate: float
) -> None:
    """Regression: from about 120 such findings on, masses under- or overflowed and it crashed."""
    items = [helpers.finding(f"f-{k}", {"a": rate, "b": rate}, usual=usual) for k in range(count)]
    book = helpers.rules(findings=items, causes=["a", "b", "c"])
    case = helpers.diagnosis(book, {f"q-f-{k}": answer for k in range(count)})
    belief = case.belief()
    assert belief.total == pytest.approx(1.0, abs=1e-12)
    assert belief.single[0] == belief.single[1]
    points_at_a = (rate > usual) == answer
    assert (belief.single[0] > belief.none) == points_at_a
    for cause in ("a", "b", "c"):
        trail = case.trail(cause)
        lines = math.fsum(line.decibans for line in trail.lines)
        assert math.isfinite(lines)
        assert trail.prior_decibans + lines == pytest.approx(trail.posterior_decibans, abs=1e-6)


@pytest.mark.parametrize("rate", [0.999, 0.001])
def test_any_amount_of_evidence_about_one_cause_leaves_the_others_their_odds(rate: float) -> None:
    items = [helpers.finding(f"f-{k}", {"a": rate}, usual=0.5) for k in range(2000)]
    book = helpers.rules(findings=items, causes=["a", "b", "c"])
    case = helpers.diagnosis(book)
    case.answer_all({f"q-f-{k}": True for k in range(2000)})
    belief = case.belief()
    assert belief.total == pytest.approx(1.0, abs=1e-12)
    assert (belief.single[0] > 0.5) == (rate > 0.5)
    assert belief.single[1] == belief.single[2]


def test_both_ways_of_multiplying_evidence_agree() -> None:
    """At the border of `SAFE_NEPERS` a case changes from one way to the other."""
    items = [helpers.finding(f"f-{k}", {"a": 0.9, "b": 0.7}, usual=0.3) for k in range(200)]
    book = helpers.rules(findings=items, causes=["a", "b", "c"])
    near = helpers.diagnosis(book, {f"q-f-{k}": k % 2 == 0 for k in range(200)})
    prior = near.prior()
    evidence = near._evidence
    usual_way, extreme = evidence._times(prior), evidence._times_extreme(prior)
    extreme = extreme.scaled(1.0 / extreme.total)
    assert usual_way.none == pytest.approx(extreme.none, rel=1e-11, abs=0.0)
    assert usual_way.single == pytest.approx(extreme.single, rel=1e-11, abs=0.0)
    for row, other in zip(usual_way.pair, extreme.pair, strict=True):
        assert row == pytest.approx(other, rel=1e-11, abs=0.0)


def test_products_of_pairs_are_the_masses_of_the_full_sum() -> None:
    """The quick posterior beside brute force over every pair."""
    source = random.Random(5)
    names = [f"c-{k}" for k in range(12)]
    items = [
        helpers.finding(
            f"f-{k}",
            {name: source.choice([0.02, 0.3, 0.9]) for name in source.sample(names, 7)},
            usual=source.choice([0.1, 0.4]),
        )
        for k in range(30)
    ]
    case = helpers.diagnosis(helpers.rules(findings=items, causes=names))
    prior = case.prior()
    masses: dict[tuple[int, ...], float] = {(): prior.none}
    masses |= {(i,): prior.single[i] for i in range(12)}
    masses |= {(i, j): prior.pair[i][j] for i in range(12) for j in range(i + 1, 12)}
    for k, item in enumerate(items):
        case.answer(f"q-f-{k}", k % 3 == 0)
        for held in masses:
            true = _rate_with(item, [names[i] for i in held])
            masses[held] *= true if k % 3 == 0 else 1.0 - true
        belief = case.belief()  # at every step, so that few and many changes are both worked out
        total = math.fsum(masses.values())
        for held, mass in masses.items():
            found = (
                belief.none
                if not held
                else belief.single[held[0]]
                if len(held) == 1
                else belief.pair[held[0]][held[1]]
            )
            assert found == pytest.approx(mass / total, abs=1e-12)
        for i, marginal in enumerate(belief.marginals()):
            full = math.fsum(mass for held, mass in masses.items() if i in held)
            assert marginal == pytest.approx(full / total, abs=1e-12)
    again = helpers.diagnosis(
        case.engine.rules, {f"q-f-{k}": k % 3 == 0 for k in reversed(range(30))}
    )
    assert again.belief() == belief


def _rate_with(item: Finding, causes: list[str]) -> float:
    rates = [item.rates.get(cause, item.usual)[0] for cause in causes]
    if len(rates) == 2:
        return noisy_or(item.usual[0], rates[0], rates[1])
    return rates[0] if rates else item.usual[0]


def test_an_undone_effect_leaves_the_belief_as_it_was() -> None:
    item = helpers.finding("f", {"a": 0.8, "b": 0.05}, usual=0.3)
    book = helpers.rules(findings=[item], causes=["a", "b", "c"])
    prior = Priors(book).belief([1.0, 1.0, 1.0])
    for effect in Effects(book).outcomes("f"):
        assert effect.undone().usual * effect.usual == pytest.approx(1.0, rel=1e-15)
        back = prior.after(effect).after(effect.undone())
        assert back.single == pytest.approx(prior.single, abs=1e-15)
        assert back.pair[0] == pytest.approx(prior.pair[0], abs=1e-15)
