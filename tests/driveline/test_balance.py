"""Unbalance: the laws behind the published values, and refusals of impossible ones."""

from __future__ import annotations

import cmath
import math

import numpy as np
import pytest

from advisor.driveline import balance


def test_usual_end_play_ceiling_equals_the_allowance_of_the_stricter_grade() -> None:
    """Handbook section 6 (D): 9 kg, 0.05 mm, 225 g*mm; G16 at 3000 rpm on half: 229. rel 0.005."""
    shifted = balance.unbalance_from_shift(9.0, 50e-6)
    allowed = balance.permissible_unbalance(16.0, 4.5, 50.0)
    assert shifted == pytest.approx(225e-6, rel=1e-9)
    assert allowed == pytest.approx(229e-6, rel=0.005)


def test_shares_of_two_planes_keep_total_and_moment() -> None:
    """Sum and moment about the centre of mass. rel 1e-12."""
    near = balance.unbalance_in_plane(1e-3, 0.4, 1.1)
    far = balance.unbalance_in_plane(1e-3, 1.1, 0.4)
    assert near + far == pytest.approx(1e-3, rel=1e-12)
    assert near * 0.4 == pytest.approx(far * 1.1, rel=1e-12)
    assert near > far
    with pytest.raises(ValueError, match="the unbalance is -200 g\\*mm; it must not be below 0 g"):
        balance.unbalance_in_plane(-2e-4, 0.4, 1.1)
    with pytest.raises(ValueError, match="the unbalance is -200 g\\*mm"):
        balance.force_from_unbalance(-2e-4, 50.0)


@pytest.mark.parametrize("spread_deg", [0.0, 45.0, 120.0, 180.0])
def test_spread_effect_is_the_vector_sum_of_two_clamps(spread_deg: float) -> None:
    """Two unit vectors. abs 1e-12; and back again, abs 1e-7 rad (acos at its ends)."""
    spread = math.radians(spread_deg)
    effect = balance.spread_effect(spread)
    assert effect == pytest.approx(abs(1 + cmath.rect(1.0, spread)), abs=1e-12)
    assert balance.spread_for_effect(effect) == pytest.approx(spread, abs=1e-7)


def test_correction_finds_a_hidden_unbalance() -> None:
    """40 made-up shafts, seed 11: response times (hidden + trial). rel 1e-9."""
    chance = np.random.default_rng(11)
    for _ in range(40):
        hidden = cmath.rect(chance.uniform(0.002, 0.02), chance.uniform(-3, 3))
        response = cmath.rect(chance.uniform(50, 500), chance.uniform(-3, 3))
        trial = 0.01
        before, after = response * hidden, response * (hidden + trial)
        readings = abs(before), cmath.phase(before)
        later = abs(after), cmath.phase(after)
        mass = balance.correction_mass(*readings, trial, *later)
        turn = balance.correction_turn(*readings, *later)
        assert cmath.isclose(cmath.rect(mass, turn), -hidden, rel_tol=1e-9)


def test_trial_mass_without_effect_is_refused() -> None:
    """Nothing can be concluded from it."""
    with pytest.raises(ValueError, match=r"the trial mass changed nothing"):
        balance.correction_mass(4.0, 0.5, 0.01, 4.0, 0.5)
    with pytest.raises(ValueError, match=r"the trial mass changed nothing"):
        balance.correction_turn(0.0, 0.0, 0.0, 0.0)
    with pytest.raises(ValueError, match=r"the trial mass changed nothing"):
        balance.correction_mass(4.0, 0.5, 0.01, 4.00396, 0.5)
    assert balance.correction_mass(4.0, 0.5, 0.01, 4.00404, 0.5) == pytest.approx(9.9, abs=0.01)


def test_impossible_values_are_refused_in_workshop_units() -> None:
    """Masses, lengths, frequencies, grades, spreads."""
    with pytest.raises(ValueError, match=r"the shift is -0.05 mm; it must not be below 0 mm"):
        balance.unbalance_from_shift(9.0, -5e-5)
    with pytest.raises(ValueError, match=r"the shift is nan"):
        balance.unbalance_from_shift(9.0, math.nan)
    with pytest.raises(ValueError, match=r"the mass is -2 kg; it must be more than 0 kg"):
        balance.unbalance_from_mass(-2.0, 0.03)
    with pytest.raises(ValueError, match=r"the mass is 0 kg; it must be more than 0 kg"):
        balance.unbalance_from_mass(0.0, 0.03)
    with pytest.raises(ValueError, match=r"the unbalance is -100 g\*mm"):
        balance.force_from_unbalance(-1e-4, 50.0)
    with pytest.raises(ValueError, match=r"the shaft frequency is 0 Hz"):
        balance.permissible_unbalance(16.0, 10.0, 0.0)
    with pytest.raises(ValueError, match=r"the balance grade is -16 mm/s"):
        balance.permissible_offset(-16.0, 50.0)
    with pytest.raises(ValueError, match=r"the spread is 181 deg"):
        balance.spread_effect(math.radians(181))
    with pytest.raises(ValueError, match=r"the effect is 2.5 clamps"):
        balance.spread_for_effect(2.5)
