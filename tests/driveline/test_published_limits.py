"""The one table of published limits: complete, as printed, and of the right dimension."""

from __future__ import annotations

import math

import pytest

from advisor import units
from advisor.driveline.catalog import FUNCTIONS
from advisor.driveline.published_limits import (
    DIMENSION_OF,
    PUBLISHED_LIMITS,
    QUANTITIES_OF,
)

PRINTED: dict[str, tuple[str, set[tuple[float | None, float | None, str]]]] = {
    # quantity: unit, and (lower, upper, first letter of the mark), as the handbook prints it
    "torsional-acceleration": (
        "rad/s^2",
        {(None, 300, "M"), (None, 400, "F"), (None, 500, "M")},
    ),
    "inertia-acceleration": ("rad/s^2", {(None, 1000, "M")}),
    "residual-fluctuation": ("1", {(None, 0.0027, "F")}),
    "angle-difference": (
        "deg",
        {(None, 0.5, "F"), (None, 1, "F"), (None, 1, "R"), (None, 1.5, "F")},
    ),
    "largest-angle": (
        "deg",
        {(None, 0.5, "F"), (None, 1.5, "F"), (None, 3, "F"), (None, 6, "F"), (None, 10, "F")},
    ),
    "smallest-angle": ("deg", {(0.5, None, "F"), (1, None, "F")}),
    "tube-runout": (
        "mm",
        {
            *((None, upper, "F") for upper in (0.3, 0.4, 0.5, 0.6, 0.8, 1.0)),
            *((None, upper, "M") for upper in (0.13, 0.25, 0.38, 0.4, 0.5, 0.8, 1.0)),
            (None, 0.8, "R"),
        },
    ),
    "flange-runout": (
        "mm",
        {(None, 0.1, "R"), (None, 0.1, "F"), (None, 0.13, "F"), (None, 0.25, "F")},
    ),
    "end-play": (
        "mm",
        {(None, 0, "F"), (None, 0.02, "F"), (0, 0.05, "F"), (None, 0.05, "F"), (0, 0.05, "P")},
    ),
    "spline-play": ("mm", {(None, 0.18, "F"), (None, 0.3, "F")}),
    "turning-effort": ("N*m", {(0.29, 0.98, "F"), (0.3, 1.0, "F")}),
}


def _shown(si: float | None, unit: units.Unit) -> float | None:
    return None if si is None else round(si / unit.factor, 9)


@pytest.mark.parametrize("quantity", PRINTED)
def test_limits_are_those_that_the_handbook_prints(quantity: str) -> None:
    """Handbook sections 2.5, 7 and 8, with their marks; abs 1e-9 of the unit printed."""
    symbol, printed = PRINTED[quantity]
    unit = units.unit_named(symbol)
    found = {
        (_shown(one.lower, unit), _shown(one.upper, unit), one.mark[0])
        for one in PUBLISHED_LIMITS[quantity]
    }
    assert found == printed


def test_residual_angle_limit_is_the_angle_of_the_published_fluctuation() -> None:
    """KIN-05 (F): U of 0.0027 at 2.9765 deg. abs 0.001 deg."""
    (limit,) = PUBLISHED_LIMITS["residual-angle"]
    assert limit.upper is not None
    assert math.degrees(limit.upper) == pytest.approx(2.9765, abs=0.001)


def test_every_quantity_has_a_dimension_and_a_printed_value() -> None:
    assert set(PUBLISHED_LIMITS) == set(DIMENSION_OF) == {*PRINTED, "residual-angle"}
    assert set(DIMENSION_OF.values()) <= set(units.DIMENSIONS)


def test_every_limit_limits_something_and_says_whose_it_is() -> None:
    for limits in PUBLISHED_LIMITS.values():
        for one in limits:
            assert (one.lower, one.upper) != (None, None)
            assert one.whose
            assert one.mark[0] in "FRMDP"
        names = [(one.lower, one.upper, one.name) for one in limits]
        assert len(set(names)) == len(names)


def test_computations_are_held_against_limits_of_their_own_dimension() -> None:
    for name, quantities in QUANTITIES_OF.items():
        assert quantities
        for quantity in quantities:
            assert DIMENSION_OF[quantity] == FUNCTIONS[name].result
