"""The best wedge and shims, against handbook values, moved joints and plain trying."""

from __future__ import annotations

import math
import random
from itertools import product

import pytest

from advisor.driveline.angles import joint_angle
from advisor.driveline.phasing import residual_angle, residual_angle_two_piece
from advisor.driveline.shims import (
    Adjustment,
    LoadState,
    best_shims,
    mount_shim_effects,
    support_shim_effects,
    wedge_effects,
)


def degrees(*values: float) -> tuple[float, ...]:
    return tuple(math.radians(value) for value in values)


def both_ways(*sizes_deg: float) -> tuple[float, ...]:
    """Steps in rad of wedges, which can be put in either way round."""
    return degrees(*(sign * size for size in sizes_deg for sign in (1, -1)))


def at_ride_height(*slopes_deg: float) -> LoadState:
    return LoadState("at ride height", degrees(*slopes_deg))


def wedge(*sizes_deg: float, nose_m: float = 0.0) -> Adjustment:
    return Adjustment("wedge under the axle", both_ways(*sizes_deg), wedge_effects(nose_m, 1.3))


@pytest.mark.parametrize(
    ("slopes_deg", "crossed", "expected_deg", "tolerance_deg"),
    [
        ((0, 5, 1), (False,), 3.0, 1e-9),
        ((0, 3, -1), (True,), 5.0, 1e-9),
        ((0, 2, 6, 9), (False, False), 1.73205, 1e-4),
        ((0, 1, 3, 5.23607), (True, False), 0.0, 0.02),
    ],
    ids=["DL-01", "DL-03", "DL-05", "DL-07"],
)
def test_residual_angle_without_parts_is_the_handbook_one(
    slopes_deg: tuple[float, ...],
    crossed: tuple[bool, ...],
    expected_deg: float,
    tolerance_deg: float,
) -> None:
    """Handbook section 2.2 (D; signs M), tolerances of the entries.

    DL-07 prints the third angle to 1e-5 deg; the root of what is left of its square is 0.01 deg.
    """
    found = best_shims([at_ride_height(*slopes_deg)], [], crossed)
    assert math.degrees(found.worst_residual_before_rad) == pytest.approx(
        expected_deg, abs=tolerance_deg
    )
    assert found.steps == ()
    assert found.worst_residual_rad == found.worst_residual_before_rad


def test_one_degree_of_wedge_cures_joints_of_five_and_four_degrees() -> None:
    """DL-01 and its cure: nose down by 1 deg makes both joints 5 deg; abs 1e-6 deg."""
    found = best_shims([at_ride_height(0, 5, 1)], [wedge(0.5, 1, 2)], greatest_rad=math.radians(6))
    assert found.steps == pytest.approx(degrees(1.0))
    assert math.degrees(found.worst_residual_rad) == pytest.approx(0.0, abs=1e-5)
    assert [math.degrees(a) for a in found.loads[0].joint_angles_rad] == pytest.approx([5, 5])


def random_loads(draw: random.Random, members: int) -> list[LoadState]:
    return [
        LoadState(
            f"load {number}",
            degrees(*(draw.uniform(-5, 0) for _ in range(members))),
            degrees(*(draw.uniform(-1, 1) for _ in range(members))) if draw.random() < 0.5 else (),
        )
        for number in range(draw.randint(1, 3))
    ]


def test_one_piece_choice_is_the_best_of_all_ways() -> None:
    """300 vehicles, residual and joint angles by the public functions; abs 1e-4 deg."""
    draw = random.Random(21)
    fitting = 0
    for _ in range(300):
        loads = random_loads(draw, 3)
        wedges = both_ways(1, 2, 3)
        plates = (0.003, 0.006)
        crossed = draw.random() < 0.2
        nose = wedge_effects(0.3, 1.3)
        tail = mount_shim_effects(1.0, 1.4, 1.3)
        ranked = []
        for turn, height in product((0.0, *wedges), (0.0, *plates)):
            slopes = [
                [
                    s + turn * n + height * t
                    for s, n, t in zip(load.slopes_rad, nose, tail, strict=True)
                ]
                for load in loads
            ]
            bends, residuals = [], []
            for load, s in zip(loads, slopes, strict=True):
                h = load.headings_rad or (0.0, 0.0, 0.0)
                bends += [joint_angle(s[0], s[1], h[0], h[1]), joint_angle(s[1], s[2], h[1], h[2])]
                residuals.append(
                    residual_angle(
                        *s,
                        heading_1_rad=h[0],
                        heading_2_rad=h[1],
                        heading_3_rad=h[2],
                        crossed=crossed,
                    )
                )
            over = max(0.0, math.radians(0.5) - min(bends), max(bends) - math.radians(3.0))
            ranked.append((round(math.degrees(over), 4), math.degrees(max(residuals))))
        found = best_shims(
            loads,
            [Adjustment("wedge", wedges, nose), Adjustment("plate", plates, tail)],
            (crossed,),
        )
        over, residual = min(ranked)
        assert found.joints_allowed == (over == 0.0)
        assert math.degrees(found.worst_residual_rad) == pytest.approx(residual, abs=1.1e-4)
        fitting += found.joints_allowed
    assert 50 < fitting < 250


def test_two_piece_choice_is_the_best_of_all_ways() -> None:
    """150 vehicles with a support shim and a wedge; abs 1e-4 deg."""
    draw = random.Random(22)
    for _ in range(150):
        loads = random_loads(draw, 4)
        heights = (-0.006, -0.003, 0.003, 0.006)
        turns = both_ways(1, 2)
        raised, nose = support_shim_effects(0.9, 1.0, 1.2), wedge_effects(0.3, 1.2, pieces=2)
        crossed = (draw.random() < 0.3, draw.random() < 0.3)
        worst = []
        for height, turn in product((0.0, *heights), (0.0, *turns)):
            residuals = []
            for load in loads:
                s = [
                    slope + height * r + turn * n
                    for slope, r, n in zip(load.slopes_rad, raised, nose, strict=True)
                ]
                h = load.headings_rad or (0.0,) * 4
                residuals.append(
                    residual_angle_two_piece(
                        *s,
                        heading_1_rad=h[0],
                        heading_2_rad=h[1],
                        heading_3_rad=h[2],
                        heading_4_rad=h[3],
                        first_crossed=crossed[0],
                        second_crossed=crossed[1],
                    )
                )
            worst.append(math.degrees(max(residuals)))
        found = best_shims(
            loads,
            [Adjustment("support", heights, raised), Adjustment("wedge", turns, nose)],
            crossed,
            smallest_rad=0.0,
            greatest_rad=math.radians(60),
        )
        assert math.degrees(found.worst_residual_rad) == pytest.approx(min(worst), abs=1.1e-4)


def test_wedge_moves_the_rear_joint_too() -> None:
    """Against joint centres moved in the plane by 2 deg; small angles, abs 0.01 deg (D)."""
    nose_m, shaft_m = 0.35, 1.3
    slope_shaft, slope_axle, turn = degrees(-6.0, -3.0, 2.0)
    centre = (nose_m * math.cos(slope_axle), nose_m * math.sin(slope_axle))
    front = (-shaft_m * math.cos(slope_shaft), -shaft_m * math.sin(slope_shaft))
    turned = slope_axle - turn
    joint = (
        centre[0] - nose_m * math.cos(turned),
        centre[1] - nose_m * math.sin(turned),
    )
    new_slope = math.atan2(joint[1] - front[1], joint[0] - front[0])
    effects = wedge_effects(nose_m, shaft_m)
    assert math.degrees(slope_shaft + turn * effects[1]) == pytest.approx(
        math.degrees(new_slope), abs=0.01
    )
    assert effects[2] == -1.0


def test_shim_under_the_mount_lifts_the_front_joint() -> None:
    """8 mm under a mount 1 m behind, joint at 1.4 m: it rises by 11.2 mm (D; abs 1e-12)."""
    gearbox, shaft, axle = (0.008 * effect for effect in mount_shim_effects(1.0, 1.4, 1.3))
    assert gearbox == pytest.approx(0.008, abs=1e-12)
    assert shaft == pytest.approx(-0.0112 / 1.3, abs=1e-12)
    assert axle == 0.0


def test_shims_of_a_two_piece_shaft_keep_its_joints_together() -> None:
    """The rear joint stays where it is, whatever is lifted in front of it (D; abs 1e-12 m)."""
    support_m, centre_m, rear_m = 0.9, 1.0, 1.2
    lifted = support_shim_effects(support_m, centre_m, rear_m)
    assert lifted[1] * support_m == pytest.approx(1.0, abs=1e-12)
    assert lifted[1] * centre_m + lifted[2] * rear_m == pytest.approx(0.0, abs=1e-12)
    tail = mount_shim_effects(1.0, 1.4, support_m, second_shaft=(centre_m - support_m, rear_m))
    rise = 1.4 + tail[1] * centre_m
    assert rise + tail[2] * rear_m == pytest.approx(0.0, abs=1e-12)


def test_joint_that_needles_cannot_roll_in_is_avoided_though_nothing_is_left() -> None:
    """Joints at 0 deg leave no fluctuation; at 1 deg they leave none either, and roll."""
    lifted = Adjustment("plate", (0.01,), (0.0, math.radians(100.0), 0.0))
    found = best_shims([at_ride_height(-3, -3, -3)], [lifted])
    assert found.steps == (0.01,)
    assert found.joints_allowed
    assert math.degrees(found.loads[0].joint_angles_rad[0]) == pytest.approx(1.0, abs=1e-9)


def test_joints_that_no_part_brings_within_limits_are_named_with_their_load() -> None:
    loads = [at_ride_height(-3, -5, -3), LoadState("laden", degrees(-3, -7.5, -3))]
    found = best_shims(loads, [])
    assert not found.joints_allowed
    assert found.remarks == (
        "laden: joint 1 bends by 4.50 deg, above 3 deg",
        "laden: joint 2 bends by 4.50 deg, above 3 deg",
    )


def test_place_is_left_alone_when_a_part_brings_nothing() -> None:
    found = best_shims([at_ride_height(-3, -5, -3)], [wedge(1, 2)])
    assert found.steps == (0.0,)


def test_fewest_places_are_touched_for_the_same_angles() -> None:
    """2 deg are wanted: one part of 2 deg goes before two of 1 deg."""
    first = Adjustment("first", degrees(1, 2), (0.0, 0.0, 1.0))
    second = Adjustment("second", degrees(1), (0.0, 0.0, 1.0))
    found = best_shims([at_ride_height(-3, -5, -5)], [first, second])
    assert found.steps == (degrees(2)[0], 0.0)


def test_smaller_of_two_steps_goes_first_when_the_angles_come_out_alike() -> None:
    """Rear joint of 2 deg either way cancels the front one's 2 deg: 3 or 7 deg of wedge."""
    place = Adjustment("wedge", degrees(-7, -3), (0.0, 0.0, 1.0))
    found = best_shims([at_ride_height(-3, -5, 0)], [place])
    assert found.steps == degrees(-3)


def test_worst_of_all_loads_counts_not_the_first() -> None:
    loads = [at_ride_height(-3, -5, -3), LoadState("laden", degrees(-3, -4.5, -1))]
    found = best_shims(loads, [wedge(0.5, 1, 1.5, 2)])
    alone = best_shims(loads[:1], [wedge(0.5, 1, 1.5, 2)])
    assert alone.steps == (0.0,)
    assert found.steps != (0.0,)
    assert found.worst_residual_rad == max(load.residual_rad for load in found.loads)
    assert found.worst_residual_rad < found.worst_residual_before_rad


def test_impossible_inputs_are_refused_in_plain_words() -> None:
    three = at_ride_height(-3, -5, -3)
    many = Adjustment("wedge", tuple(i * 1e-5 for i in range(1, 200)), (0.0, 0.0, 1.0))
    with pytest.raises(ValueError, match="no slopes are given"):
        best_shims([], [])
    with pytest.raises(ValueError, match="2 slopes are given; expected 3, or 4"):
        best_shims([at_ride_height(-3, -5)], [])
    with pytest.raises(ValueError, match='"laden" needs a slope for each of the 3 members'):
        best_shims([three, LoadState("laden", degrees(1, 2, 3, 4))], [])
    with pytest.raises(ValueError, match='"turned" needs a slope for each of the 3 members'):
        best_shims([LoadState("turned", degrees(1, 2, 3), degrees(1, 2))], [])
    with pytest.raises(ValueError, match='"plate" needs an effect for each of the 3 members'):
        best_shims([three], [Adjustment("plate", (0.01,), (1.0, 0.0))])
    with pytest.raises(ValueError, match="say for each of the 1 shafts"):
        best_shims([three], [], (True, False))
    with pytest.raises(ValueError, match="the parts allow 40000 combinations"):
        best_shims([three], [many, many])
    with pytest.raises(ValueError, match="there are at most 75"):
        best_shims([three] * 400, [many])
    with pytest.raises(ValueError, match="the smallest joint angle must not exceed"):
        best_shims([three], [], smallest_rad=0.1, greatest_rad=0.05)
    with pytest.raises(ValueError, match="the shaft has 3 pieces; expected 1 or 2"):
        wedge_effects(0.3, 1.3, pieces=3)
