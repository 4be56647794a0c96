"""`advisor trial-weights`: the correction from amplitudes, its clamps, and what is refused."""

from __future__ import annotations

import cmath
import math
import re
from typing import Any

import pytest

from advisor.computing import ComputeError, trial_weights_answer
from advisor.computing.trialweights import read_amplitude
from advisor.layout import wrap
from tests.published.values import ENTRIES, assert_within


def at_angle(size: float, degrees: float) -> complex:
    return cmath.rect(size, math.radians(degrees))


def amplitude(place_deg: float) -> float:
    """UNB-11's shaft with the trial mass at another place than 0 deg: amplitude alone."""
    known = ENTRIES["UNB-11"]["inputs"]
    initial, trial, shown = (at_angle(*known[name]) for name in ("A0", "trial", "A1"))
    influence = (shown - initial) / trial
    return abs(initial + influence * at_angle(known["trial"][0], place_deg))


def places(*degrees: float, unit: str = "") -> str:
    return "at=" + ", ".join(f"{place:g} deg: {amplitude(place):.6f}{unit}" for place in degrees)


THREE = ("initial=4", "trial_mass=10 g", places(0, 120, 240), "u=0.1")


def data_of(*words: str) -> dict[str, Any]:
    data = trial_weights_answer(words).as_data()
    assert isinstance(data, dict)
    return data


def text_of(*words: str) -> str:
    return wrap(trial_weights_answer(words).as_text(1000), 1000)


def told(*words: str) -> list[str]:
    with pytest.raises(ComputeError) as caught:
        trial_weights_answer(words)
    assert caught.value.usage == (
        'usage: advisor trial-weights initial="AMPLITUDE" trial_mass="MASS" '
        'at="0 deg: 5.2, 120 deg: 3.1, 240 deg: 6.6" u="AMPLITUDE" [clamp_mass="MASS"]'
    )
    return list(caught.value.problems)


@pytest.mark.parametrize("where", [(0, 120, 240), (0, 90, 180, 270)], ids=["three", "four"])
def test_amplitudes_alone_give_the_correction_of_the_handbook(where: tuple[float, ...]) -> None:
    """UNB-11 (M): 7.559 g at 79.107 deg, where the handbook knows the phase; tolerance there."""
    entry = ENTRIES["UNB-11"]
    found = data_of(*THREE[:2], places(*where), "u=0.1")["correction"]
    got = [found["mass"], found["angle"]]
    assert_within(got, entry["expected"], entry["tolerance"], "UNB-11")
    assert (found["mass_unit"], found["angle_unit"]) == ("g", "deg")


def test_correction_is_told_in_the_units_typed_with_its_uncertainty() -> None:
    text = text_of(*THREE)
    assert "\nresult: fit\n- mass: 7.56 g +/- 0.28 g\n- place: 79.1 deg +/- 1.1 deg\n" in text
    assert "do the readings fit one another: yes" in text
    assert "leaves about 0.17 of 4; run again and read" in text


def test_only_ratios_of_amplitudes_matter() -> None:
    """The same readings in another unit, ten times as large; rel 1e-6."""
    bare = data_of(*THREE)["correction"]
    at = "at=" + ", ".join(f"{p} deg: {10 * amplitude(p):.5f} mm/s" for p in (0, 120, 240))
    large = data_of("initial=40 mm/s", "trial_mass=10 g", at, "u=1 mm/s")
    assert large["amplitude_unit"] == "mm/s"
    for name in ("mass_kg", "u_mass_kg", "angle_rad", "u_angle_rad"):
        assert large["correction"][name] == pytest.approx(bare[name], rel=1e-4)


def test_half_the_trial_mass_in_ounces_is_shown_in_ounces() -> None:
    assert "- mass: 3.78 oz +/- 0.14 oz\n" in text_of(THREE[0], "trial_mass=5 oz", *THREE[2:])


def test_two_clamps_make_the_correction() -> None:
    """UNB-09 (F): 2 w cos(spread / 2) is the mass; D, rel 1e-9."""
    data = data_of(*THREE, "clamp_mass=6 g")
    spread = data["clamps"]["spread_rad"]
    mass = data["correction"]["mass_kg"]
    assert 2 * 6e-3 * math.cos(spread / 2) == pytest.approx(mass, rel=1e-9)
    low, high = data["clamps"]["clamps_rad"]
    assert (low + high) / 2 == pytest.approx(data["correction"]["angle_rad"], rel=1e-9)
    text = text_of(*THREE, "clamp_mass=6 g")
    assert "two clamps of 6 g: at 28.2 deg and 130.1 deg, 101.9 deg apart" in text


def test_clamps_that_are_too_light_are_told() -> None:
    data = data_of(*THREE, "clamp_mass=3 g")
    assert data["clamps"] == {
        "clamps_rad": None,
        "spread_rad": None,
        "remark": "the correction takes 2.52 clamps; two of a larger size are needed",
    }
    assert "two clamps of 3 g: the correction takes 2.52 clamps" in text_of(
        *THREE, "clamp_mass=3 g"
    )


def test_caution_stands_before_the_result() -> None:
    text = text_of(*THREE)
    for words in ("plane in which a clamp or weight would fly", "axle at ride height", "the heat"):
        assert text.index(words) < text.index("result: fit")
    assert text.index("Take off every trial clamp") < text.index("result: fit")


def test_readings_that_disagree_are_not_to_be_fitted() -> None:
    words = (*THREE[:2], "at=0 deg: 6, 120 deg: 2, 240 deg: 9.2", "u=0.1", "clamp_mass=6 g")
    data = data_of(*words)
    assert not data["consistent"]
    text = text_of(*words)
    assert "not to be fitted: The readings don't fit one another" in text
    assert "result" not in text
    assert "two clamps of" not in text


def test_poorly_known_places_and_far_too_large_trials_are_told() -> None:
    at = "at=0 deg: 13, 120 deg: 11, 240 deg: 12.5"
    warnings = data_of("initial=4", "trial_mass=900 g", at, "u=0.001")["warnings"]
    assert warnings[0] == (
        "trial_mass: read 900 g; expected 0.5 g to 200 g; look at the number and unit"
    )
    assert warnings[1].startswith("u: read 0.001, less than 0.2 % of the first reading")
    assert warnings[2] == (
        "at 0 deg the trial mass made it 3.2 times as strong; take a smaller one"
    )
    poor = data_of("initial=4", "trial_mass=1 g", "at=0 deg: 4.5, 120 deg: 3.6, 240 deg: 4", "u=.2")
    assert poor["warnings"][-1].startswith("the correction is known poorly; repeat the runs")


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("4.0", 4.0, ""),
        ("4,2 mm/s", 4.2, "mm/s"),
        ("0.35m/s^2", 0.35, "m/s^2"),
        ("12 %", 12.0, "%"),
        ("1e-3 g", 1e-3, "g"),
        (" 57 µm ", 57.0, "µm"),
    ],
)
def test_amplitude_may_be_bare_or_in_any_unit(text: str, value: float, unit: str) -> None:
    found = read_amplitude(text)
    assert found.value == pytest.approx(value)
    assert found.unit == unit


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("strong", 'read "strong"; write an amplitude such as 4.2 or 4.2 mm/s'),
        ("4 5", 'read "4 5"; write an amplitude such as 4.2 or 4.2 mm/s'),
        ("-4", 'read "-4"; an amplitude is not below 0'),
        ("12 dB", "decibels are no amplitude; read the level in mm/s, m/s^2 or the like"),
        ("2,067", '"2,067" can be read two ways: is it 2067 or 2.067?'),
    ],
)
def test_what_is_no_amplitude_is_refused(text: str, problem: str) -> None:
    with pytest.raises(ValueError, match=f"^{re.escape(problem)}$"):
        read_amplitude(text)


@pytest.mark.parametrize(
    ("words", "problems"),
    [
        (
            ("initial=4 mm/s", "trial_mass=10", "at=0 deg: 6, 120: 2.1, 240 deg 9.1"),
            [
                'trial_mass: "10" has no unit: is it 10 g or 10 kg?',
                "u (the standard uncertainty of an amplitude, such as the scatter of repeated "
                "runs) is missing",
                'at: 2 places are given; write 3 or 4, like at="0 deg: 5.2, 120 deg: 3.1, '
                '240 deg: 6.6"',
                'at: "120" has no unit: is it 120 deg or 120 rad?',
                'at: read "2.1, 240 deg 9.1"; write an amplitude such as 4.2 or 4.2 mm/s',
                'the amplitudes have "mm/s" and no unit; write all in one unit, or all without',
            ],
        ),
        (
            (*THREE[:3], "u=0"),
            ["u: read 0; no reading is certain; write the scatter of repeated runs"],
        ),
        (
            (*THREE[:2], "at=0 deg, 120 deg, 240 deg", "u=0.1"),
            [
                'at: 1 place is given; write 3 or 4, like at="0 deg: 5.2, 120 deg: 3.1, '
                '240 deg: 6.6"',
                'at: "0 deg, 120 deg, 240 deg" has no ":"; write it like 120 deg: 3.1',
            ],
        ),
        (
            (*THREE[:2], "at=0 deg: 6, 10 deg: 3, 240 deg: 9", "u=0.1"),
            ["the trial places 0 deg and 10 deg are closer than 20 deg"],
        ),
        (
            (*THREE[:2], "at=0 deg: 4, 120 deg: 4, 240 deg: 4", "u=0.1"),
            ["the trial mass changed hardly anything; use a larger one"],
        ),
        (
            ("initial=0.004", *THREE[1:3], "u=0.001"),
            ["the amplitudes differ more than 1000 times; look at their decimal points"],
        ),
        (
            ("initial=0.1", *THREE[1:]),
            ["the first reading is hardly more than its uncertainty; nothing to balance"],
        ),
    ],
    ids=["many", "certain", "no-readings", "close", "no-change", "far-apart", "quiet"],
)
def test_all_that_is_wrong_is_told_in_one_go(words: tuple[str, ...], problems: list[str]) -> None:
    assert told(*words) == problems


def test_decimal_commas_do_not_part_places() -> None:
    data = data_of(*THREE[:2], "at=0 deg: 6,0,120 deg:3,46, 240 deg: 9,17", "u=0,1")
    assert [run["amplitude"] for run in data["runs"]] == [6.0, 3.46, 9.17]


def test_data_has_the_fields_that_its_documentation_names() -> None:
    assert list(data_of(*THREE)) == [
        *("inputs", "formula", "source", "initial", "u", "amplitude_unit", "runs", "correction"),
        *("consistent", "misfit", "remark", "expected_amplitude", "clamps", "cautions", "warnings"),
    ]
    assert data_of(*THREE)["clamps"] is None


def test_no_words_show_what_may_be_given() -> None:
    text = trial_weights_answer(()).as_text(80)
    assert 'example: advisor trial-weights initial=4.0 trial_mass="10 g" at="0 deg: 5.2, ' in text
