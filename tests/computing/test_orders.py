"""`advisor orders`: the table, which order a frequency fits, and how two are told apart."""

from __future__ import annotations

from typing import Any

import pytest

from advisor.computing import ComputeError, orders_answer
from advisor.layout import wrap
from tests.published.values import ENTRIES, assert_within

VEHICLE = ("tyre_size=265/70R17", "axle_ratio=3.73", "road_speed=100 km/h")
EIGHT = (*VEHICLE, "gear_ratio=0.70", "cylinders=8")
DIRECT = (*VEHICLE, "gear_ratio=1", "cylinders=4", "measured=84.7 Hz")


def data_of(*words: str) -> dict[str, Any]:
    data = orders_answer(words).as_data()
    assert isinstance(data, dict)
    return data


def text_of(*words: str) -> str:
    return wrap(orders_answer(words).as_text(1000), 1000)


def hertz_of(data: dict[str, Any]) -> dict[str, float]:
    return {one["order"]: one["hz"] for one in data["orders"]}


def told(*words: str) -> list[str]:
    with pytest.raises(ComputeError) as caught:
        orders_answer(words)
    assert str(caught.value).startswith("\n".join(caught.value.problems))
    assert caught.value.usage.startswith("usage: advisor orders [measured=")
    return list(caught.value.problems)


def test_table_holds_the_frequencies_of_the_handbook() -> None:
    """CAU-02 (D): wheel, shaft and engine at 100 km/h with ROT-01's tyre; abs 0.001 Hz."""
    wanted = ENTRIES["CAU-02"]["inputs"]
    found = hertz_of(data_of(*EIGHT))
    names = ("1x-wheel", "1x-shaft", "1x-engine")
    expected = [wanted["wheel"], wanted["shaft"], wanted["engine"]]
    assert_within([found[name] for name in names], expected, "abs 0.001", "CAU-02")
    assert found["firing-order"] == pytest.approx(4 * found["1x-engine"], rel=1e-12)
    assert found["2x-shaft"] == pytest.approx(2 * found["1x-shaft"], rel=1e-12)
    assert found["half-engine"] == pytest.approx(found["1x-engine"] / 2, rel=1e-12)


def test_without_a_measured_frequency_the_table_stands_alone() -> None:
    data = data_of(*EIGHT)
    assert data["fits"] == []
    assert data["pairs"] == []
    assert "result" not in text_of(*EIGHT)


def test_measured_frequency_is_named_as_the_handbook_names_it() -> None:
    """CAU-02 (D; exact)."""
    words = (*EIGHT, "measured=42.4 Hz")
    assert data_of(*words)["fits"][0]["order"].replace("-", " ") == ENTRIES["CAU-02"]["expected"]
    assert "\nresult: 1x shaft\n" in text_of(*words)


def test_published_example_is_twice_the_wheel() -> None:
    """ROT-12 (F; exact): 14 Hz with the wheel at 7 and the shaft at 22 Hz."""
    words = ("circumference=2 m", "road_speed=14 m/s", f"axle_ratio={22 / 7:.12f}")
    data = data_of(*words, "measured=14 Hz")
    assert hertz_of(data)["1x-shaft"] == pytest.approx(22.0, rel=1e-9)
    assert data["fits"][0]["order"].replace("-", " ") == ENTRIES["ROT-12"]["expected"]
    assert sum(one["probability"] for one in data["fits"]) == pytest.approx(1.0, abs=1e-12)


def test_gear_change_parts_firing_from_twice_the_shaft_as_in_the_handbook() -> None:
    """CAU-03 (D): 84.703 and 59.292 Hz, tolerance of the entry."""
    entry = ENTRIES["CAU-03"]
    (pair,) = data_of(*DIRECT, "other_gear_ratio=0.7")["pairs"]
    assert {pair["first"], pair["second"]} == {"2x-shaft", "firing-order"}
    change = next(one for one in pair["experiments"] if one["name"] == "gear-change")
    got = [change["first_hz"], change["second_hz"]]
    assert_within(sorted(got, reverse=True), entry["expected"], "abs 0.02", "CAU-03")
    assert change["separates"]


def test_cheapest_experiment_stands_first_with_what_both_orders_do() -> None:
    text = text_of(*DIRECT, "idle_speed=750 rpm", "other_gear_ratio=0.7")
    assert "result: too close to call between 2x shaft and firing order" in text
    told_apart = text.split("to tell 2x shaft from firing order, the cheapest first\n")[1]
    lines = told_apart.split("\n")
    assert lines[:3] == [
        "- hold the engine at 2541 rpm at standstill, record 2 s (3 min): "
        "2x shaft gone, firing order at 84.7 Hz",
        "- drive the same road speed in the gear of ratio 0.7, record 2 s (5 min): "
        "2x shaft at 84.7 Hz, firing order at 59.29 Hz",
        "- coast in neutral through the same road speed, engine at 750 rpm, record 2 s (5 min): "
        "2x shaft at 84.7 Hz, firing order at 25 Hz",
    ]
    assert "more may be possible" not in text


def test_cautions_stand_before_the_experiments_that_need_them() -> None:
    text = text_of(*DIRECT, "idle_speed=750 rpm")
    assert text.index("A coast in neutral") < text.index("the cheapest first")
    assert text.index("An engine held at speed") < text.index("the cheapest first")
    without = text_of(*DIRECT)
    assert "A coast in neutral" not in without
    assert "more may be possible with other_gear_ratio or idle_speed" in without


def test_orders_in_a_fixed_ratio_are_not_told_apart() -> None:
    words = ("circumference=2.45 m", "road_speed=60 mph", "axle_ratio=3", "measured=32.8 Hz")
    (pair,) = data_of(*words)["pairs"]
    assert {pair["first"], pair["second"]} == {"3x-wheel", "1x-shaft"}
    assert not any(one["separates"] for one in pair["experiments"])
    text = text_of(*words)
    assert "nothing that these numbers allow tells 3x wheel from 1x shaft" in text
    assert "they keep their ratio at every speed and in every gear" in text


def test_frequency_far_from_all_is_said_to_follow_none() -> None:
    text = text_of(*VEHICLE, "measured=61 Hz")
    assert "- none of these: over 99\u00a0%".replace("\u00a0", " ") in text
    assert "result: it most likely follows none of these" in text


def test_slip_and_transfer_case_turn_the_engine_faster() -> None:
    """engine = shaft x 2.5 x 0.7 / (1 - 0.05); D, rel 1e-9."""
    data = data_of(*VEHICLE, "gear_ratio=0.7", "transfer_ratio=2.5", "slip=5 %")
    found = hertz_of(data)
    assert found["1x-engine"] == pytest.approx(found["1x-shaft"] * 2.5 * 0.7 / 0.95, rel=1e-9)
    assert found["1x-transfer-input"] == pytest.approx(found["1x-shaft"] * 2.5, rel=1e-12)


def test_frequency_of_the_transfer_case_is_matched() -> None:
    words = (*VEHICLE, "transfer_ratio=2.5", "measured=106 Hz")
    assert "\nresult: 1x transfer input\n" in text_of(*words)


def test_inch_size_and_engine_speed_are_read() -> None:
    """31 in, rolling factor 0.97, 60 mph: 60 mph / (pi x 31 in x 0.97); D, rel 1e-6."""
    words = ("tyre_size=31x10.50R15", "axle_ratio=4.1", "road_speed=60 mph")
    found = hertz_of(data_of(*words, "engine_speed=2400 rpm"))
    assert found["1x-wheel"] == pytest.approx(26.8224 / (3.14159265 * 0.7874 * 0.97), rel=1e-6)
    assert found["1x-engine"] == pytest.approx(40.0, rel=1e-12)


def test_narrower_tolerance_makes_one_order_sure() -> None:
    words = (*VEHICLE, "measured=43.5 Hz")
    wide, narrow = data_of(*words), data_of(*words, "tolerance=0.5 %", "resolution=0.1 Hz")
    assert wide["fits"][0]["order"] == "1x-shaft"
    assert narrow["fits"][0]["order"] == "none-of-these"
    assert (narrow["tolerance"], narrow["resolution_hz"]) == (pytest.approx(0.005), 0.1)


def test_unusual_values_are_told_and_worked_with() -> None:
    data = data_of(*VEHICLE, "engine_speed=900 rpm", "cylinders=24")
    assert data["warnings"] == [
        "cylinders: read 24; expected 1 to 16; look at the number and unit",
        "engine_speed: 900 rpm at this road speed means a gear ratio of 0.354; expected 0.4 to 10; "
        "look at both speeds",
    ]


def test_data_has_the_fields_that_its_documentation_names() -> None:
    data = data_of(*DIRECT)
    assert list(data) == [
        *("inputs", "formula", "source", "orders", "resolution_hz", "tolerance", "fits", "pairs"),
        *("cautions", "warnings"),
    ]
    assert data["inputs"][0] == {
        "name": "measured",
        "typed": "84.7 Hz",
        "value": pytest.approx(84.7),
        "unit": "Hz",
        "si": 84.7,
    }
    assert data["orders"][0]["rpm"] == pytest.approx(60.0 * data["orders"][0]["hz"])


def test_no_words_show_what_may_be_given() -> None:
    answer = orders_answer(())
    text = answer.as_text(80)
    assert "- road_speed: true road speed then (a speed; usually 5 km/h to 250 km/h)" in text
    assert 'like 265/70R17 or 31x10.50R15 (written "265/70R17")' in text
    assert {one["name"] for one in answer.as_data()["inputs"]} >= {"measured", "slip"}


@pytest.mark.parametrize(
    ("words", "problems"),
    [
        (
            ("road_speed=60", "tyre_size=265/70R17", "axle_ratoi=3.73"),
            [
                '"axle_ratoi" is no input of orders; did you mean one of "axle_ratio", '
                '"gear_ratio"?',
                'road_speed: "60" has no unit: is it 60 mph or 60 km/h?',
                "axle_ratio (turns of the propeller shaft for one of the wheels) is missing",
            ],
        ),
        (
            ("road_speed=-60 mph", "axle_ratio=0", "measured=0 Hz"),
            [
                "measured: read 0 Hz; it must be more than 0",
                "road_speed: read -60 mph; it must be more than 0",
                "axle_ratio: read 0; it must be more than 0",
                'the wheel is missing; write tyre_size=265/70R17 or circumference="2.45 m"',
            ],
        ),
        (
            (*VEHICLE, "circumference=2 m", "gear_ratio=1", "engine_speed=900 rpm"),
            [
                "tyre_size and circumference are both given; leave one out",
                "gear_ratio and engine_speed are both given; leave one out",
            ],
        ),
        (
            (*VEHICLE, "slip=3", "cylinders=4", "idle_speed=700 rpm", "tolerance=3"),
            [
                "slip is given without gear_ratio; an engine speed that was read has it in it",
                "cylinders and idle_speed are given without the engine; write gear_ratio or "
                "engine_speed",
                "slip: read 3; write a share from 0 % to less than 100 %, such as 3 %",
                "tolerance: read 3; write a share below 100 %, such as 3 %",
            ],
        ),
        (
            ("road_speed=60 mph", "axle_ratio=3.7", "tyre_size=big"),
            [
                'tyre_size: "big" is not a tyre size; write it as on the side wall, '
                "like 265/70R17 or 31x10.50R15"
            ],
        ),
        (
            (*VEHICLE, "axle_ratio=3", "measured"),
            [
                'axle_ratio is given twice, as "3.73" and as "3"; leave one out',
                '"measured" has no "="; write an input as measured="..."',
            ],
        ),
        (
            (*VEHICLE[1:], "tyre_size="),
            [
                "tyre_size: nothing was written; write tyre size on the side wall, "
                "like 265/70R17 or 31x10.50R15"
            ],
        ),
    ],
    ids=["names", "zero", "both", "shares", "tyre", "twice", "empty"],
)
def test_all_that_is_wrong_is_told_in_one_go(words: tuple[str, ...], problems: list[str]) -> None:
    assert told(*words) == problems
