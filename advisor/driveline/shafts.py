"""The propeller-shaft tube: its first bending speed and what it stores when it spins."""

from __future__ import annotations

import math
from typing import Final, NamedTuple

from advisor.driveline import _limits


class Material(NamedTuple):
    """Stiffness and weight of a tube's material."""

    modulus_pa: float
    density_kg_per_m3: float


MATERIALS: Final = {
    "aluminium": Material(69e9, 2700.0),
    "steel": Material(207e9, 7850.0),
}
"""Usual values; handbook section 5 (D)."""

DERATING: Final = 0.70
"""Share of the critical speed that road vehicles keep below; a data sheet, handbook section 5 (R).
Other texts say 0.65 or 0.75."""


def tube_critical_speed(
    length_m: float, outside_diameter_m: float, wall_m: float, material: Material
) -> float:
    """Turns a second (Hz) at which a plain tube on rigid pins whirls in its first bending shape.

    `length_m` from joint centre to joint centre, above 0; a wall as thick as the radius makes a
    solid bar. Real supports are softer, so this is an upper bound. Raises ValueError for impossible
    sizes.
    Source: (pi / L)^2 sqrt(E I / (rho A)) / (2 pi), I / A = (D^2 + d^2) / 16; Euler-Bernoulli,
    handbook section 5 (D).
    """
    length = _limits.length("the shaft length", length_m)
    spread = _diameters_squared(outside_diameter_m, wall_m)
    return math.pi / (8.0 * length**2) * _stiffness(material) * math.sqrt(spread)


def critical_speed(
    length_m: float, outside_diameter_m: float, wall_m: float, material: str
) -> float:
    """As `tube_critical_speed`, with the material named: "steel" or "aluminium".

    Source: handbook section 5, CS-04 and CS-05 (D).
    """
    return tube_critical_speed(length_m, outside_diameter_m, wall_m, _named(material))


def longest_tube(
    top_frequency_hz: float,
    outside_diameter_m: float,
    wall_m: float,
    material: str,
    derating: float = DERATING,
) -> float:
    """Greatest length in m that keeps a tube's top speed at `derating` of its critical speed.

    `top_frequency_hz` above 0, `derating` above 0 and at most 1. Raises ValueError for impossible
    values.
    Source: the critical speed solved for L; handbook section 5, CS-10 (D; derating R).
    """
    top = _limits.turning("the top shaft frequency", top_frequency_hz)
    spread = _diameters_squared(outside_diameter_m, wall_m)
    reach = math.pi / 8.0 * _stiffness(_named(material)) * math.sqrt(spread)
    return math.sqrt(reach * _derating(derating) / top)


def advised_top_speed(critical_frequency_hz: float, derating: float = DERATING) -> float:
    """Turns a second (Hz) that a shaft should not exceed.

    `critical_frequency_hz` above 0, `derating` above 0 and at most 1: advice of texts that differ
    between 0.65 and 0.75. Raises ValueError for others.
    Source: handbook section 5, CS-08 (R).
    """
    critical = _limits.turning("the critical speed", critical_frequency_hz)
    return critical * _derating(derating)


def half_critical_speed(critical_frequency_hz: float) -> float:
    """Turns a second (Hz) at which the joints' 2x shaft meets the first bending shape.

    `critical_frequency_hz` above 0. Raises ValueError for another.
    Source: handbook section 5, CS-09 (M, P).
    """
    return _limits.turning("the critical speed", critical_frequency_hz) / 2.0


def share_of_critical(shaft_frequency_hz: float, critical_frequency_hz: float) -> float:
    """Shaft speed over critical speed; 1.0 means that the shaft runs at it.

    Shaft frequency 0 or more, critical above 0. Raises ValueError for others.
    Source: handbook section 5 (D).
    """
    critical = _limits.turning("the critical speed", critical_frequency_hz)
    return _limits.frequency("the shaft frequency", shaft_frequency_hz) / critical


def stored_energy(mass_kg: float, radius_of_gyration_m: float, shaft_frequency_hz: float) -> float:
    """Energy in J of a spinning shaft: what must come to rest before a hand goes near it.

    Mass and radius of gyration above 0; that of a thin tube is its radius. Frequency 0 or more.
    Raises ValueError for others.
    Source: m k^2 w^2 / 2; handbook section 15, SAF-02 (D).
    """
    mass = _limits.mass("the mass", mass_kg)
    radius = _limits.length("the radius of gyration", radius_of_gyration_m)
    return mass * (radius * _limits.angular_speed(shaft_frequency_hz)) ** 2 / 2.0


def _named(material: str) -> Material:
    if material not in MATERIALS:
        known = " or ".join(f'"{name}"' for name in MATERIALS)
        raise ValueError(f'the tube material is "{material}"; it must be {known}')
    return MATERIALS[material]


def _stiffness(material: Material) -> float:
    return math.sqrt(material.modulus_pa / material.density_kg_per_m3)


def _diameters_squared(outside_diameter_m: float, wall_m: float) -> float:
    outside = _limits.length("the outside diameter", outside_diameter_m)
    wall = _limits.length("the tube wall", wall_m)
    if wall > outside / 2.0:
        raise ValueError(
            f"the tube wall is {wall * 1e3:g} mm; it must not be thicker than the radius, "
            f"{outside * 500.0:g} mm"
        )
    return outside**2 + (outside - 2.0 * wall) ** 2


def _derating(derating: float) -> float:
    if not 0.0 < derating <= 1.0:
        raise ValueError(f"the derating is {derating:g}; it must be above 0 and at most 1")
    return derating
