"""Uncertainty, held against Monte Carlo and against the linear rule where that holds."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

import numpy as np
import pytest

from advisor.driveline import uncertainty
from advisor.driveline.fit import end_play_change, ring_stack_end_play
from advisor.driveline.phasing import residual_angle, residual_angle_of_joints
from advisor.driveline.shafts import critical_speed

MM = 1e-3


def _monte_carlo(
    call: Callable[..., float], values: Mapping[str, float], u: Mapping[str, float]
) -> float:
    """Root mean square about the value, over 20000 normal draws, seed 5."""
    chance = np.random.default_rng(5)
    centre = call(**values)
    draws = {name: chance.normal(value, u.get(name, 0.0), 20000) for name, value in values.items()}
    results = [call(**{name: float(draw[i]) for name, draw in draws.items()}) for i in range(20000)]
    return float(np.sqrt(np.mean((np.array(results) - centre) ** 2)))


def test_end_play_uncertainty_agrees_with_monte_carlo() -> None:
    """UNC-04 (D): four caliper readings. rel 0.02 (20000 draws)."""
    values = {"span_m": 80 * MM, "width_m": 76.95 * MM, "ring_1_m": 1.5 * MM, "ring_2_m": 1.52 * MM}
    u = dict.fromkeys(values, 0.0119024 * MM)
    value, width = uncertainty.propagate(ring_stack_end_play, values, u)
    assert value == pytest.approx(0.03 * MM, abs=1e-12)
    assert width == pytest.approx(_monte_carlo(ring_stack_end_play, values, u), rel=0.02)


def test_residual_angle_uncertainty_agrees_with_monte_carlo() -> None:
    """UNC-11 (M): 5 and 4 deg, 0.1 deg each; published 0.2134 linear, 0.215 simulated. rel 0.02."""
    values = {"joint_angle_1_rad": math.radians(5), "joint_angle_2_rad": math.radians(4)}
    u = dict.fromkeys(values, math.radians(0.1))
    _, width = uncertainty.propagate(residual_angle_of_joints, values, u)
    assert width == pytest.approx(_monte_carlo(residual_angle_of_joints, values, u), rel=0.02)
    assert math.degrees(width) == pytest.approx(0.215, abs=0.005)


def test_exact_cancelling_is_not_called_certain() -> None:
    """4 and 4 deg, 0.1 deg each: the linear rule says 0, simulation about 1 deg. rel 0.15."""
    values = {"joint_angle_1_rad": math.radians(4), "joint_angle_2_rad": math.radians(4)}
    u = dict.fromkeys(values, math.radians(0.1))
    value, width = uncertainty.propagate(residual_angle_of_joints, values, u)
    assert value == pytest.approx(0.0, abs=1e-7)
    assert width == pytest.approx(_monte_carlo(residual_angle_of_joints, values, u), rel=0.15)


def test_exact_cancelling_is_not_called_certain_with_six_readings() -> None:
    """Beyond five inputs another rule serves: slopes and headings of three members. rel 0.3."""
    names = [f"{kind}_{n}_rad" for kind in ("slope", "heading") for n in (1, 2, 3)]
    values = dict(zip(names, (0.0, math.radians(-4), 0.0, 0.0, 0.0, 0.0), strict=True))
    u = dict.fromkeys(names, math.radians(0.17))
    value, width = uncertainty.propagate(residual_angle, values, u)
    assert value == pytest.approx(0.0, abs=1e-7)
    assert width == pytest.approx(_monte_carlo(residual_angle, values, u), rel=0.3)


def test_six_linear_inputs_add_as_root_sum_square() -> None:
    """Exact for what is linear. rel 1e-9."""
    sizes = (1.5, 1.52, 1.5, 1.5, 76.95, 76.97)
    names = ("old_ring_1_m", "old_ring_2_m", "new_ring_1_m", "new_ring_2_m")
    values = dict(zip((*names, "old_width_m", "new_width_m"), sizes, strict=True))
    u = {name: 0.001 * n for n, name in enumerate(values, start=1)}
    _, width = uncertainty.propagate(end_play_change, values, u)
    assert width == pytest.approx(math.hypot(*u.values()), rel=1e-9)


def test_six_readings_are_shifted_up_and_down_alike() -> None:
    """A sum of exponentials falls and rises unlike; turned about 0 it is as uncertain."""
    names = [f"x{n}" for n in range(6)]
    values, u = dict.fromkeys(names, 0.3), dict.fromkeys(names, 0.5)
    mirrored = dict.fromkeys(names, -0.3)

    def rising(**at: float) -> float:
        return math.fsum(map(math.exp, at.values()))

    def falling(**at: float) -> float:
        return math.fsum(math.exp(-x) for x in at.values())

    _, width = uncertainty.propagate(rising, values, u)
    _, turned = uncertainty.propagate(falling, mirrored, u)
    assert width == pytest.approx(turned, rel=1e-12)


def test_texts_pass_through_as_exact() -> None:
    """A tube's material has no uncertainty; its length has: twice the relative one. rel 0.001."""
    values = {"length_m": 1.6, "outside_diameter_m": 0.0889, "wall_m": 0.0021, "material": "steel"}
    value, width = uncertainty.propagate(critical_speed, values, {"length_m": 0.002})
    assert width / value == pytest.approx(2.0 * 0.002 / 1.6, rel=0.001)


def test_exact_inputs_give_an_exact_result() -> None:
    """No u, or u of zero."""
    values = {"joint_angle_1_rad": 0.05, "joint_angle_2_rad": 0.04}
    for u in ({}, {"joint_angle_1_rad": 0.0}):
        assert uncertainty.propagate(residual_angle_of_joints, values, u)[1] == 0.0


def test_impossible_points_around_the_readings_are_left_out() -> None:
    """A joint angle of zero can only be larger: u from that side alone."""
    value, width = uncertainty.propagate(
        residual_angle_of_joints,
        {"joint_angle_1_rad": 0.0, "joint_angle_2_rad": 0.0},
        {"joint_angle_1_rad": 0.01},
    )
    # The point at sqrt(3) u weighs 1/6 against 2/3 for the centre: u = 0.01 sqrt(3) sqrt(1/5).
    assert value == 0.0
    assert width == pytest.approx(0.01 * math.sqrt(3.0 / 5.0), rel=1e-9)


def test_impossible_readings_are_refused() -> None:
    """The centre itself raises; nor is a lone possible point called certain."""
    with pytest.raises(ValueError, match=r"the joint angle is"):
        uncertainty.propagate(
            residual_angle_of_joints,
            {"joint_angle_1_rad": -0.1, "joint_angle_2_rad": 0.1},
            {"joint_angle_1_rad": 0.01},
        )

    def only_at_one(reading: float) -> float:
        if reading != 1.0:
            raise ValueError("impossible")
        return reading

    with pytest.raises(ValueError, match=r"impossible for any values around the readings"):
        uncertainty.propagate(only_at_one, {"reading": 1.0}, {"reading": 0.1})


def test_gauge_uncertainty_agrees_with_simulated_readings() -> None:
    """UNC-01 to UNC-03 (M): rounding to the step plus an even error, seed 9. rel 0.02."""
    chance = np.random.default_rng(9)
    true = chance.uniform(1.0, 2.0, 40000)
    read = np.round((true + chance.uniform(-0.02, 0.02, 40000)) / 0.01) * 0.01
    simulated = float(np.sqrt(np.mean((read - true) ** 2)))
    assert uncertainty.gauge_uncertainty(0.01, 0.02) == pytest.approx(simulated, rel=0.02)


def test_acceptance_zone_shrinks_by_the_guard_band_on_both_sides() -> None:
    """ISO 14253-1: a stack by caliper proves nothing about 0 to 0.05 mm (UNC-08, D). abs 1e-12."""
    low, high = uncertainty.acceptance_zone(0.0, 0.05, 0.01)
    assert (low, high) == pytest.approx((0.01, 0.04), abs=1e-12)
    assert uncertainty.acceptance_zone_width(0.0, 5e-5, 4.761e-5) < 0.0


def test_impossible_limits_are_refused() -> None:
    """Limits out of order, and widths below zero."""
    with pytest.raises(ValueError, match=r"the lower limit must not exceed the upper one"):
        uncertainty.acceptance_zone(1.0, 0.5, 0.01)
    with pytest.raises(ValueError, match=r"the gauge's step is -0.01"):
        uncertainty.gauge_uncertainty(-0.01, 0.02)
    with pytest.raises(ValueError, match=r"the standard uncertainty is -0.1"):
        uncertainty.expanded_uncertainty(-0.1)
