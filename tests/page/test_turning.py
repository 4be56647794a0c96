"""The picture of a turn draws what advisor.driveline.phasing gives."""

from __future__ import annotations

import math

import pytest

from advisor.driveline.joints import fluctuation, speed_ratio
from advisor.page.driveline import Driveline
from advisor.page.turning import STEPS, fluctuation_curve, turning_picture
from advisor.units import unit_named
from tests.page.drawn import Point, line, texts


def line_of(slopes: tuple[float, ...], after: tuple[float, ...] = ()) -> Driveline:
    return Driveline(
        tuple(map(math.radians, slopes)),
        (),
        (False,) * (len(slopes) - 2),
        unit_named("deg"),
        tuple(map(math.radians, after)),
        "Load unladen" if after else "",
    )


def height(points: list[Point]) -> float:
    return max(y for _, y in points) - min(y for _, y in points)


def test_curve_of_one_joint_is_its_speed_ratio() -> None:
    """advisor.driveline.joints, held against published values in tests/published."""
    (joint, _) = line_of((0.0, 6.0, 0.0)).joints()
    curve = fluctuation_curve([joint])
    wanted = [
        100.0 * (speed_ratio(math.radians(6.0), 2.0 * math.pi * step / STEPS) - 1.0)
        for step in range(STEPS + 1)
    ]
    assert curve == pytest.approx(wanted, abs=1e-9)
    assert max(curve) - min(curve) == pytest.approx(
        100.0 * fluctuation(math.radians(6.0)), rel=1e-6
    )


def test_curves_are_drawn_to_one_scale() -> None:
    shown = line_of((4.0, 9.6, 8.2))
    svg = turning_picture(shown).svg
    first, second = shown.joints()
    curves = {
        "now": fluctuation_curve([first, second]),
        "joint 1 alone": fluctuation_curve([first]),
        "joint 2 alone": fluctuation_curve([second]),
    }
    drawn = {name: height(line(svg, name)) for name in curves}
    for name, curve in curves.items():
        share = (max(curve) - min(curve)) / (max(curves["now"]) - min(curves["now"]))
        assert drawn[name] / drawn["now"] == pytest.approx(share, rel=1e-3)
    assert {"now", "joint 1 alone", "joint 2 alone"} <= set(texts(svg))


def test_curve_is_drawn_point_by_point_over_the_whole_turn() -> None:
    shown = line_of((4.0, 9.6, 8.2))
    points = line(turning_picture(shown).svg, "now")
    curve = fluctuation_curve(shown.joints())
    assert len(points) == STEPS + 1
    scale = (points[0][1] - points[45][1]) / (curve[0] - curve[45])
    for (_, y), value in zip(points, curve, strict=True):
        assert y == pytest.approx(points[0][1] + scale * (value - curve[0]), abs=0.001)


def test_cure_stands_beside_what_is_now() -> None:
    picture = turning_picture(line_of((-3.0, -5.6, -1.4), (-3.0, -5.6, -3.4)))
    assert height(line(picture.svg, "after")) < height(line(picture.svg, "now"))
    assert picture.note == "Load unladen. Solid: now. Dashed: with the cure."
    assert "after from -0.03 % to +0.03 %" in picture.says


def test_joints_that_cancel_are_drawn_as_a_flat_line() -> None:
    picture = turning_picture(line_of((2.0, 5.0, 2.0)))
    assert height(line(picture.svg, "now")) < 0.01
    assert picture.says.startswith("Over one turn the speed behind the joints ranges from")


def test_straight_driveline_is_drawn_too() -> None:
    assert height(line(turning_picture(line_of((0.0, 0.0, 0.0))).svg, "now")) == 0.0
