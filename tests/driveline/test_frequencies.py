"""From a measured frequency to its order, and experiments that part two orders."""

from __future__ import annotations

import math
from statistics import NormalDist

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.driveline.frequencies import (
    Experiment,
    Turning,
    likely_orders,
    separating_experiments,
)

SHAFT_HZ = 2541.1 / 60.0
DIRECT_DRIVE = Turning(wheel_hz=SHAFT_HZ / 3.73, shaft_hz=SHAFT_HZ, engine_hz=SHAFT_HZ, cylinders=4)


def experiments_of(
    found: tuple[Experiment, ...],
) -> dict[str, Experiment]:
    return {experiment.name: experiment for experiment in found}


def test_published_example_is_twice_the_wheel() -> None:
    """ROT-12: 14 Hz, wheel 7, shaft 22 Hz gives 2x wheel (handbook section 9, F; exact)."""
    found = likely_orders(14.0, Turning(7.0, 22.0).orders())
    assert found[0].order == "2x-wheel"
    assert found[0].probability > 0.95


def test_nearest_order_of_an_eight_cylinder_vehicle() -> None:
    """CAU-02: 42.4 Hz is 1x shaft (handbook section 16, D; exact)."""
    found = likely_orders(42.4, Turning(11.355, 42.352, 29.647, 8).orders())
    assert found[0].order == "1x-shaft"
    assert found[0].frequency_hz == pytest.approx(42.352)
    assert found[0].probability > 0.95


def test_coinciding_orders_share_the_probability() -> None:
    """CAU-03: four cylinders in direct drive (handbook section 16, D)."""
    found = {share.order: share for share in likely_orders(84.7, DIRECT_DRIVE.orders())}
    assert found["2x-shaft"].probability == pytest.approx(found["firing-order"].probability)
    assert found["2x-shaft"].probability == pytest.approx(0.5, abs=0.01)


def test_frequency_far_from_all_orders_is_something_else() -> None:
    found = likely_orders(61.0, Turning(7.0, 22.0).orders())
    assert found[0].order == "none-of-these"
    assert found[0].frequency_hz is None
    assert found[0].probability > 0.99


def test_probability_follows_the_width_of_both_limits() -> None:
    """One order at 20 Hz, 21 Hz read, step 0.5 Hz, limit 3 %: u from both (D; rel 1e-9).

    Something else: equally likely in each of seven octaves.
    """
    density = NormalDist(20.0, math.sqrt(0.5**2 / 12.0 + 0.6**2 / 3.0)).pdf(21.0)
    other = 1.0 / (21.0 * math.log(2.0**7))
    found = {share.order: share for share in likely_orders(21.0, {"shaft": 20.0})}
    assert found["shaft"].probability == pytest.approx(density / (density + other), rel=1e-9)


def test_an_order_of_less_than_one_turn_a_second_is_no_rest() -> None:
    assert likely_orders(0.6, {"shaft": 0.6})[0].order == "shaft"


def test_orders_at_rest_are_left_out() -> None:
    found = likely_orders(25.0, Turning(0.0, 0.0, 25.0).orders())
    assert {share.order for share in found} == {"half-engine", "1x-engine", "none-of-these"}


@given(measured=st.floats(1.0, 300.0), wheel=st.floats(1.0, 20.0), ratio=st.floats(2.0, 5.0))
def test_probabilities_add_up_to_one_and_fall(measured: float, wheel: float, ratio: float) -> None:
    found = likely_orders(measured, Turning(wheel, wheel * ratio).orders())
    shares = [share.probability for share in found]
    assert sum(shares) == pytest.approx(1.0, abs=1e-12)
    assert shares == sorted(shares, reverse=True)


def test_gear_change_parts_shaft_from_firing() -> None:
    """CAU-03: 84.703 and 59.292 Hz in the 0.70 gear (handbook section 16, D; abs 0.01 Hz)."""
    found = experiments_of(
        separating_experiments("2x-shaft", "firing-order", DIRECT_DRIVE, other_gear_ratio=0.70)
    )
    change = found["gear-change"]
    assert (change.first_hz, change.second_hz) == pytest.approx((84.703, 59.292), abs=0.01)
    assert change.separates
    assert not found["longer-record"].separates


def test_cheapest_experiment_that_separates_comes_first() -> None:
    found = separating_experiments(
        "2x-shaft",
        "firing-order",
        DIRECT_DRIVE,
        other_gear_ratio=0.70,
        idle_hz=12.0,
        minutes={
            "engine-at-standstill": 9.0,
            "gear-change": 6.0,
            "neutral-coast": 2.0,
            "longer-record": 1.0,
        },
    )
    assert [experiment.name for experiment in found] == [
        "neutral-coast",
        "gear-change",
        "engine-at-standstill",
        "longer-record",
    ]
    assert found[0].second_hz == pytest.approx(24.0)


def test_standstill_leaves_the_engine_alone() -> None:
    found = separating_experiments("1x-shaft", "1x-engine", DIRECT_DRIVE)
    assert found[0].name == "engine-at-standstill"
    assert (found[0].first_hz, found[0].second_hz) == pytest.approx((0.0, SHAFT_HZ))


@pytest.mark.parametrize("orders", [("1x-shaft", "1x-engine"), ("1x-engine", "1x-shaft")])
def test_what_is_at_rest_is_told_from_what_turns_however_slowly(orders: tuple[str, str]) -> None:
    """The one line is gone, so that no two have to be resolved."""
    found = experiments_of(separating_experiments(*orders, Turning(0.1, 0.3, 0.3)))
    assert found["engine-at-standstill"].separates


def test_without_the_shaft_another_gear_is_no_experiment() -> None:
    """The engine's speed in another gear is known from the shaft's."""
    turning = Turning(10.0, None, 24.0)
    found = experiments_of(
        separating_experiments("3x-wheel", "1x-engine", turning, other_gear_ratio=0.7)
    )
    assert set(found) == {"engine-at-standstill", "longer-record"}


def test_no_gear_parts_what_turns_with_the_wheels() -> None:
    """Axle ratio 3.0: 3x wheel is 1x shaft in every gear (handbook section 9, P)."""
    turning = Turning(10.0, 30.0, 30.0, 4)
    found = separating_experiments(
        "3x-wheel", "1x-shaft", turning, other_gear_ratio=0.7, idle_hz=12.0
    )
    assert not any(experiment.separates for experiment in found)


def test_longer_record_parts_neighbours_when_speeds_are_known_well() -> None:
    """Lines 0.4 Hz apart need 0.2 Hz, 5 s (ROT-14, D; abs 1e-9 s)."""
    turning = Turning(10.0, 30.4)
    poor = experiments_of(separating_experiments("3x-wheel", "1x-shaft", turning))
    assert not poor["longer-record"].separates
    good = experiments_of(separating_experiments("3x-wheel", "1x-shaft", turning, tolerance=0.002))
    assert good["longer-record"].separates
    assert good["longer-record"].record_s == pytest.approx(5.0, abs=1e-9)


@pytest.mark.parametrize(("idle_hz", "separates"), [(30.5, False), (30.51, True)])
def test_difference_must_be_more_than_the_resolution(idle_hz: float, separates: bool) -> None:
    """Lines 0.5 Hz apart are not resolved by 0.5 Hz."""
    turning = Turning(10.0, 30.0, 30.0)
    found = experiments_of(
        separating_experiments("3x-wheel", "1x-engine", turning, idle_hz=idle_hz, tolerance=0.0)
    )
    assert found["neutral-coast"].separates is separates


@pytest.mark.parametrize(("idle_hz", "separates"), [(31.0, False), (31.35, True)])
def test_difference_must_be_more_than_two_standard_uncertainties(
    idle_hz: float, separates: bool
) -> None:
    """Handbook section 12, k = 2 (M): at 2 % each is known to 0.38 Hz, so 1.08 Hz part them."""
    turning = Turning(10.0, 30.0, 30.0)
    found = experiments_of(
        separating_experiments("3x-wheel", "1x-engine", turning, idle_hz=idle_hz, tolerance=0.02)
    )
    assert found["neutral-coast"].separates is separates


def test_no_record_is_longer_than_a_road_speed_can_be_held() -> None:
    found = experiments_of(separating_experiments("3x-wheel", "1x-shaft", Turning(10.0, 30.02)))
    assert found["longer-record"].record_s == pytest.approx(20.0, abs=1e-9)


def test_difference_below_the_resolution_parts_nothing() -> None:
    """0.45 Hz is two standard uncertainties of the steps, yet less than the 0.5 Hz resolved."""
    found = experiments_of(
        separating_experiments(
            "3x-wheel",
            "1x-engine",
            Turning(10.0, 30.0, 30.0),
            other_gear_ratio=1.015,
            tolerance=0.0,
        )
    )
    assert found["gear-change"].second_hz == pytest.approx(30.45)
    assert not found["gear-change"].separates


def test_experiments_need_known_orders() -> None:
    with pytest.raises(ValueError, match='the order "firing-order" can\'t be worked out; known'):
        separating_experiments("1x-shaft", "firing-order", Turning(10.0, 40.0))
    with pytest.raises(ValueError, match="the measured frequency is 0 Hz"):
        likely_orders(0.0, {"1x-shaft": 20.0})
    with pytest.raises(ValueError, match='"1x-shaft" is -1 Hz'):
        likely_orders(10.0, {"1x-shaft": -1.0})
