"""Critical speed, held against a beam of finite elements; refusals of impossible tubes."""

from __future__ import annotations

import math

import numpy as np
import pytest

from advisor.driveline import shafts


def _beam_frequency(
    length: float, outside: float, inside: float, material: shafts.Material
) -> float:
    """First bending frequency in Hz of a pinned beam of 40 two-node elements (Euler-Bernoulli)."""
    count = 40
    step = length / count
    stiffness = material.modulus_pa * math.pi / 64.0 * (outside**4 - inside**4)
    mass = material.density_kg_per_m3 * math.pi / 4.0 * (outside**2 - inside**2)
    k = np.array(
        [
            [12, 6 * step, -12, 6 * step],
            [6 * step, 4 * step**2, -6 * step, 2 * step**2],
            [-12, -6 * step, 12, -6 * step],
            [6 * step, 2 * step**2, -6 * step, 4 * step**2],
        ]
    ) * (stiffness / step**3)
    m = np.array(
        [
            [156, 22 * step, 54, -13 * step],
            [22 * step, 4 * step**2, 13 * step, -3 * step**2],
            [54, 13 * step, 156, -22 * step],
            [-13 * step, -3 * step**2, -22 * step, 4 * step**2],
        ]
    ) * (mass * step / 420.0)
    size = 2 * (count + 1)
    whole_k, whole_m = np.zeros((size, size)), np.zeros((size, size))
    for start in range(0, 2 * count, 2):
        whole_k[start : start + 4, start : start + 4] += k
        whole_m[start : start + 4, start : start + 4] += m
    free = [i for i in range(size) if i not in (0, size - 2)]
    root = np.linalg.inv(np.linalg.cholesky(whole_m[np.ix_(free, free)]))
    squares = np.linalg.eigvalsh(root @ whole_k[np.ix_(free, free)] @ root.T)
    return float(math.sqrt(squares[0]) / (2.0 * math.pi))


@pytest.mark.parametrize(
    ("material", "outside", "inside", "length"),
    [
        ("steel", 0.0889, 0.0847, 1.6),
        ("aluminium", 0.1016, 0.0952, 1.6),
        ("steel", 0.0762, 0.06985, 1.2192),
    ],
)
def test_critical_speed_agrees_with_finite_elements(
    material: str, outside: float, inside: float, length: float
) -> None:
    """CS-04 to CS-06 (D) by 40 beam elements. rel 1e-5."""
    beam = _beam_frequency(length, outside, inside, shafts.MATERIALS[material])
    ours = shafts.critical_speed(length, outside, (outside - inside) / 2.0, material)
    assert ours == pytest.approx(beam, rel=1e-5)


def test_longest_tube_runs_at_its_derated_critical_speed() -> None:
    """There and back. rel 1e-12."""
    length = shafts.longest_tube(75.0, 0.0889, 0.0021, "steel")
    critical = shafts.critical_speed(length, 0.0889, 0.0021, "steel")
    assert shafts.advised_top_speed(critical) == pytest.approx(75.0, rel=1e-12)
    assert shafts.share_of_critical(75.0, critical) == pytest.approx(0.70, rel=1e-12)


def test_halving_the_length_makes_the_critical_speed_four_times_as_high() -> None:
    """The square law. rel 1e-12."""
    whole = shafts.critical_speed(1.6, 0.09, 0.002, "steel")
    assert shafts.critical_speed(0.8, 0.09, 0.002, "steel") == pytest.approx(4 * whole, rel=1e-12)


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        ((0.0, 0.09, 0.002, "steel"), "the shaft length is 0 mm"),
        ((1.6, -0.09, 0.002, "steel"), "the outside diameter is -90 mm"),
        ((1.6, 0.09, 0.0, "steel"), "the tube wall is 0 mm"),
        ((1.6, 0.09, 0.046, "steel"), "the tube wall is 46 mm; .* than the radius, 45 mm"),
        ((1.6, 0.09, 0.002, "wood"), 'the tube material is "wood"; .* "aluminium" or "steel"'),
        ((math.inf, 0.09, 0.002, "steel"), "finite"),
    ],
)
def test_impossible_tube_is_refused(arguments: tuple[float, float, float, str], told: str) -> None:
    """What was read and what was expected, in mm."""
    with pytest.raises(ValueError, match=told):
        shafts.critical_speed(*arguments)


def test_a_derating_of_one_takes_nothing_off() -> None:
    assert shafts.advised_top_speed(100.0, 1.0) == pytest.approx(100.0, rel=1e-12)


@pytest.mark.parametrize("derating", [0.0, -0.5, 1.01])
def test_impossible_derating_is_refused(derating: float) -> None:
    """A share of the critical speed is above 0 and at most 1."""
    with pytest.raises(ValueError, match=r"the derating is"):
        shafts.advised_top_speed(100.0, derating)


def test_share_of_a_critical_speed_of_zero_is_refused() -> None:
    """A division by zero must not reach a technician."""
    with pytest.raises(ValueError, match=r"the critical speed is 0 Hz"):
        shafts.share_of_critical(40.0, 0.0)
