"""Rates from cases against SciPy's posteriors, and against worlds whose rates are known."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats  # type: ignore[import-untyped]

from advisor.cases import CaseFile
from advisor.learning.calibrating import Calibration, Column, Terms, rounded_rates, weigh
from advisor.learning.counting import USUAL, CountTally
from advisor.learning.intake import Intake
from advisor.learning.proposal import write_overlay
from advisor.learning.replaytally import ReplayTally
from advisor.rulebook import Rulebook, load, read_overlay
from tests.learning.world import AUTHOR, World, case, closed, drawn_world

HALF_STEP = 0.51e-4  # proposed rates have four digits


@pytest.fixture
def rulebook(tmp_path: Path) -> Rulebook:
    return AUTHOR.load(tmp_path / "book")


def weighed(rulebook: Rulebook, cases: Iterable[CaseFile], terms: Terms) -> Calibration:
    tally = CountTally()
    for one in cases:
        tally.add(closed(rulebook, one), rulebook)
    return weigh(rulebook, tally, Intake(), terms)


def drawn(world: World, count: int, random: Random) -> list[CaseFile]:
    vehicles = (world.vehicle(random) for _ in range(count))
    return [case(answers, *([cause] if cause else [])) for answers, cause in vehicles]


def column(calibration: Calibration, finding: str, cause: str) -> Column:
    (found,) = (one for one in calibration.columns if (one.finding, one.cause) == (finding, cause))
    return found


def test_yes_or_no_rate_is_the_beta_posterior(rulebook: Rulebook) -> None:
    cases = [case({"q-ticks": "yes" if i < 12 else "no"}, "worn") for i in range(30)]
    found = column(weighed(rulebook, cases, Terms(20.0, 20)), "ticks", "worn")
    posterior = stats.beta(20 * 0.8 + 12, 20 * 0.2 + 18)
    change = found.changes["true"]
    assert (found.cases, change.old) == (30, 0.8)
    assert change.new == pytest.approx(posterior.mean(), abs=HALF_STEP)
    assert (change.low, change.high) == pytest.approx(posterior.interval(0.95), abs=HALF_STEP)
    assert change.is_telling


def test_several_values_are_the_dirichlet_posterior(rulebook: Rulebook) -> None:
    noises = ["none"] * 5 + ["clunk"] * 30 + ["squeak"] * 6
    cases = [case({"noise": noise}, "worn") for noise in noises]
    found = column(weighed(rulebook, cases, Terms(10.0, 20)), "noise-heard", "worn")
    alpha = [10 * 0.2 + 5, 10 * 0.3 + 30, 10 * 0.5 + 6]
    expected = stats.dirichlet(alpha).mean()
    assert [one.new for one in found.changes.values()] == pytest.approx(expected, abs=2e-4)
    assert math.fsum(one.new for one in found.changes.values()) == pytest.approx(1.0, abs=1e-12)
    for change, a in zip(found.changes.values(), alpha, strict=True):
        margin = stats.beta(a, sum(alpha) - a)
        assert (change.low, change.high) == pytest.approx(margin.interval(0.95), abs=HALF_STEP)


def test_share_of_none_is_the_beta_posterior(rulebook: Rulebook) -> None:
    cases = [case({}) for _ in range(15)] + [case({}, "worn") for _ in range(35)]
    change = weighed(rulebook, cases, Terms(20.0, 20)).none_share
    assert change is not None
    posterior = stats.beta(2 + 15, 18 + 35)
    assert change.new == pytest.approx(posterior.mean(), abs=HALF_STEP)
    assert (change.low, change.high) == pytest.approx(posterior.interval(0.95), abs=HALF_STEP)


def test_commonness_has_the_interval_of_a_dirichlet_margin(rulebook: Rulebook) -> None:
    cases = [case({}, cause) for cause in ("worn", "loose", "bent") for _ in range(10)]
    found = weighed(rulebook, cases, Terms(6.0, 20))
    assert found.commonness_strength == 6.0
    bent = found.commonness[2]
    margin = stats.beta(1 + 10, 36 - 11)
    assert (bent.cause, bent.cases, bent.change.old) == ("bent", 10, 1.0)
    assert bent.change.new == pytest.approx(6 * margin.mean(), rel=1e-3)
    low, high = margin.interval(0.95)
    assert (bent.change.low, bent.change.high) == pytest.approx((6 * low, 6 * high), rel=1e-3)


def test_too_few_cases_change_nothing_and_are_listed(rulebook: Rulebook) -> None:
    cases = [case({"q-ticks": "no"}, "worn") for _ in range(19)]
    found = weighed(rulebook, cases, Terms(20.0, 20))
    assert (found.columns, found.commonness, found.none_share) == ((), (), None)
    assert [(one.finding, one.cause, one.cases) for one in found.few] == [("ticks", "worn", 19)]


def test_one_case_more_is_enough(rulebook: Rulebook) -> None:
    cases = [case({"q-ticks": "no"}, "worn") for _ in range(20)]
    found = weighed(rulebook, cases, Terms(20.0, 20))
    assert column(found, "ticks", "worn").changes["true"].new == pytest.approx(0.4)
    assert len(found.commonness) == 3


def test_likeliest_strength_is_used_when_none_is_given(rulebook: Rulebook) -> None:
    cases = drawn(drawn_world(Random(5), 20.0), 300, Random(6))
    found = weighed(rulebook, cases, Terms(None, 20))
    assert found.strength == found.likeliest_strength
    assert 5.0 < found.strength < 80.0  # the world was drawn with 20


@given(st.lists(st.floats(1e-6, 1.0), min_size=2, max_size=12))
def test_rounded_rates_are_near_and_may_stand_in_a_file(heaps: list[float]) -> None:
    rates = [heap / sum(heaps) for heap in heaps]
    found = rounded_rates(rates)
    assert math.fsum(found) == pytest.approx(1.0, abs=1e-9)
    assert all(0.001 <= rate <= 0.999 for rate in found)
    assert all(
        abs(new - rate) <= 1.1e-3 * len(rates) for new, rate in zip(found, rates, strict=True)
    )
    if min(rates) > 0.002:
        assert all(abs(new - rate) <= 1e-4 for new, rate in zip(found, rates, strict=True))


def test_intervals_cover_the_true_rates_as_often_as_they_say(rulebook: Rulebook) -> None:
    """Worlds are drawn as the author believes in them, so that 95 % is exact on average."""
    covered = total = 0
    for seed in range(12):
        random = Random(seed)
        world = drawn_world(random, 20.0)
        found = weighed(rulebook, drawn(world, 200, random), Terms(20.0, 1))
        for one in found.columns:
            true = world.rates[one.finding, one.cause]
            for change, rate in zip(one.changes.values(), true, strict=False):
                covered += change.low <= rate <= change.high
                total += 1
    assert total > 150
    low, high = stats.binom.interval(0.999, total, 0.95)
    assert low <= covered <= high


def test_fresh_cases_are_ranked_better_with_the_overlay(tmp_path: Path) -> None:
    """The world is not as the author thinks: half of the rates are far off."""
    true = replace(
        AUTHOR,
        rates={
            **AUTHOR.rates,
            ("ticks", "worn"): (0.35, 0.65),
            ("hums", USUAL): (0.45, 0.55),
            ("noise-heard", "worn"): (0.7, 0.2, 0.1),
        },
        commonness=(1.0, 2.0, 3.0),
    )
    folder = tmp_path / "book"
    author = AUTHOR.load(folder)
    found = weighed(author, drawn(true, 500, Random(1)), Terms())
    write_overlay(tmp_path / "overlay.yaml", found)
    overlaid = load(folder, overlay=read_overlay(tmp_path / "overlay.yaml"))
    fresh = drawn(true, 400, Random(2))

    def log_score(rulebook: Rulebook) -> float:
        tally = ReplayTally()
        for one in fresh:
            tally.add(closed(rulebook, one), rulebook)
        return tally.surprise / 2.0**60 / len(fresh)

    as_it_is = log_score(true.load(tmp_path / "true"))
    assert log_score(overlaid) < log_score(author) - 0.1
    assert log_score(overlaid) == pytest.approx(as_it_is, abs=0.03)
