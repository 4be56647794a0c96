"""The picture of the driveline draws the angles that advisor.driveline.angles gives."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from advisor.driveline.angles import joint_angle
from advisor.driveline.phasing import residual_angle
from advisor.page.driveline import STEEPEST_RAD, Driveline, driveline_picture, exaggeration
from advisor.units import unit_named
from tests.page.drawn import paths, texts

DEG = unit_named("deg")


def line_of(*slopes_deg: float, **more: tuple[float, ...]) -> Driveline:
    rad = tuple(map(math.radians, slopes_deg))
    return Driveline(
        rad,
        tuple(map(math.radians, more.get("headings", ()))),
        (False,) * (len(rad) - 2),
        DEG,
        tuple(map(math.radians, more.get("after", ()))),
        "Load unladen" if "after" in more else "",
    )


def steepness(corners: list[tuple[float, float]]) -> float:
    (x1, y1), (x2, y2) = corners
    return math.atan2(y1 - y2, x2 - x1)


@pytest.mark.parametrize("slopes", [(4.0, 9.6, 8.2), (-3.0, -5.6, -1.4), (3.0, 3.3, 5.0, 3.2)])
def test_members_are_drawn_at_their_slopes_and_at_the_stated_times_their_slopes(
    slopes: tuple[float, ...],
) -> None:
    svg = driveline_picture(line_of(*slopes)).svg
    scale = exaggeration(tuple(map(math.radians, slopes)))
    assert f"Side view, angles drawn {scale} times" in texts(svg)
    for number, slope in enumerate(slopes, 1):
        true, steep = paths(svg, f"member {number}")
        assert math.degrees(steepness(true)) == pytest.approx(slope, abs=0.001)
        assert math.degrees(steepness(steep)) == pytest.approx(scale * slope, abs=0.001)


def test_members_hang_together_from_front_to_rear() -> None:
    svg = driveline_picture(line_of(3.0, 3.3, 5.0, 3.2)).svg
    for view in (0, 1):
        members = [paths(svg, f"member {number}")[view] for number in (1, 2, 3, 4)]
        for before, after in pairwise(members):
            assert before[1] == pytest.approx(after[0], abs=0.001)
            assert before[0][0] < before[1][0]


def test_joint_angles_are_written_at_the_joints_and_said() -> None:
    """Angles: advisor.driveline.angles and phasing, to a tenth of a degree."""
    picture = driveline_picture(line_of(4.0, 9.6, 8.2))
    first = joint_angle(math.radians(4.0), math.radians(9.6))
    second = joint_angle(math.radians(9.6), math.radians(8.2))
    left = residual_angle(math.radians(4.0), math.radians(9.6), math.radians(8.2))
    shown = [f"{math.degrees(angle):.1f} deg" for angle in (first, second, left)]
    assert shown == ["5.6 deg", "1.4 deg", "5.4 deg"]
    assert set(shown[:2]) <= set(texts(picture.svg))
    assert picture.says == (
        "Slopes from front to rear 4 deg, 9.6 deg, 8.2 deg: joint angles 5.6 deg and 1.4 deg, "
        "of which 5.4 deg are left uncancelled."
    )


def test_steep_members_are_drawn_once_only() -> None:
    svg = driveline_picture(line_of(2.0, 20.0, 1.0)).svg
    assert len(paths(svg, "member 2")) == 1
    assert "18 deg" in texts(svg)


def test_plan_view_is_drawn_where_headings_are_known() -> None:
    picture = driveline_picture(line_of(-3.0, -5.6, -1.4, headings=(0.0, 1.5, 0.0)))
    plan = paths(picture.svg, "member 2")[2]
    scale = exaggeration((math.radians(1.5),))
    assert math.degrees(steepness(plan)) == pytest.approx(scale * 1.5, abs=0.001)
    assert any(text.startswith("Plan view") for text in texts(picture.svg))
    flat = driveline_picture(line_of(-3.0, -5.6, -1.4, headings=(0.0, 0.0, 0.0)))
    assert not any(text.startswith("Plan view") for text in texts(flat.svg))


def test_cure_is_drawn_beside_and_said() -> None:
    picture = driveline_picture(line_of(-3.0, -5.6, -1.4, after=(-3.0, -5.6, -3.4)))
    true, steep = paths(picture.svg, "member after 3")
    assert math.degrees(steepness(true)) == pytest.approx(-3.4, abs=0.001)
    assert steepness(steep) / steepness(true) == pytest.approx(3.0, abs=0.001)
    left = residual_angle(*map(math.radians, (-3.0, -5.6, -3.4)))
    with_cure = "; with the cure 2.6 deg and 2.2 deg, of which"
    assert f"{with_cure} {math.degrees(left):.1f} deg are left" in picture.says
    assert picture.note.endswith("Load unladen. Dashed: with the cure.")


@pytest.mark.parametrize("steepest_deg", [0.0, 0.3, 2.9, 3.1, 8.0, 11.9, 30.0])
def test_exaggeration_keeps_below_the_steepest_that_is_drawn(steepest_deg: float) -> None:
    angle = math.radians(steepest_deg)
    scale = exaggeration((angle, -angle / 2.0))
    assert scale * angle <= STEEPEST_RAD or scale == 1
