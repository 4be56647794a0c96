"""Two metals in contact: how far apart their potentials are, and whether a method accepts that."""

from __future__ import annotations

from typing import Final

from advisor.driveline import _limits

ANODIC_INDEX_V: Final = {
    "aluminium": -0.90,
    "steel": -0.85,
    "stainless": -0.50,
    "zinc": -1.20,
}
"""Aluminium 6000 series, plain steel, 18-8 stainless, hot-dip zinc; handbook section 11 (M)."""

ALLOWED_GAP_V: Final = {"harsh": 0.15, "normal": 0.25, "controlled": 0.50}
"""Anodic-index method: salt or outdoor, indoor, controlled air; handbook section 11 (F)."""


def potential_gap(first_v: float, second_v: float) -> float:
    """How far in V two potentials of one table are apart, 0 or more.

    Potentials of different tables must not be mixed. ValueError when one is no finite number.
    Source: handbook section 11, COR-01 to COR-05 (D).
    """
    return abs(
        _limits.finite("the first potential", first_v, "V")
        - _limits.finite("the second potential", second_v, "V")
    )


def within_anodic_limit(metal_1: str, metal_2: str, environment: str) -> bool:
    """Whether the anodic-index method accepts two metals in contact.

    Potential gives the direction of attack, not its rate. This method passes steel on aluminium
    everywhere, while others ask for a barrier between them in a corrosive setting. Raises
    ValueError for a metal or an environment that the tables don't have.
    Source: anodic-index method; handbook section 11 (F for the limits, M for the metals).
    """
    allowed = _looked_up("environment", environment, ALLOWED_GAP_V)
    first = _looked_up("metal", metal_1, ANODIC_INDEX_V)
    second = _looked_up("metal", metal_2, ANODIC_INDEX_V)
    # Rounded to a millivolt, so that a gap of just the limit isn't lost to binary fractions.
    return round(potential_gap(first, second), 3) <= allowed


def _looked_up(what: str, name: str, table: dict[str, float]) -> float:
    if name not in table:
        known = ", ".join(f'"{key}"' for key in table)
        raise ValueError(f'the {what} is "{name}"; expected one of {known}')
    return table[name]
