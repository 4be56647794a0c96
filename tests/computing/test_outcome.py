"""One result: as text, as data, with units, uncertainty and warnings."""

from __future__ import annotations

import json
import math

import pytest

from advisor.driveline.catalog import FUNCTIONS
from tests.computing.asking import FOUR_CALIPER_READINGS, STACK, ask, data_of, text_of


def test_result_of_exact_inputs_is_told_with_formula_inputs_and_source() -> None:
    assert text_of(
        "ring-stack-end-play",
        *("span=80.10 mm", "width=76.98 mm", "ring_1=59.1 thou", "ring_2=1.50 mm"),
    ) == (
        "ring-stack-end-play: end play of the cross in its fork, from the sizes\n"
        "formula: span - width - ring 1 - ring 2; below zero is preload\n"
        "\n"
        "put in\n"
        "- span: 80.10 mm, input taken as exact\n"
        "- width: 76.98 mm, input taken as exact\n"
        "- ring_1: 59.1 thou, input taken as exact\n"
        "- ring_2: 1.50 mm, input taken as exact\n"
        "\n"
        "result: 0.1189 mm\n"
        "\n"
        "source: handbook section 8, EP-01 (P, D)"
    )


def test_uncertainty_of_a_gauge_and_a_stated_one_are_told_with_the_result() -> None:
    """By hand: the root of (0.6 x 0.004)^2 + (0.8 x 0.00645)^2, in mm, is 0.0057 mm."""
    words = ("offset_1=0.030 mm +/- 0.004 mm", "offset_2=0.040 mm")
    text = text_of("two-axis-offset", *words, gauges=("offset_2=dial-indicator",))
    assert "- offset_1: 0.030 mm, u = 0.004 mm\n" in text
    assert (
        "- offset_2: 0.040 mm, u = 0.0065 mm (Dial indicator: step 0.01 mm, limit 0.01 mm)\n"
    ) in text
    assert "result: 0.0500 mm +/- 0.0057 mm\n(u and +/- are standard uncertainties)\n" in text


def test_optional_input_left_out_is_named_with_what_stands_for_it() -> None:
    text = text_of("equal-ring-thickness", "span=80 mm", "width=76.95 mm")
    assert "- target: not given (end play wanted; 0.025 mm if not given)" in text


def test_words_carry_no_remark_on_exactness() -> None:
    text = text_of("tyre-diameter", "size= 265/70R17 ")
    assert "- size: 265/70R17\n" in text
    assert "exact" not in text


@pytest.mark.parametrize(
    ("name", "words", "shown"),
    [
        ("difference", ("first=1.5 in", "second=1.0 mm"), "result: 1.461 in"),
        ("difference", ("first=2 mm", "second=2 mm"), "result: 0 mm"),
        ("end-play-change",
         ("old_ring_1=60 thou", "old_ring_2=1.5 mm", "new_ring_1=1.5 mm", "new_ring_2=1.5 mm"),
         "result: 0.024 mm"),
        ("force-from-unbalance", ("unbalance=1 oz*in", "shaft_frequency=3000 rpm"),
         "result: 15.98 lbf"),
        ("force-from-unbalance", ("unbalance=720 g*mm", "shaft_frequency=3000 rpm"),
         "result: 71.06 N"),
        ("unbalance-from-mass", ("mass=10 g", "radius=30 mm"), "result: 300 g*mm"),
        ("unbalance-from-mass", ("mass=1 oz", "radius=2 in"), "result: 2 oz*in"),
        ("road-speed", ("wheel_frequency=10 Hz", "tyre_diameter=31 in"), "result: 53.67 mph"),
        ("road-speed", ("wheel_frequency=10 Hz", "tyre_diameter=0.8 m"), "result: 87.76 km/h"),
        ("share-of-critical", ("shaft_frequency=3000 rpm", "critical_frequency=100 Hz"),
         "result: 0.5"),
        ("within-anodic-limit", ("metal_1=steel", "metal_2=zinc", "environment=normal"),
         "result: no"),
        ("matching-order", ("measured=14 Hz", "wheel_frequency=7 Hz"), "result: 2x wheel"),
    ],
)  # fmt: skip
def test_result_has_the_unit_that_fits_what_was_typed(
    name: str, words: tuple[str, ...], shown: str
) -> None:
    """Conversions by hand: 1 mm is 1/25.4 in, 1 oz*in is 720.08 g*mm, 1 lbf is 4.4482 N."""
    assert f"{shown}\n" in text_of(name, *words)


def test_data_hold_the_typed_value_its_unit_si_and_uncertainty() -> None:
    data = data_of("ring-offset", "ring_1=60 thou +/- 1 thou", "ring_2=1.5 mm")
    assert data["inputs"][0] == {
        "name": "ring_1",
        "typed": "60 thou",
        "value": pytest.approx(60.0, rel=1e-12),
        "unit": "thou",
        "u": pytest.approx(1.0, rel=1e-12),
        "gauge": None,
        "si": pytest.approx(1.524e-3, rel=1e-12),
        "u_si": pytest.approx(25.4e-6, rel=1e-12),
    }
    assert data["result_si"] == pytest.approx(12e-6, rel=1e-9)
    assert data["u_si"] == pytest.approx(12.7e-6, rel=1e-9)
    assert (data["unit"], data["verdict"], data["warnings"]) == ("thou", None, [])
    assert data["formula"] == FUNCTIONS["ring-offset"].formula
    assert data["source"] == FUNCTIONS["ring-offset"].source


def test_data_of_a_measured_stack_name_the_gauge_and_survive_json() -> None:
    data = data_of("ring-stack-end-play", *STACK, gauges=FOUR_CALIPER_READINGS)
    assert [one["gauge"] for one in data["inputs"]] == ["caliper"] * 4
    assert json.loads(json.dumps(data)) == data


def test_yes_or_no_is_true_or_false_in_data() -> None:
    joints = ("joint_angle_1=3 deg", "joint_angle_2=4 deg", "crossed=n")
    data = data_of("residual-angle-of-joints", *joints)
    assert data["inputs"][-1]["value"] is False
    assert data["result"] == pytest.approx(math.sqrt(7.0), rel=1e-9)
    metals = ("metal_1=steel", "metal_2=steel", "environment=harsh")
    assert data_of("within-anodic-limit", *metals)["result"] is True


@pytest.mark.parametrize(
    ("name", "words", "warnings"),
    [
        (
            "ring-offset",
            ("ring_1=1.5 in", "ring_2=1.5 mm"),
            [
                "ring_1: read 1.5 in, which is 38.1 mm; expected 0.5 mm to 4 mm; "
                "look at the number and unit"
            ],
        ),
        (
            "joint-lead",
            ("joint_angle=46 deg",),
            ["joint_angle: read 46 deg; expected 0 deg to 45 deg; look at the number and unit"],
        ),
        ("joint-lead", ("joint_angle=45 deg",), []),
        (
            "unbalance-from-mass",
            ("mass=10 kg", "radius=50 mm"),
            [
                "mass: read 10 kg, which is 10000 g; expected 0.1 g to 500 g; "
                "look at the number and unit"
            ],
        ),
        (
            "matching-order",
            ("measured=14 Hz", "wheel_frequency=7 Hz +/- 0.1 Hz"),
            ["the result is no number: it leaves the uncertainty of the inputs out of account"],
        ),
    ],
)
def test_unusual_number_is_told_and_the_result_still_shown(
    name: str, words: tuple[str, ...], warnings: list[str]
) -> None:
    answer = ask(name, *words)
    assert answer.as_data()["warnings"] == warnings
    text = answer.as_text(80)
    assert "\nresult: " in text
    assert [line for line in text.split("\n") if line.startswith("warning: ")] == [
        f"warning: {warning}" for warning in warnings
    ]
