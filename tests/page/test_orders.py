"""The picture of orders draws what advisor.driveline.rotation gives."""

from __future__ import annotations

from itertools import pairwise

import pytest

from advisor.driveline.rotation import order_frequencies, shaft_frequency, wheel_frequency
from advisor.engine.values import Number
from advisor.page.orders import BEYOND, OrderLines, orders_picture
from advisor.report.wording import order_name
from advisor.units import unit_named
from tests.page.drawn import line, marks, paths, texts

SPEED = 110 / 3.6
WHEEL = wheel_frequency(SPEED, 0.639)
ORDERS = order_frequencies(WHEEL, shaft_frequency(WHEEL, 3.31), 2200 / 60, 6)


def view(matching: str | None = "1x-shaft", speed: str = "km/h", hz: str = "Hz") -> OrderLines:
    return OrderLines(
        Number(SPEED, 0.5), Number(52.0, 0.3), ORDERS, matching, unit_named(speed), unit_named(hz)
    )


def steepness(svg: str, order: str) -> float:
    (x1, y1), (x2, y2) = line(svg, f"order {order}")
    return (y1 - y2) / (x2 - x1)


@pytest.mark.parametrize("order", ["1x-wheel", "2x-shaft", "1x-engine"])
def test_lines_are_as_steep_as_their_orders_are_fast(order: str) -> None:
    svg = orders_picture(view()).svg
    drawn = steepness(svg, order) / steepness(svg, "1x-shaft")
    assert drawn == pytest.approx(ORDERS[order] / ORDERS["1x-shaft"], rel=1e-4)


def test_measured_point_stands_at_its_speed_and_frequency() -> None:
    svg = orders_picture(view()).svg
    (x0, y0), (x1, y1) = line(svg, "order 1x-shaft")
    dot = marks(svg, "measured")[-1]
    assert (dot[0] - x0) / (x1 - x0) == pytest.approx(1 / BEYOND, abs=1e-4)
    hz_per_unit = BEYOND * ORDERS["1x-shaft"] / (y0 - y1)
    assert (y0 - dot[1]) * hz_per_unit == pytest.approx(52.0, abs=0.01)


def test_bars_reach_two_standard_uncertainties_to_either_side() -> None:
    svg = orders_picture(view()).svg
    (x0, y0), (x1, y1) = line(svg, "order 1x-shaft")
    across, along = (one for one in paths(svg, "measured") if len(one) == 2)
    m_per_s_per_unit = BEYOND * SPEED / (x1 - x0)
    assert (across[1][0] - across[0][0]) * m_per_s_per_unit == pytest.approx(4 * 0.5, rel=1e-3)
    hz_per_unit = BEYOND * ORDERS["1x-shaft"] / (y0 - y1)
    assert abs(along[1][1] - along[0][1]) * hz_per_unit == pytest.approx(4 * 0.3, rel=1e-3)


def test_every_line_is_named_and_says_its_frequency_at_the_measured_speed() -> None:
    picture = orders_picture(view())
    assert {"1x wheel", "1x shaft", "2x shaft", "1x engine"} <= set(texts(picture.svg))
    assert "1x shaft 51.9 Hz" in picture.says
    assert picture.says.startswith("Measured: 52.0 Hz +/- 0.3 Hz at 110.0 km/h +/- 1.8 km/h.")
    assert picture.says.endswith("the reading fits 1x shaft.")


def test_units_are_those_of_the_user() -> None:
    picture = orders_picture(view(speed="mph", hz="rpm"))
    assert {"road speed in mph", "frequency in rpm"} <= set(texts(picture.svg))
    assert "3120 rpm" in picture.says
    assert "68.4 mph" in picture.says


def test_order_that_fits_is_drawn_though_it_is_not_a_usual_one() -> None:
    firing = orders_picture(view("firing-order")).svg
    assert paths(firing, "order firing-order")
    assert not paths(orders_picture(view()).svg, "order firing-order")
    assert order_name("firing-order") in texts(firing)


@pytest.mark.parametrize(
    ("matching", "said"), [(None, "more than one fits"), ("none-of-these", "fits none of these")]
)
def test_it_is_said_when_no_single_order_fits(matching: str | None, said: str) -> None:
    assert said in orders_picture(view(matching)).says


def test_names_of_lines_that_lie_close_stand_apart() -> None:
    close = {"1x-shaft": 50.0, "1x-engine": 50.4, "1x-wheel": 49.9}
    shown = OrderLines(
        Number(30.0), Number(50.0), close, None, unit_named("km/h"), unit_named("Hz")
    )
    svg = orders_picture(shown).svg
    heights = sorted(
        float(part.split('y="')[1].split('"')[0])
        for part in svg.split("<text")[1:]
        if any(f">{order_name(name)}<" in part for name in close)
    )
    assert len(heights) == 3
    assert min(b - a for a, b in pairwise(heights)) > 11.0
