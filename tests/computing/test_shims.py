"""`advisor shims`: the choice, its uncertainty, and whose limits it is held against."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest

from advisor.computing import shims_answer
from advisor.driveline.uncertainty import gauge_uncertainty
from advisor.layout import wrap
from tests.published.values import ENTRIES, assert_within

EXAMPLES = Path(__file__).parents[2] / "cases" / "shims"
LIMITS = "limits: {smallest: 0.5 deg, greatest: 6 deg, source: a test}\n"
WEDGE = "{name: wedge, kind: wedge, sizes: [%s], pinion_length: 0 mm, shaft_length: 1.3 m}"


def written(folder: Path, slopes: str, *lines: str, sizes: str = "") -> Path:
    path = folder / "driveline.yaml"
    parts = f"adjustments:\n  - {WEDGE % sizes}\n" if sizes else "adjustments: []\n"
    text = f"format: 1\nloads:\n  ride height: {{slopes: [{slopes}]}}\n{parts}{LIMITS}"
    path.write_text(text + "".join(f"{line}\n" for line in lines), encoding="utf-8")
    return path


def data_of(path: Path) -> dict[str, Any]:
    return shims_answer(path).as_data()


def text_of(path: Path) -> str:
    return wrap(shims_answer(path).as_text(1000), 1000)


@pytest.mark.parametrize(
    ("check", "slopes", "crossed"),
    [
        ("DL-01", "0 deg, 5 deg, 1 deg", "[false]"),
        ("DL-03", "0 deg, 3 deg, -1 deg", "[true]"),
        ("DL-05", "0 deg, 2 deg, 6 deg, 9 deg", "[false, false]"),
    ],
)
def test_residual_angle_as_it_is_is_the_one_of_the_handbook(
    check: str, slopes: str, crossed: str, tmp_path: Path
) -> None:
    """Tolerances, sources and marks (M) of the entries."""
    found = data_of(written(tmp_path, slopes, f"crossed: {crossed}"))
    got = found["worst_residual"]["before_deg"]
    assert_within(got, ENTRIES[check]["expected"], ENTRIES[check]["tolerance"], check)


def test_twisting_acceleration_is_the_one_of_the_handbook(tmp_path: Path) -> None:
    """DL-02 (M): 270.6 rad/s^2 at 3000 rpm; tolerance of the entry."""
    path = written(tmp_path, "0 deg, 5 deg, 1 deg", "shaft_speed: 3000 rpm")
    found = data_of(path)["acceleration"]
    assert_within(found["before"], ENTRIES["DL-02"]["expected"], "rel 0.005", "DL-02")
    assert found["shaft_speed_hz"] == pytest.approx(50.0)


def test_uncertainty_of_the_residual_angle_is_that_of_its_slopes(tmp_path: Path) -> None:
    """The linear rule far from cancelling: theta^2 = b1^2 - b2^2, b1 = s2 - s1, b2 = s2 - s3.

    JCGM 100, 5.1.2 (D); within 5 % of the product rule, which sees the curvature.
    """
    u = math.degrees(gauge_uncertainty(math.radians(0.1), math.radians(0.2)))
    slopes = (5 / 3, (5 - 4) / 3, 4 / 3)  # d theta / d slope, for bends of 5 and 4 deg, theta 3
    found = data_of(written(tmp_path, "0 deg, 5 deg, 1 deg"))["worst_residual"]
    assert found["u_before_deg"] == pytest.approx(u * math.hypot(*slopes), rel=0.05)


def test_one_degree_of_wedge_cures_joints_of_five_and_four_degrees(tmp_path: Path) -> None:
    """DL-01 and its cure: both joints 5 deg; abs 1e-4 deg."""
    path = written(tmp_path, "0 deg, 5 deg, 1 deg", sizes="-1 deg, 1 deg")
    data = data_of(path)
    assert data["parts"] == [
        {"name": "wedge", "kind": "wedge", "step": "1 deg", "step_si": pytest.approx(math.pi / 180)}
    ]
    assert data["worst_residual"]["after_deg"] == pytest.approx(0.0, abs=1e-4)
    assert data["worst_residual"]["u_after_deg"] > 0.5
    assert data["worst_residual"]["gain_is_sure"]
    (load,) = data["loads"]
    assert [one["after_deg"] for one in load["joints"]] == pytest.approx([5, 5], abs=1e-9)
    assert "\nresult\n- wedge: 1 deg\n" in text_of(path)


def test_gain_smaller_than_its_uncertainty_is_told(tmp_path: Path) -> None:
    path = written(tmp_path, "0 deg, 2 deg, 0.2 deg", sizes="0.1 deg")
    assert not data_of(path)["worst_residual"]["gain_is_sure"]
    text = text_of(path)
    assert "the gain is smaller than its uncertainty (" in text
    assert "measure more finely, or several times, before any part is fitted" in text
    fine = written(
        tmp_path,
        "0 deg, 2 deg, 0.2 deg",
        "inclinometer: {step: 0.001 deg, limit: 0.001 deg}",
        sizes="0.1 deg",
    )
    assert data_of(fine)["worst_residual"]["gain_is_sure"]
    assert "smaller than its uncertainty" not in text_of(fine)


def test_leaving_all_as_it_is_may_be_best(tmp_path: Path) -> None:
    path = written(tmp_path, "0 deg, 2 deg, 0 deg", sizes="2 deg")
    assert data_of(path)["parts"][0]["step"] is None
    text = text_of(path)
    assert "- wedge: leave as it is\n" in text
    assert "no part at hand does better than leaving all as it is" in text
    assert "gain:" not in text


def test_caution_stands_before_the_result() -> None:
    text = text_of(EXAMPLES / "lifted-pickup.yaml")
    for words in ("axle at ride height", "the maker's torque", "every nut", "castor", "Chock"):
        assert text.index(words) < text.index("\nresult\n")


def test_limits_of_acceleration_say_whose_they_are(tmp_path: Path) -> None:
    """Handbook section 2.5: 300 (M), 400 (F) and 500 rad/s^2 (M)."""
    path = written(tmp_path, "0 deg, 5 deg, 1 deg", "shaft_speed: 4500 rpm", sizes="1 deg")
    limits = data_of(path)["acceleration"]["limits"]
    assert [one["limit"] for one in limits] == [300.0, 400.0, 500.0]
    assert [one["before"] for one in limits] == ["outside", "cannot-tell", "cannot-tell"]
    assert [one["after"] for one in limits] == ["within"] * 3
    text = text_of(path)
    assert (
        "- 300 rad/s^2, SAE AE-7 and trade use, light vehicles (M, from memory): "
        "before above, after below\n" in text
    )
    assert "- 500 rad/s^2, trade use, heavy vehicles (M, from memory): before too near to" in text
    assert "which of these limits holds for this vehicle, its maker says" in text


def test_joints_outside_their_limits_are_told_with_whose_limits(tmp_path: Path) -> None:
    path = written(tmp_path, "0 deg, 8 deg, 0 deg")
    data = data_of(path)
    assert not data["joints_allowed"]
    assert data["limits"]["source"] == "a test"
    assert data["remarks"][0] == "ride height: joint 1 bends by 8.00 deg, above 6 deg"
    text = text_of(path)
    assert "- joint angles from 0.5 deg to 6 deg: a test; the maker's go first\n" in text
    assert "remark: no choice of these parts keeps all joint angles to the limits" in text


def test_joint_near_a_limit_is_not_called_good(tmp_path: Path) -> None:
    text = text_of(written(tmp_path, "0 deg, 0.6 deg, 0 deg"))
    assert "remark: ride height: joint 1 is too near to 0.5 deg to tell on which side" in text


def test_gain_over_two_loads_combines_their_uncertainties(tmp_path: Path) -> None:
    """Worst load 1 before, load 2 after: independent readings, root of the sum of squares (D)."""
    path = tmp_path / "two.yaml"
    path.write_text(
        "format: 1\nloads:\n"
        "  one: {slopes: [0 deg, 5 deg, 1 deg]}\n  two: {slopes: [0 deg, 4 deg, 0 deg]}\n"
        f"adjustments:\n  - {WEDGE % '0.8 deg'}\n{LIMITS}",
        encoding="utf-8",
    )
    found = data_of(path)["worst_residual"]
    loads = {load["name"]: load["residual"] for load in data_of(path)["loads"]}
    assert found["before_deg"] == loads["one"]["before_deg"]
    assert found["after_deg"] == loads["two"]["after_deg"]
    expected = math.hypot(loads["one"]["u_before_deg"], loads["two"]["u_after_deg"])
    assert found["u_gain_deg"] == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("*.yaml")), ids=lambda path: path.stem)
def test_examples_bring_the_residual_angle_down(path: Path) -> None:
    data = data_of(path)
    assert data["worst_residual"]["gain_is_sure"]
    assert data["joints_allowed"]
    assert data["warnings"] == []
    assert "invented" in path.read_text(encoding="utf-8").splitlines()[0]


def test_data_has_the_fields_that_its_documentation_names() -> None:
    data = data_of(EXAMPLES / "van-two-piece.yaml")
    assert list(data) == [
        *("vehicle", "parts", "worst_residual", "joints_allowed", "limits", "remarks", "loads"),
        *("acceleration", "u_slope_deg", "formula", "source", "cautions", "warnings"),
    ]
    assert data["loads"][0]["residual"].keys() == data["loads"][0]["joints"][0].keys()
