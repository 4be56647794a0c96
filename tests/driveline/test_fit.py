"""Retaining rings and end play, held against a cross moved to its stops."""

from __future__ import annotations

import math

import pytest

from advisor.driveline import fit

MM = 1e-3


def test_offsets_are_those_of_a_cross_pushed_to_both_stops() -> None:
    """The cross' middle at each stop, from the groove walls inward. abs 1e-12 m."""
    span, width, ring_1, ring_2 = 80 * MM, 76.95 * MM, 1.46 * MM, 1.52 * MM
    at_ring_1 = ring_1 + width / 2.0 - span / 2.0
    at_ring_2 = span / 2.0 - ring_2 - width / 2.0
    play = fit.ring_stack_end_play(span, width, ring_1, ring_2)
    assert play == pytest.approx(at_ring_2 - at_ring_1, abs=1e-12)
    offset = fit.ring_offset(ring_1, ring_2)
    assert offset == pytest.approx((at_ring_1 + at_ring_2) / 2.0, abs=1e-12)
    farthest = max(abs(at_ring_1), abs(at_ring_2))
    assert fit.largest_offset(ring_1, ring_2, play) == pytest.approx(farthest, abs=1e-12)
    assert fit.ring_stack_runout(ring_1, ring_2, play) == pytest.approx(2 * farthest, abs=1e-12)


def test_thinner_rings_raise_end_play_and_runout_by_what_was_removed() -> None:
    """Handbook section 8 (D). abs 1e-12 m."""
    before = fit.ring_stack_end_play(80 * MM, 76.95 * MM, 1.52 * MM, 1.52 * MM)
    after = fit.ring_stack_end_play(80 * MM, 76.95 * MM, 1.50 * MM, 1.50 * MM)
    change = fit.end_play_change(1.52 * MM, 1.52 * MM, 1.50 * MM, 1.50 * MM)
    assert after - before == pytest.approx(change, abs=1e-12)
    runout_change = fit.ring_stack_runout(1.5 * MM, 1.5 * MM, after) - fit.ring_stack_runout(
        1.52 * MM, 1.52 * MM, before
    )
    assert runout_change == pytest.approx(change, abs=1e-12)


def test_preload_is_told_by_its_sign_and_leaves_only_the_rings_difference() -> None:
    """A stack too thick by 0.03 mm. abs 1e-12 m."""
    play = fit.ring_stack_end_play(80 * MM, 76.95 * MM, 1.54 * MM, 1.54 * MM)
    assert play == pytest.approx(-0.03 * MM, abs=1e-12)
    assert fit.largest_offset(1.50 * MM, 1.52 * MM, play) == pytest.approx(0.01 * MM, abs=1e-12)


def test_equal_rings_leave_the_target() -> None:
    """There and back, with the usual target of 0.025 mm. abs 1e-12 m."""
    ring = fit.equal_ring_thickness(80 * MM, 76.95 * MM)
    play = fit.ring_stack_end_play(80 * MM, 76.95 * MM, ring, ring)
    assert play == pytest.approx(0.025 * MM, abs=1e-12)


def test_wider_cross_takes_end_play_away() -> None:
    """Same rings, 0.02 mm more over the caps. abs 1e-12 m."""
    rings = (1.5 * MM,) * 4
    change = fit.end_play_change(*rings, old_width_m=76.95 * MM, new_width_m=76.97 * MM)
    assert change == pytest.approx(-0.02 * MM, abs=1e-12)


def test_one_width_without_the_other_is_refused() -> None:
    """Half a comparison is none."""
    with pytest.raises(ValueError, match=r"the new width is missing; give both widths or neither"):
        fit.end_play_change(*(1.5 * MM,) * 4, old_width_m=76.95 * MM)
    with pytest.raises(ValueError, match=r"the old width is missing"):
        fit.end_play_change(*(1.5 * MM,) * 4, new_width_m=76.95 * MM)


def test_impossible_sizes_are_refused_in_millimetres() -> None:
    """Each with what was read and what was expected."""
    with pytest.raises(ValueError, match=r"the thickness of ring 1 is -1.5 mm; it must be more"):
        fit.ring_stack_end_play(80 * MM, 76.95 * MM, -1.5 * MM, 1.5 * MM)
    with pytest.raises(ValueError, match=r"the thickness of ring 2 is 0 mm"):
        fit.ring_offset(1.5 * MM, 0.0)
    with pytest.raises(ValueError, match=r"the thickness of ring 2 is 0 mm"):
        fit.ring_stack_end_play(80 * MM, 76.95 * MM, 1.5 * MM, 0.0)
    for old, new in ((0.0, 1.5 * MM), (1.5 * MM, 0.0)):
        with pytest.raises(ValueError, match=r"the thickness of ring 1 is 0 mm"):
            fit.end_play_change(old, 1.5 * MM, new, 1.5 * MM)
        with pytest.raises(ValueError, match=r"the thickness of ring 2 is 0 mm"):
            fit.end_play_change(1.5 * MM, old, 1.5 * MM, new)
    with pytest.raises(ValueError, match=r"the span is nan mm"):
        fit.ring_stack_end_play(math.nan, 76.95 * MM, 1.5 * MM, 1.5 * MM)
    with pytest.raises(ValueError, match=r"no room for rings: the span is 76 mm, the width 76.95"):
        fit.equal_ring_thickness(76 * MM, 76.95 * MM)
    with pytest.raises(ValueError, match=r"the target end play is -0.01 mm"):
        fit.equal_ring_thickness(80 * MM, 76.95 * MM, -0.01 * MM)


def test_difference_keeps_its_sign() -> None:
    """First less second. abs 1e-15 m."""
    assert fit.difference(1.46 * MM, 1.52 * MM) == pytest.approx(-0.06 * MM, abs=1e-15)
    with pytest.raises(ValueError, match=r"the second length is inf mm"):
        fit.difference(1.0, math.inf)
