"""Room for the rings, from sizes or from the old rings, and the rings to get."""

from __future__ import annotations

import math
from statistics import NormalDist
from typing import Any

import pytest

from advisor.driveline import fit
from advisor.driveline.ringroom import (
    RingRoom,
    room_from_old_rings,
    room_from_sizes,
    wanted_rings,
)


def test_room_from_sizes_is_span_less_width() -> None:
    """Sizes of EP-01 (handbook section 8, P, D); u of two calipers (section 12, D)."""
    room = room_from_sizes(80e-3, 76.95e-3, u_span_m=0.012e-3, u_width_m=0.012e-3)
    assert room.room_m == pytest.approx(3.05e-3, abs=1e-12)
    assert room.u_m == pytest.approx(math.sqrt(2) * 0.012e-3, rel=1e-12)


def test_old_rings_and_old_play_give_the_same_end_play_as_the_change_alone() -> None:
    """Against `end_play_change` (EP-05, D): the old play plus what the new parts add."""
    room = room_from_old_rings(1.50e-3, 1.52e-3, 0.09e-3, u_ring_m=1e-6, u_end_play_m=2e-6)
    new_play_m = room.room_m - 1.53e-3 - 1.54e-3
    change_m = fit.end_play_change(1.50e-3, 1.52e-3, 1.53e-3, 1.54e-3)
    assert new_play_m == pytest.approx(0.09e-3 + change_m, abs=1e-12)
    assert room.u_m == pytest.approx(math.sqrt(6) * 1e-6, rel=1e-12)


def test_readings_are_exact_unless_told_otherwise() -> None:
    assert room_from_sizes(80e-3, 76.95e-3).u_m == 0.0
    widths = {"old_width_m": 76.95e-3, "new_width_m": 76.93e-3}
    assert room_from_old_rings(1.5e-3, 1.5e-3, 0.05e-3, **widths).u_m == 0.0


def test_new_cross_counts_by_the_difference_of_widths() -> None:
    room = room_from_old_rings(
        1.50e-3,
        1.50e-3,
        0.05e-3,
        old_width_m=76.95e-3,
        new_width_m=76.93e-3,
        u_width_m=1e-6,
    )
    assert room.room_m == pytest.approx(3.07e-3, abs=1e-12)
    assert room.u_m == pytest.approx(math.sqrt(2) * 1e-6, rel=1e-12)


def test_equal_rings_to_get_leave_the_middle_of_the_limits() -> None:
    """EP-04: 1.5125 mm (handbook section 8, D; abs 1e-12 m)."""
    wanted = wanted_rings(RingRoom(3.05e-3, 2e-6), 50e-6, 0.95)
    assert wanted.thickness_m == pytest.approx(1.5125e-3, abs=1e-12)
    assert wanted.thickness_m == pytest.approx(fit.equal_ring_thickness(80e-3, 76.95e-3), abs=1e-12)


def test_range_of_rings_ends_where_the_probability_does() -> None:
    """Against the library's normal law; abs 2e-4, as the range ends a nanometre early."""
    room = RingRoom(3.05e-3, 8e-6)
    wanted = wanted_rings(room, 50e-6, 0.9, u_ring_m=2e-6)
    u = math.sqrt(8e-6**2 + 2 * 2e-6**2)
    for thickness_m in (wanted.thinnest_m, wanted.thickest_m):
        assert thickness_m is not None
        law = NormalDist(room.room_m - 2 * thickness_m, u)
        reached = law.cdf(50e-6) - law.cdf(0.0)
        assert reached == pytest.approx(0.9, abs=2e-4)
        assert reached >= 0.9


@pytest.mark.parametrize("probability", [0.05, 0.5, 0.9, 0.999])
def test_largest_uncertainty_is_half_the_limits_over_the_two_sided_quantile(
    probability: float,
) -> None:
    wanted = wanted_rings(RingRoom(3.05e-3), 50e-6, probability)
    quantile = NormalDist().inv_cdf((1.0 + probability) / 2.0)
    assert wanted.largest_u_m == pytest.approx(25e-6 / quantile, rel=1e-9)


def test_exact_sizes_allow_all_rings_between_the_limits() -> None:
    wanted = wanted_rings(RingRoom(3.05e-3), 50e-6, 0.9)
    assert wanted.thinnest_m == pytest.approx(1.5e-3, abs=2e-9)
    assert wanted.thickest_m == pytest.approx(1.525e-3, abs=2e-9)
    assert 3.05e-3 - 2 * (wanted.thickest_m or 0.0) > 0.0


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"old_end_play_m": 0.0}, "may hide a preload"),
        ({"old_width_m": 77e-3}, "the new width is missing"),
        ({"new_width_m": 77e-3}, "the old width is missing"),
        ({"old_ring_1_m": -1e-3}, "the thickness of old ring 1 is -1 mm"),
    ],
)
def test_old_rings_that_tell_nothing_are_refused(change: dict[str, Any], sentence: str) -> None:
    given = {"old_ring_1_m": 1.5e-3, "old_ring_2_m": 1.5e-3, "old_end_play_m": 0.1e-3}
    with pytest.raises(ValueError, match=sentence):
        room_from_old_rings(**(given | change))


def test_impossible_rooms_and_wishes_are_refused() -> None:
    with pytest.raises(ValueError, match="no room for rings: the span is 70 mm"):
        room_from_sizes(70e-3, 77e-3)
    with pytest.raises(ValueError, match="no room for rings: the span is 77 mm"):
        room_from_sizes(77e-3, 77e-3)
    with pytest.raises(ValueError, match=r"the room for the rings is -3 mm"):
        RingRoom(-3e-3)
    with pytest.raises(ValueError, match=r"the uncertainty of the room for the rings is -0\.01 mm"):
        RingRoom(3e-3, -0.01e-3)
    with pytest.raises(ValueError, match="the probability is 0; it must be above 0 and below 1"):
        wanted_rings(RingRoom(3e-3), 50e-6, 0.0)
    with pytest.raises(ValueError, match="the probability is 1; it must be above 0 and below 1"):
        wanted_rings(RingRoom(3e-3), 50e-6, 1.0)
    with pytest.raises(ValueError, match=r"no room for rings: there are 0\.02 mm"):
        wanted_rings(RingRoom(0.02e-3), 50e-6, 0.5)
