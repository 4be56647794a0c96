"""The picture of a ring stack draws what advisor.driveline.fit gives."""

from __future__ import annotations

import pytest

from advisor.driveline.fit import ring_offset, ring_stack_end_play
from advisor.engine.values import Number
from advisor.page.ringstack import LARGEST_GAP, RING, RingStack, ring_layout, ring_stack_picture
from advisor.units import unit_named
from tests.page.drawn import extent, line, texts

STACKS = [
    (0.0801, 0.07698, 1.500e-3, 1.502e-3),
    (0.0920, 0.08886, 1.515e-3, 1.605e-3),
    (0.0800, 0.07695, 1.600e-3, 1.480e-3),
    (0.0800, 0.07700, 1.520e-3, 1.520e-3),
]


def stack_of(sizes: tuple[float, float, float, float], unit: str = "mm") -> RingStack:
    return RingStack(*sizes, Number(ring_stack_end_play(*sizes), 1.7e-5), unit_named(unit))


@pytest.mark.parametrize("sizes", STACKS)
def test_gaps_and_rings_are_drawn_to_the_scale_that_is_stated(
    sizes: tuple[float, float, float, float],
) -> None:
    """End play and offset: advisor.driveline.fit; 0.01 of the picture's units."""
    stack = stack_of(sizes)
    picture = ring_stack_picture(stack)
    scale = ring_layout(stack).scale
    assert f"{scale} times as large" in picture.note
    units_per_m = scale * RING / ((sizes[2] + sizes[3]) / 2.0)
    ring_1, ring_2 = (extent(line(picture.svg, f"ring {n}")) for n in (1, 2))
    cross = extent(line(picture.svg, "cross"))
    gaps = (cross[0] - ring_1[1], ring_2[0] - cross[1])
    assert sum(gaps) == pytest.approx(ring_stack_end_play(*sizes) * units_per_m, abs=0.01)
    assert gaps[0] == pytest.approx(gaps[1], abs=0.01)
    thickness = ring_1[1] - ring_1[0], ring_2[1] - ring_2[0]
    difference = thickness[0] - thickness[1]
    assert difference == pytest.approx((sizes[2] - sizes[3]) * units_per_m, abs=0.01)
    assert sum(thickness) == pytest.approx(2.0 * RING, abs=0.01)


@pytest.mark.parametrize("sizes", STACKS)
def test_middle_of_the_cross_is_off_that_of_the_fork_by_the_offset(
    sizes: tuple[float, float, float, float],
) -> None:
    stack = stack_of(sizes)
    svg = ring_stack_picture(stack).svg
    units_per_m = ring_layout(stack).scale * RING / ((sizes[2] + sizes[3]) / 2.0)
    walls = extent(line(svg, "wall 1"))[1], extent(line(svg, "wall 2"))[0]
    cross = extent(line(svg, "cross"))
    off = sum(cross) / 2.0 - sum(walls) / 2.0
    assert off == pytest.approx(ring_offset(sizes[2], sizes[3]) * units_per_m, abs=0.01)
    assert line(svg, "middle of cross")[0][0] == pytest.approx(sum(cross) / 2.0, abs=0.01)


@pytest.mark.parametrize("sizes", STACKS)
def test_exaggeration_is_the_largest_that_leaves_the_parts_apart(
    sizes: tuple[float, float, float, float],
) -> None:
    at = ring_layout(stack_of(sizes))
    rings = at.ring_1 - at.wall_1, at.wall_2 - at.ring_2
    assert max(abs(at.cross_1 - at.ring_1) * 2.0, abs(rings[0] - rings[1])) <= LARGEST_GAP * RING
    assert at.wall_1 < at.ring_1 < at.ring_2 < at.wall_2


def test_preload_is_called_so_and_the_cross_reaches_into_the_rings() -> None:
    sizes = STACKS[3]
    picture = ring_stack_picture(stack_of(sizes))
    assert "preload 0.040 mm" in picture.says
    assert "end play" not in picture.says
    assert extent(line(picture.svg, "cross"))[0] < extent(line(picture.svg, "ring 1"))[1]


def test_numbers_stand_in_the_picture_and_in_its_words_in_the_users_unit() -> None:
    picture = ring_stack_picture(stack_of(STACKS[1], "thou"))
    for shown in ("span 3622 thou", "ring 1  59.65 thou", "ring 2  63.19 thou"):
        assert shown in texts(picture.svg)
    assert "off centre 1.772 thou" not in picture.says  # two digits tell enough
    assert "off centre 1.8 thou towards ring 1" in picture.says


def test_equal_rings_without_play_are_drawn_too() -> None:
    stack = RingStack(0.08, 0.077, 0.0015, 0.0015, Number(0.0), unit_named("mm"))
    assert "off centre 0 mm." in ring_stack_picture(stack).says
