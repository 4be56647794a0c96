"""Balancing from amplitudes alone, on made-up shafts whose influence is known."""

from __future__ import annotations

import cmath
import math
import random
from collections.abc import Sequence
from statistics import NormalDist

import numpy as np
import pytest
from scipy.optimize import least_squares  # type: ignore[import-untyped]

from advisor.driveline import fourrun
from advisor.driveline.balance import correction_mass, correction_turn, spread_effect
from advisor.driveline.fourrun import (
    GREATEST_MISFIT,
    NEARLY_AS_WELL,
    Correction,
    clamp_places,
    correction_from_amplitudes,
)

THREE = tuple(math.radians(place) for place in (0, 120, 240))
FOUR = tuple(math.radians(place) for place in (0, 90, 180, 270))
TRIAL_KG = 10e-3
UNBALANCE = cmath.rect(4.0, math.radians(30.0))


def readings_of(
    unbalance: complex, influence: complex, places: Sequence[float], trial_kg: float = TRIAL_KG
) -> list[float]:
    """What a vibrometer shows: initial reading, then one for each place."""
    runs = [unbalance + influence * cmath.rect(trial_kg, place) for place in places]
    return [abs(unbalance), *(abs(run) for run in runs)]


def solved(readings: Sequence[float], places: Sequence[float], u: float = 0.02) -> Correction:
    return correction_from_amplitudes(readings[0], TRIAL_KG, places, readings[1:], u)


def angle_off(one: float, other: float) -> float:
    return math.remainder(one - other, 2 * math.pi)


@pytest.mark.parametrize("places", [THREE, FOUR], ids=["three", "four"])
def test_amplitudes_alone_find_what_phase_would_have_told(places: Sequence[float]) -> None:
    """UNB-11: 7.559 g at 79.107 deg (handbook section 6, M; abs 0.1), and `balance` itself."""
    after = cmath.rect(6.0, math.radians(90.0))
    influence = (after - UNBALANCE) / TRIAL_KG
    found = solved(readings_of(UNBALANCE, influence, places), places)
    assert found.mass_kg * 1e3 == pytest.approx(7.559, abs=0.1)
    assert math.degrees(found.angle_rad) == pytest.approx(79.107, abs=0.1)
    known = (4.0, math.radians(30.0))
    shown = (6.0, math.radians(90.0))
    assert found.mass_kg == pytest.approx(correction_mass(*known, TRIAL_KG, *shown), rel=1e-6)
    assert found.angle_rad == pytest.approx(correction_turn(*known, *shown), abs=1e-6)
    assert found.consistent
    assert found.remark == ""


def test_correction_quiets_any_made_up_shaft() -> None:
    """400 shafts; what is left after the correction is below 1e-5 of the start."""
    draw = random.Random(11)
    for _ in range(400):
        unbalance = cmath.rect(draw.uniform(1, 10), draw.uniform(-3, 3))
        influence = cmath.rect(draw.uniform(100, 1500), draw.uniform(-3, 3))
        turn = draw.uniform(0, 6)
        spacing = [0.0, draw.uniform(1.2, 2.4), draw.uniform(3.2, 4.4), draw.uniform(4.9, 5.7)]
        places = [math.remainder(turn + s, 2 * math.pi) for s in spacing[: draw.choice([3, 4])]]
        found = solved(readings_of(unbalance, influence, places), places)
        left = unbalance + influence * cmath.rect(found.mass_kg, found.angle_rad)
        assert abs(left) < 1e-5 * abs(unbalance)
        assert found.misfit < 1e-6


def test_noisy_readings_are_fitted_as_well_as_by_an_independent_solver() -> None:
    """Against scipy's least squares from twelve starts on 40 noisy sets; rel 1e-6 of misfit."""
    draw = random.Random(12)
    for _ in range(40):
        places = draw.choice([THREE, FOUR])
        influence = cmath.rect(draw.uniform(150, 900), draw.uniform(-3, 3))
        u = 0.1
        noisy = [
            max(0.0, value + draw.gauss(0, u))
            for value in readings_of(UNBALANCE, influence, places)
        ]
        found = solved(noisy, places, u)
        assert found.misfit == pytest.approx(_least_misfit(noisy, places, u), rel=1e-6, abs=1e-7)


def _least_misfit(readings: Sequence[float], places: Sequence[float], u: float) -> float:
    turns = [0j, *(cmath.rect(1.0, place) for place in places)]

    def residuals(x: Sequence[float]) -> list[float]:
        return [
            (value - abs(x[0] + complex(x[1], x[2]) * turn)) / u
            for value, turn in zip(readings, turns, strict=True)
        ]

    starts = [
        (readings[0], size * math.cos(turn), size * math.sin(turn))
        for size in (0.3 * readings[0], 1.5 * readings[0])
        for turn in (0, 1, 2, 3, 4, 5)
    ]
    return min(2 * float(least_squares(residuals, start, xtol=1e-14).cost) for start in starts)


@pytest.mark.parametrize("places", [THREE, FOUR], ids=["three", "four"])
def test_uncertainty_is_the_scatter_of_repeated_readings(places: Sequence[float]) -> None:
    """Monte Carlo of 1,500 sets, rel 0.08: two standard errors of a scatter are 0.037."""
    draw = random.Random(13)
    influence = cmath.rect(600.0, 1.0)
    u = 0.05
    truth = readings_of(UNBALANCE, influence, places)
    expected = solved(truth, places, u)
    masses, angles, misfits = [], [], []
    for _ in range(1_500):
        found = solved([value + draw.gauss(0, u) for value in truth], places, u)
        masses.append(found.mass_kg - expected.mass_kg)
        angles.append(angle_off(found.angle_rad, expected.angle_rad))
        misfits.append(found.misfit)
    assert expected.u_mass_kg == pytest.approx(_scatter(masses), rel=0.08)
    assert expected.u_angle_rad == pytest.approx(_scatter(angles), rel=0.08)
    # As many degrees of freedom as readings beyond the three unknowns; rel 0.15 of 1 or 2.
    assert sum(misfits) / len(misfits) == pytest.approx(len(places) - 2, rel=0.15)


def _scatter(values: Sequence[float]) -> float:
    return math.sqrt(sum(value * value for value in values) / len(values))


def test_three_linear_equations_are_solved_as_by_another_solver() -> None:
    """Against numpy, on matrices that are not symmetric either."""
    draw = random.Random(13)
    for _ in range(20):
        matrix = [[draw.uniform(-5.0, 5.0) for _ in range(3)] for _ in range(3)]
        side = [draw.uniform(-5.0, 5.0) for _ in range(3)]
        expected = np.linalg.solve(np.array(matrix), np.array(side))
        assert fourrun._solved(matrix, side) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("freedom", [1, 2])
def test_misfit_limits_are_those_of_the_law(freedom: int) -> None:
    """Chi-square, 99 %: with 1 a normal square, with 2 exponential (D); abs 0.001."""
    expected = NormalDist().inv_cdf(0.995) ** 2 if freedom == 1 else -2.0 * math.log(0.01)
    assert GREATEST_MISFIT[freedom] == pytest.approx(expected, abs=0.001)


def test_another_fit_is_nearly_as_good_by_the_same_law() -> None:
    """Chi-square with 1 degree of freedom, 95 % (D); abs 0.001."""
    assert pytest.approx(NormalDist().inv_cdf(0.975) ** 2, abs=0.001) == NEARLY_AS_WELL


def test_readings_that_do_not_fit_one_another_are_told() -> None:
    truth = readings_of(UNBALANCE, cmath.rect(300.0, 1.0), FOUR)
    found = solved([*truth[:4], truth[4] + 1.0], FOUR, 0.05)
    assert not found.consistent
    assert "don't fit one another" in found.remark


@pytest.mark.parametrize(
    ("places", "misfit"), [(THREE, 6.0), (THREE, 7.0), (FOUR, 9.0), (FOUR, 9.4)]
)
def test_misfit_is_judged_by_the_number_of_runs(places: Sequence[float], misfit: float) -> None:
    """Limits 6.635 and 9.210. The fit does not depend on u, so u sets the misfit."""
    truth = readings_of(UNBALANCE, cmath.rect(300.0, 1.0), places)
    spoilt = [truth[0] + 0.2, *truth[1:]]
    u = math.sqrt(solved(spoilt, places, 1.0).misfit / misfit)
    found = solved(spoilt, places, u)
    assert found.misfit == pytest.approx(misfit, rel=1e-6)
    assert found.consistent == (misfit in (6.0, 9.0))


def test_two_corrections_that_fit_alike_are_told_apart_from_a_sure_one() -> None:
    """Readings to 0.4 with misfits 6.54 and 7.18 for corrections in a ratio of 1 to 3."""
    found = solved([3.3, 5.9, 6.1, 4.2, 2.6], FOUR, 0.4)
    assert found.misfit == pytest.approx(6.545, abs=0.001)
    assert not found.consistent
    assert "Another correction fits" in found.remark


def test_a_first_reading_of_more_than_twice_its_uncertainty_is_enough() -> None:
    readings = readings_of(0.25 + 0j, 200.0 + 0j, THREE)
    found = solved(readings, THREE, 0.1)
    assert found.mass_kg == pytest.approx(0.25 / 200.0, rel=1e-4)


def test_two_clamps_make_the_correction() -> None:
    """UNB-09 and UNB-10: one clamp's worth at 120 deg spread (handbook section 6, F, D)."""
    angle_rad = math.radians(30.0)
    first, second = clamp_places(12e-3, angle_rad, 12e-3)
    assert math.degrees(first) == pytest.approx(330.0, abs=1e-9)
    assert math.degrees(second) == pytest.approx(90.0, abs=1e-9)
    first, second = clamp_places(15e-3, angle_rad, 12e-3)
    both = cmath.rect(12e-3, first) + cmath.rect(12e-3, second)
    assert both == pytest.approx(cmath.rect(15e-3, angle_rad), abs=1e-12)
    assert spread_effect(second - first + 2 * math.pi * (first > second)) == pytest.approx(1.25)


def test_more_than_two_clamps_are_refused() -> None:
    with pytest.raises(ValueError, match=r"the correction takes 2\.5 clamps"):
        clamp_places(25e-3, 0.0, 10e-3)


@pytest.mark.parametrize(
    ("initial", "places", "readings", "u", "sentence"),
    [
        (4.0, THREE[:2], (4.0, 5.0), 0.1, "there are 2 trial places; expected 3 or 4"),
        (4.0, THREE, (4.0, 5.0), 0.1, "there are 3 trial places and 2 readings"),
        (4.0, (0.0, 0.1, 2.0), (4.0, 5.0, 6.0), 0.1, "are closer than 20 deg"),
        (4.0, (0.0, 2.0, 6.2), (4.0, 5.0, 6.0), 0.1, "are closer than 20 deg"),
        (0.15, THREE, (4.0, 5.0, 6.0), 0.1, "nothing to balance"),
        (4.0, THREE, (4.05, 3.95, 4.0), 0.1, "the trial mass changed hardly anything"),
        (4.0, THREE, (4.0, 4.0, 4.0), 0.1, "the trial mass changed hardly anything"),
        (4.0, THREE, (4.0, -1.0, 4.0), 0.1, "a reading is -1; it must not be below 0"),
        (4.0, THREE, (4.0, 5.0, 6.0), 0.0, "the uncertainty of a reading is 0"),
        (1e-6, THREE, (1e3, 1e3, 1e3), 1e-7, "the readings don't determine a correction"),
    ],
)
def test_runs_that_tell_nothing_are_refused(
    initial: float, places: Sequence[float], readings: Sequence[float], u: float, sentence: str
) -> None:
    with pytest.raises(ValueError, match=sentence):
        correction_from_amplitudes(initial, TRIAL_KG, places, readings, u)
