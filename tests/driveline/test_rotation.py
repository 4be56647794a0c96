"""Rotation from road to engine, and whose order a vibration follows."""

from __future__ import annotations

import math

import pytest

from advisor.driveline import rotation


def test_road_speed_undoes_wheel_frequency() -> None:
    """There and back. rel 1e-12."""
    wheel = rotation.wheel_frequency(29.0, 0.8028)
    assert rotation.road_speed(wheel, 0.8028) == pytest.approx(29.0, rel=1e-12)
    assert rotation.rolling_factor(0.8028, 29.0, wheel) == pytest.approx(0.97, rel=1e-12)


def test_usual_rolling_factor_lies_among_the_published_ones() -> None:
    """Handbook section 9 (F): 0.963, 0.969, 0.977 and 3.05 / pi = 0.971 (M)."""
    assert 0.963 <= rotation.ROLLING_FACTOR <= 0.977


@pytest.mark.parametrize(
    ("measured", "order"),
    [
        (11.4, "1x-wheel"),
        (22.6, "2x-wheel"),
        (34.0, "3x-wheel"),
        (42.0, "1x-shaft"),
        (84.9, "2x-shaft"),
        (14.8, "half-engine"),
        (29.5, "1x-engine"),
        (119.0, "firing-order"),
        (60.0, "none-of-these"),
    ],
)
def test_measured_frequency_finds_its_order(measured: float, order: str) -> None:
    """Around CAU-02: wheel 11.355, shaft 42.352, engine 29.647 Hz, eight cylinders."""
    assert rotation.matching_order(measured, 11.355, 42.352, 29.647, 8) == order


def test_an_order_fits_within_3_percent_or_the_resolution_whichever_is_more() -> None:
    """2x shaft is 84.704 Hz: 2.5 in 100 beside it fits, 3.5 do not."""
    assert rotation.matching_order(86.8, 11.355, 42.352) == "2x-shaft"
    assert rotation.matching_order(87.7, 11.355, 42.352) == "none-of-these"
    assert rotation.matching_order(12.9, 11.355, resolution_hz=2.0) == "1x-wheel"


def test_orders_without_their_inputs_are_left_out() -> None:
    """42 Hz is nobody's as long as the shaft is unknown."""
    assert rotation.matching_order(42.4, 11.355) == "none-of-these"
    assert list(rotation.order_frequencies(11.0)) == ["1x-wheel", "2x-wheel", "3x-wheel"]
    assert "firing-order" not in rotation.order_frequencies(11.0, 40.0, 40.0)


def test_orders_that_coincide_are_both_named() -> None:
    """In direct drive 1x shaft and 1x engine are one frequency (handbook section 9, F)."""
    with pytest.raises(
        ValueError,
        match=r"1x shaft \(42 Hz\) and 1x engine \(42 Hz\) fit 42.1 Hz equally well; measure again",
    ):
        rotation.matching_order(42.1, 11.3, 42.0, 42.0, 8)


def test_orders_about_as_far_from_what_was_measured_are_both_named() -> None:
    """0.5 Hz above 1x shaft and 0.55 Hz below 3x wheel."""
    with pytest.raises(ValueError, match=r"1x shaft .* and 3x wheel|3x wheel .* and 1x shaft"):
        rotation.matching_order(42.5, 14.35, 42.0, resolution_hz=0.4)


def test_three_orders_that_coincide_are_all_named() -> None:
    with pytest.raises(ValueError, match=r"1x shaft .*, 1x engine .* and firing order .* fit"):
        rotation.matching_order(42.0, 10.0, 42.0, 42.0, 2)


def test_finer_resolution_tells_neighbours_apart() -> None:
    """3x wheel and 1x shaft 0.8 Hz apart, with an axle ratio near 3 (handbook section 9, D)."""
    with pytest.raises(ValueError, match=r"1x shaft .* and 3x wheel"):
        rotation.matching_order(33.5, 11.0, 33.8, resolution_hz=1.0)
    assert rotation.matching_order(33.7, 11.0, 33.8, resolution_hz=0.1) == "1x-shaft"


def test_gear_change_parts_orders_that_coincide() -> None:
    """CAU-03 put to use: four cylinders in direct drive, then in a 0.70 gear."""
    shaft = 42.352
    with pytest.raises(ValueError, match=r"2x shaft .* and firing order"):
        rotation.matching_order(84.7, 11.355, shaft, shaft, 4)
    assert rotation.matching_order(84.7, 11.355, shaft, 0.7 * shaft, 4) == "2x-shaft"
    assert rotation.matching_order(59.3, 11.355, shaft, 0.7 * shaft, 4) == "firing-order"


def test_free_wheel_turns_twice_as_fast_as_shown() -> None:
    """SAF-01 (F), and the held wheel merely slowed. rel 1e-12."""
    assert rotation.free_wheel_speed(15.0) == pytest.approx(30.0, rel=1e-12)
    assert rotation.free_wheel_speed(15.0, 10.0) == pytest.approx(20.0, rel=1e-12)


def test_an_engine_of_one_cylinder_fires_every_other_turn() -> None:
    assert rotation.firing_frequency(30.0, 1) == 15.0


@pytest.mark.parametrize("cylinders", [0, -4, 4.5, math.nan])
def test_impossible_number_of_cylinders_is_refused(cylinders: float) -> None:
    """Whole numbers from 1."""
    with pytest.raises(ValueError, match=r"the number of cylinders is .* a whole number from 1"):
        rotation.firing_frequency(30.0, cylinders)


def test_impossible_values_are_refused_in_workshop_units() -> None:
    """Speeds, tyres, factors, ratios, frequencies."""
    with pytest.raises(ValueError, match=r"the tyre diameter is 0 mm"):
        rotation.wheel_frequency(20.0, 0.0)
    with pytest.raises(ValueError, match=r"the road speed is -36 km/h"):
        rotation.wheel_frequency(-10.0, 0.8)
    with pytest.raises(ValueError, match=r"the road speed is -36 km/h"):
        rotation.rolling_factor(0.8, -10.0, 4.0)
    with pytest.raises(ValueError, match=r"the road speed is -36 km/h"):
        rotation.frequency_at_speed(10.0, -10.0, 20.0)
    with pytest.raises(ValueError, match=r"the other road speed is -36 km/h"):
        rotation.frequency_at_speed(10.0, 20.0, -10.0)
    with pytest.raises(ValueError, match=r"the rolling factor is 1.2; it must be above 0"):
        rotation.rolling_circumference(0.8, 1.2)
    with pytest.raises(ValueError, match=r"the indicated speed is -36 km/h"):
        rotation.free_wheel_speed(-10.0)
    with pytest.raises(ValueError, match=r"the held wheel's speed is -36 km/h"):
        rotation.free_wheel_speed(10.0, -10.0)
    with pytest.raises(ValueError, match=r"the rolling factor is 0; it must be above 0"):
        rotation.rolling_circumference(0.8, 0.0)
    with pytest.raises(ValueError, match=r"the axle ratio is -2; it must be more than 0$"):
        rotation.shaft_frequency(10.0, -2.0)
    with pytest.raises(ValueError, match=r"the axle ratio is 0; it must be more than 0$"):
        rotation.shaft_frequency(11.0, 0.0)
    with pytest.raises(ValueError, match=r"the gear ratio is -1"):
        rotation.engine_frequency(40.0, -1.0)
    with pytest.raises(ValueError, match=r"the measured frequency is 0 Hz"):
        rotation.matching_order(0.0, 11.0)
    with pytest.raises(ValueError, match=r"the road speed is 0 km/h"):
        rotation.frequency_at_speed(40.0, 0.0, 20.0)
