"""The stock file: what a box means, what is refused, and what is only doubted."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from advisor.rulebook import LoadError, Rulebook, load
from advisor.settings import read_settings
from advisor.stock import MOST_BOXES, BoxModel, Stock, StockModel, read_stock
from tests.helpers_rulebook import small_rulebook

MICROMETER = """\
gauges:
  micrometer: {name: Micrometer, step: 0.001 mm, limit: 0.002 mm, source: common practice}
"""


@pytest.fixture
def rulebook(tmp_path: Path) -> Rulebook:
    return load(small_rulebook(tmp_path, x_gauge=MICROMETER))


def stock_of(tmp_path: Path, rulebook: Rulebook, *boxes: str) -> Stock:
    path = tmp_path / "rings.yaml"
    lines = "".join(f"  {box}\n" for box in boxes)
    path.write_text(f"format: 1\nrings:\n{lines}", encoding="utf-8")
    return read_stock(path, rulebook)


def test_box_is_read_with_all_that_it_says(tmp_path: Path, rulebook: Rulebook) -> None:
    text = "a: {thickness: 60 thou, uncertainty: 0.005 mm, count: 3, coated: true, style: inside}"
    (box,) = stock_of(tmp_path, rulebook, text).boxes
    assert (box.name, str(box.thickness)) == ("a", "60 thou")
    assert box.rings.thickness_m == pytest.approx(1.524e-3, abs=1e-12)
    assert box.rings.u_m == pytest.approx(5e-6, abs=1e-15)
    assert box.rings.count == 3
    assert (box.rings.coated, box.rings.style) == (True, "inside")


def test_box_that_says_little_is_bare_steel_for_outside_by_micrometer(
    tmp_path: Path, rulebook: Rulebook
) -> None:
    """u of a micrometer: 0.0011902 mm (handbook section 12, UNC-02, M; abs 1e-7 mm)."""
    (box,) = stock_of(tmp_path, rulebook, "a: {thickness: 1.50 mm, count: 3}").boxes
    assert (box.rings.coated, box.rings.style) == (False, "outside")
    assert box.rings.u_m == pytest.approx(0.0011902e-3, abs=1e-10)


def test_micrometer_of_the_users_settings_counts(tmp_path: Path) -> None:
    path = tmp_path / "settings.yaml"
    text = "format: 1\ngauges: {micrometer: {limit: 0.005 mm}}\n"
    path.write_text(text, encoding="utf-8")
    folder = small_rulebook(tmp_path, x_gauge=MICROMETER)
    changed = load(folder, own=read_settings(path).own)
    (box,) = stock_of(tmp_path, changed, "a: {thickness: 1.50 mm, count: 3}").boxes
    assert 1e3 * box.rings.u_m == pytest.approx(math.sqrt(1e-6 / 12 + 25e-6 / 3), abs=1e-9)


def test_rulebook_without_a_micrometer_wants_an_uncertainty(tmp_path: Path) -> None:
    with pytest.raises(LoadError, match='no gauge "micrometer"'):
        stock_of(tmp_path, load(small_rulebook(tmp_path)), "a: {thickness: 1.50 mm, count: 3}")


@pytest.mark.parametrize(
    ("box", "place", "said"),
    [
        ("a: {thickness: 1.5, count: 3}", (18, "wrong-quantity"), "is it 1.5 in or 1.5 mm"),
        ("a: {thickness: 1.5 kg, count: 3}", (18, "wrong-quantity"), "kg"),
        ("a: {thickness: 0 mm, count: 3}", (18, "wrong-value"), "more than 0 mm; read 0 mm"),
        (
            "a: {thickness: 1 mm, uncertainty: 0 mm, count: 3}",
            (37, "wrong-value"),
            "more than 0 mm",
        ),
        ("a: {thickness: 1 mm, count: -1}", (31, "wrong-value"), '0 or more; read "-1"'),
        ("a: {thickness: 1 mm, count: 2.5}", (31, "wrong-type"), "a whole number"),
        ("a: {thickness: 1 mm}", (3, "missing-field"), '"count" is missing'),
        ("a: {thickness: 1 mm, count: 1, coated: 1}", (42, "wrong-type"), "true or false"),
        ("a: {thickness: 1 mm, count: 1, stile: inside}", (34, "unknown-field"), '"stile"'),
        (
            "a: {thickness: 1 mm, count: 1, style: both}",
            (41, "wrong-value"),
            "'outside' or 'inside'",
        ),
        ("a: 1.5 mm", (6, "wrong-type"), "must be a mapping"),
    ],
)
def test_mistake_is_told_at_its_place(
    tmp_path: Path, rulebook: Rulebook, box: str, place: tuple[int, str], said: str
) -> None:
    """`place` is the column and the code of the first problem."""
    with pytest.raises(LoadError) as caught:
        stock_of(tmp_path, rulebook, box)
    problem = caught.value.problems[0]
    assert (problem.line, problem.column, problem.code) == (3, *place)
    assert said in problem.message


def test_mistakes_of_all_boxes_are_told_at_once(tmp_path: Path, rulebook: Rulebook) -> None:
    with pytest.raises(LoadError) as caught:
        stock_of(
            tmp_path,
            rulebook,
            "a: {thickness: 1.5, count: 3}",
            "b: {thickness: 1.5 mm, count: -3}",
            "c: {thickness: 1.5 mm, count: 3}",
        )
    assert [one.line for one in caught.value.problems] == [3, 4]


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("format: 1\nrings: {}\n", "wrong-value"),
        ("format: 2\nrings: {}\n", "unknown-format"),
        ("format: 1\n", "missing-field"),
    ],
)
def test_stock_of_nothing_is_refused(
    tmp_path: Path, rulebook: Rulebook, text: str, code: str
) -> None:
    path = tmp_path / "rings.yaml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(LoadError) as caught:
        read_stock(path, rulebook)
    assert [one.code for one in caught.value.problems] == [code]


def test_more_boxes_than_can_be_searched_are_refused(tmp_path: Path, rulebook: Rulebook) -> None:
    boxes = [f"a{number}: {{thickness: 1.5 mm, count: 1}}" for number in range(MOST_BOXES + 1)]
    with pytest.raises(LoadError, match=f"at most {MOST_BOXES} items"):
        stock_of(tmp_path, rulebook, *boxes)


@pytest.mark.parametrize(
    ("thickness", "said"),
    [
        ("1.5 in", "read 1.5 in, likely mm;"),
        ("61 mm", "read 61 mm, likely thou;"),
        ("0.06 mm", "read 0.06 mm, likely in;"),
        ("300 mm", "read 300 mm; a ring of 0.5 mm to 4 mm"),
    ],
)
def test_unusual_thickness_is_doubted_with_the_unit_that_was_likely_meant(
    tmp_path: Path, rulebook: Rulebook, thickness: str, said: str
) -> None:
    stock = stock_of(tmp_path, rulebook, f"a: {{thickness: {thickness}, count: 3}}")
    (warning,) = stock.warnings
    assert (warning.line, warning.column, warning.code) == (3, 18, "unlikely-value")
    assert warning.message.startswith(said)
    assert len(stock.boxes) == 1


@pytest.mark.parametrize("thickness", ["0.5 mm", "4 mm", "58 thou"])
def test_usual_thickness_is_not_doubted(tmp_path: Path, rulebook: Rulebook, thickness: str) -> None:
    assert stock_of(tmp_path, rulebook, f"a: {{thickness: {thickness}, count: 3}}").warnings == ()


def test_uncertainty_as_wide_as_the_play_is_doubted(tmp_path: Path, rulebook: Rulebook) -> None:
    text = "a: {thickness: 1.5 mm, uncertainty: 0.005 in, count: 3}"
    (warning,) = stock_of(tmp_path, rulebook, text).warnings
    assert (warning.column, warning.code) == (39, "unlikely-value")
    assert "read an uncertainty of 0.005 in" in warning.message


def test_every_field_has_a_description() -> None:
    for model in (StockModel, BoxModel):
        assert all(field.description for field in model.model_fields.values())
