"""A sweep: its points, its chart, its table."""

from __future__ import annotations

import json
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.computing.chart import NARROWEST, ROWS, Axis, chart
from advisor.layout import wrap
from tests.computing.asking import ask, data_of, text_of

SPEED = "road_speed=20 mph..80 mph"


def test_sweep_shows_chart_extremes_and_table_with_units() -> None:
    text = ask("wheel-frequency", "tyre_diameter=31 in", sweep=f"{SPEED}/6").as_text(40)
    assert text == (
        "wheel-frequency: turns of a wheel at a road speed\n"
        "formula: v / (pi D f)\n"
        "\n"
        "put in\n"
        "- tyre_diameter: 31 in, input taken as exact\n"
        "- rolling_factor: not given (rolling over free circumference; 0.97 if not given)\n"
        "- road_speed: swept from 20 mph to 80 mph in 6 steps\n"
        "\n"
        "wheel-frequency in Hz\n"
        " 14.9 |                                *\n"
        "      |\n"
        "      |                           *\n"
        "      |                     *\n"
        "      |\n"
        "      |                *\n"
        "      |\n"
        "      |           *\n"
        "      |     *\n"
        "      |\n"
        "3.726 |*\n"
        "      +---------------------------------\n"
        "       20                             80\n"
        "across: road_speed in mph\n"
        "lowest: 3.726 Hz at 20 mph\n"
        "highest: 14.9 Hz at 80 mph\n"
        "\n"
        "20 mph  3.726 Hz\n"
        "30 mph  5.589 Hz\n"
        "40 mph  7.452 Hz\n"
        "50 mph  9.315 Hz\n"
        "60 mph  11.18 Hz\n"
        "70 mph  13.04 Hz\n"
        "80 mph  14.9 Hz\n"
        "\n"
        "source: handbook section 9, ROT-06 (F for the rolling factor)"
    )


def test_data_give_every_point_with_its_uncertainty() -> None:
    data = data_of("wheel-frequency", "tyre_diameter=31 in +/- 0.31 in", sweep=f"{SPEED}/3")
    points = data["sweep"]["points"]
    assert [point["value"] for point in points] == pytest.approx([20, 40, 60, 80], rel=1e-12)
    assert {point["unit"] for point in points} == {"Hz"}
    # One percent of the diameter is one of the frequency, and 0.02 % more by curvature.
    assert [point["u"] / point["result"] for point in points] == pytest.approx([0.01] * 4, rel=1e-3)
    assert data["sweep"]["parameter"] == "road_speed"
    assert data["sweep"]["unit"] == "mph"
    assert json.loads(json.dumps(data)) == data


def test_gauge_of_the_swept_input_counts_at_every_point() -> None:
    options = {"gauges": ("second=micrometer",), "sweep": "second=1 mm..2 mm/2"}
    data = data_of("difference", "first=3 mm", **options)
    assert data["sweep"]["gauge"] == "micrometer"
    # 0.0011902 mm: step 0.001 mm and limit 0.002 mm, handbook section 12 (M)
    us = [point["u"] for point in data["sweep"]["points"]]
    assert us == pytest.approx([1.1902e-3] * 3, rel=1e-3)
    assert "- second: swept from 1 mm to 2 mm in 2 steps, u = 0.0012 mm" in text_of(
        "difference", "first=3 mm", **options
    )


def test_sweep_may_run_downwards() -> None:
    points = data_of("difference", "first=3 mm", sweep="second=2 mm..1 mm/2")["sweep"]["points"]
    assert [point["result"] for point in points] == pytest.approx([1.0, 1.5, 2.0], rel=1e-9)


def test_count_is_swept_in_whole_numbers() -> None:
    data = data_of("firing-frequency", "engine_frequency=1800 rpm", sweep="cylinders=4..8")
    points = data["sweep"]["points"]
    assert [point["value"] for point in points] == [4, 5, 6, 7, 8]
    assert [point["result"] for point in points] == pytest.approx(
        [3600, 4500, 5400, 6300, 7200], rel=1e-9
    )


def test_impossible_points_are_left_out_and_told() -> None:
    words = ("outside_diameter=88.9 mm", "wall=2.1 mm", "material=steel")
    data = data_of("critical-speed", *words, sweep="length=0 m..2 m/4")
    assert data["sweep"]["points"][0]["result"] is None
    assert data["warnings"] == [
        "length: read 0 m; expected 0.2 m to 3 m; look at the number and unit",
        "no result at 1 of 5 points: the shaft length is 0 mm; it must be more than 0 mm",
    ]
    assert "  0 m  no result\n" in text_of("critical-speed", *words, sweep="length=0 m..2 m/4")


def test_flat_result_is_one_line_with_one_label() -> None:
    text = text_of("trunnion-travel", sweep="joint_angle=3 deg..3.0000000000001 deg/4")
    drawn = [line for line in text.split("\n") if "*" in line]
    assert [line[:5] for line in drawn] == ["12 |*"]
    assert drawn[0].count("*") == 5


@given(width=st.integers(0, 200), name=st.sampled_from(["length", "wall", "outside_diameter"]))
def test_no_line_of_the_chart_is_wider_than_the_window(width: int, name: str) -> None:
    given_inputs = {"length": "1.6 m", "outside_diameter": "88.9 mm", "wall": "2.1 mm"}
    words = [f"{key}={value}" for key, value in given_inputs.items() if key != name]
    answer = ask("critical-speed", *words, "material=steel", sweep=f"{name}=1 mm..900 mm")
    lines = answer.as_text(width).split("\n")
    start = lines.index("critical-speed in rpm") + 1
    drawn = lines[start : start + ROWS + 2]
    room = max(width, NARROWEST)
    assert max(map(len, drawn)) == room
    assert wrap("\n".join(drawn), width) == "\n".join(drawn)


@given(
    st.lists(st.tuples(st.floats(-5.0, 5.0), st.floats(-1.0, 1.0)), min_size=1, max_size=20),
    st.integers(0, 120),
    st.integers(1, 12),
)
def test_chart_has_the_shape_of_its_window(
    points: list[tuple[float, float]], width: int, label: int
) -> None:
    axes = Axis(-5.0, 5.0, "l" * label, "h" * label), Axis(-1.0, 1.0, "0" * label, "1" * label)
    lines = chart(points, *axes, width)
    assert max(map(len, lines)) == max(width, NARROWEST)
    assert all("|" in line for line in lines[:ROWS])
    assert any("*" in line for line in lines[:ROWS])
    ends = "".join(lines[ROWS + 1 :])
    assert "l" * label in ends
    assert "h" * label in ends


def test_higher_result_stands_higher_and_further_value_further_right() -> None:
    points = [(float(i), float(i)) for i in range(ROWS)]
    end = float(ROWS - 1)
    lines = chart(points, Axis(0, end, "0", "9"), Axis(0, end, "0", "9"), 60)
    places = [line.index("*") for line in lines[:ROWS]]
    assert all(upper > lower for upper, lower in pairwise(places))
