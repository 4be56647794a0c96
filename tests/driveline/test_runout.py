"""Runout, held against an indicator trace and against made-up shafts and flanges."""

from __future__ import annotations

import cmath
import math

import numpy as np
import pytest

from advisor.driveline import runout


def test_runout_of_an_offset_circle_by_indicator_trace() -> None:
    """RUN-01 another way: radius seen by an indicator round one turn. rel 1e-4."""
    radius, offset = 0.045, 0.0004
    turn = np.linspace(0.0, 2.0 * np.pi, 2001)
    trace = offset * np.cos(turn) + np.sqrt(radius**2 - (offset * np.sin(turn)) ** 2)
    assert runout.runout_from_offset(offset) == pytest.approx(np.ptp(trace), rel=1e-4)
    assert runout.runout_from_offset(-offset) == runout.runout_from_offset(offset)


@pytest.mark.parametrize(("flange_at_deg", "flange_mm"), [(0, 0.3), (70, 0.2), (180, 0.6)])
def test_shares_are_found_again(flange_at_deg: float, flange_mm: float) -> None:
    """A shaft of 0.5 mm on a flange: the flange's part turns by 180 deg on the shaft. rel 1e-9."""
    shaft, flange = 0.5e-3, cmath.rect(flange_mm * 1e-3, math.radians(flange_at_deg))
    before, after = shaft + flange, shaft - flange
    turn = cmath.phase(after) - cmath.phase(before)
    readings = abs(before), abs(after), turn
    assert runout.shaft_share_of_runout(*readings) == pytest.approx(shaft, rel=1e-9)
    assert runout.flange_share_of_runout(*readings) == pytest.approx(abs(flange), rel=1e-9)


def test_high_spot_that_moves_to_the_other_side_belongs_to_the_flange() -> None:
    """Handbook section 7 (R): opposite place on the shaft means flange. abs 1e-12 m."""
    assert runout.shaft_share_of_runout(8e-4, 8e-4, math.pi) == pytest.approx(0.0, abs=1e-12)
    assert runout.flange_share_of_runout(8e-4, 8e-4, math.pi) == pytest.approx(8e-4, abs=1e-12)


def test_negative_reading_is_refused() -> None:
    """A total indicator reading is a span."""
    with pytest.raises(ValueError, match=r"the runout after is -0.2 mm"):
        runout.shaft_share_of_runout(8e-4, -2e-4, 0.0)
    with pytest.raises(ValueError, match=r"the offset is nan mm"):
        runout.runout_from_offset(math.nan)
