"""The rings of a cure: chosen from the stock, wanted, or waiting for a measurement."""

from __future__ import annotations

import math
from pathlib import Path
from statistics import NormalDist

import pytest

from advisor.cases import open_case
from advisor.report import assess, assessment_text
from advisor.report.ringstext import rings_lines
from advisor.report.ringviews import RingsView
from advisor.rulebook import Rulebook, load
from advisor.settings import read_settings
from advisor.stock import read_stock
from tests.report.ring_shop import (
    BOTH_AXES,
    FIRST_AXIS,
    OLD_STACK,
    OTHER_AXIS,
    ring_folder,
    ring_rulebook,
    write_case,
    write_stock,
)

U_CALIPER_MM = math.sqrt(0.01**2 / 12 + 0.02**2 / 3)
U_MICROMETER_MM = math.sqrt(0.001**2 / 12 + 0.002**2 / 3)
U_INDICATOR_MM = math.sqrt(0.01**2 / 12 + 0.01**2 / 3)
THIN = "thickness: 1.49 mm, count: 6"
ALUMINIUM = BOTH_AXES | {"fork-material": "aluminium"}


def view_of(tmp_path: Path, answers: dict[str, str], **boxes: str) -> RingsView:
    """The advice for these answers; without boxes there is no stock."""
    return view_with(ring_rulebook(tmp_path), tmp_path, answers, **boxes)


def view_with(
    rulebook: Rulebook, tmp_path: Path, answers: dict[str, str], **boxes: str
) -> RingsView:
    """The same with another rulebook."""
    session = open_case(write_case(tmp_path / "pickup.yaml", answers), rulebook)
    stock = read_stock(write_stock(tmp_path / "rings.yaml", **boxes), rulebook) if boxes else None
    cure = assess(session.case, rulebook, session.diagnosis, stock=stock).cure
    assert cure is not None
    assert cure.rings is not None
    return cure.rings


def text_of(view: RingsView) -> str:
    return "\n".join(rings_lines(view))


def test_boxes_are_chosen_for_both_axes_and_what_is_left_is_counted(tmp_path: Path) -> None:
    view = view_of(
        tmp_path,
        BOTH_AXES,
        thin="thickness: 1.49 mm, count: 6",
        thick="thickness: 1.51 mm, count: 2",
    )
    assert view.status == "chosen"
    boxes = [[(ring.box, ring.left) for ring in axis.rings] for axis in view.chosen]
    assert boxes == [[("thick", 0), ("thick", 0)], [("thin", 4), ("thin", 4)]]
    assert (view.wanted, view.open, view.remarks) == ((), (), ())


def test_box_that_serves_both_axes_is_counted_for_both(tmp_path: Path) -> None:
    same = FIRST_AXIS | {"other-span": "80.00 mm", "other-width": "76.95 mm"}
    view = view_of(
        tmp_path, same | {"fork-material": "steel"}, thick="thickness: 1.51 mm, count: 5"
    )
    assert {ring.left for axis in view.chosen for ring in axis.rings} == {1}


def test_play_expected_carries_the_uncertainty_of_every_reading(tmp_path: Path) -> None:
    """u of span and width by caliper, rings by micrometer: handbook section 12, UNC-06 (D)."""
    view = view_of(tmp_path, BOTH_AXES, thick="thickness: 1.51 mm, count: 2", thin=THIN)
    axis = view.chosen[0]
    u_mm = math.sqrt(2 * U_CALIPER_MM**2 + 2 * U_MICROMETER_MM**2)
    assert axis.end_play_m == pytest.approx(0.03e-3, abs=1e-9)
    assert axis.u_end_play_m == pytest.approx(u_mm / 1e3, abs=1e-9)
    assert axis.end_play == "0.030 mm +/- 0.017 mm"
    law = NormalDist(0.03, u_mm)
    assert axis.probability == pytest.approx(law.cdf(0.05) - law.cdf(0.0), abs=1e-6)
    assert view.probability == pytest.approx(
        axis.probability * view.chosen[1].probability, abs=1e-9
    )


def test_off_centre_comes_with_the_runout_that_is_twice_as_large(tmp_path: Path) -> None:
    """Runout = 2 x offset, offset = half the difference of the rings (handbook section 8, D)."""
    view = view_of(
        tmp_path,
        BOTH_AXES,
        one="thickness: 1.505 mm, count: 1",
        other="thickness: 1.515 mm, count: 1",
        thin=THIN,
    )
    assert view.chosen[0].off_centre_m == pytest.approx(5e-6, abs=1e-12)
    assert (view.off_centre, view.runout) == ("0.005 mm", "0.01 mm")
    assert 'one ring of box "one" (1.505 mm; 0 left after this)' in text_of(view)


# -- one axis, or none --


def test_axis_that_is_measured_alone_is_filled_and_the_other_asked_for(tmp_path: Path) -> None:
    view = view_of(
        tmp_path, FIRST_AXIS | {"fork-material": "steel"}, a="thickness: 1.51 mm, count: 2"
    )
    assert view.status == "chosen"
    assert [axis.axis for axis in view.chosen] == [1]
    assert [(axis.axis, [fact.id for fact in axis.measure]) for axis in view.open] == [
        (2, ["other-span", "other-width"])
    ]
    assert any("measure axis 2 too" in remark for remark in view.remarks)
    assert "axis 2: still to be measured:" in text_of(view)


def test_second_axis_alone_keeps_its_number(tmp_path: Path) -> None:
    view = view_of(
        tmp_path, OTHER_AXIS | {"fork-material": "steel"}, a="thickness: 1.49 mm, count: 2"
    )
    assert [axis.axis for axis in view.chosen] == [2]
    assert [axis.axis for axis in view.open] == [1]
    assert any("measure axis 1 too" in remark for remark in view.remarks)


def test_without_measurements_the_questions_are_named_that_would_do(tmp_path: Path) -> None:
    view = view_of(tmp_path, {}, a="thickness: 1.49 mm, count: 2")
    assert view.status == "not-measured"
    assert (view.chosen, view.wanted) == ((), ())
    assert [fact.name for fact in view.open[0].measure] == [
        "How wide is the yoke between its ring grooves?",
        "How long is the cross over its bearing cups?",
    ]


def test_fewest_missing_measurements_are_asked_for(tmp_path: Path) -> None:
    rings = {"ring-1": "1.48 mm", "ring-2": "1.48 mm"}
    view = view_of(tmp_path, rings, a="thickness: 1.49 mm, count: 2")
    assert [fact.id for fact in view.open[0].measure] == ["play-now"]


def test_cautions_of_what_is_still_to_be_measured_come_before_the_cure(tmp_path: Path) -> None:
    session = open_case(write_case(tmp_path / "c.yaml", FIRST_AXIS), ring_rulebook(tmp_path))
    assessment = assess(session.case, session.rulebook, session.diagnosis)
    assert assessment.cure is not None
    assert "Support the fork." in assessment.cure.cautions
    text = assessment_text(assessment)
    cure = text[text.index("THE CURE") :]
    assert 0 < cure.index("CAUTION: Support the fork.") < cure.index("RINGS")


def test_sizes_that_leave_no_room_say_so(tmp_path: Path) -> None:
    swapped = {"yoke-span": "76.95 mm", "cross-width": "80.00 mm"}
    view = view_of(tmp_path, swapped, a="thickness: 1.49 mm, count: 2")
    assert view.status == "not-measured"
    assert view.open[0].reason == ("no room for rings: the span is 76.95 mm and the width 80 mm")
    hardly = {"yoke-span": "80.00 mm", "cross-width": "79.98 mm"}
    (first, _) = view_of(tmp_path, hardly, a="thickness: 1.49 mm, count: 2").open
    assert first.reason == "only 0.02 mm are left for both rings and the play"


def test_rings_of_an_unusual_thickness_are_pointed_out(tmp_path: Path) -> None:
    view = view_of(tmp_path, FIRST_AXIS | {"cross-width": "66.95 mm"})
    assert any("Rings of 6.513 mm are unusual" in remark for remark in view.remarks)


# -- the old rings and their end play --


def test_old_rings_and_their_play_serve_where_no_size_is_known(tmp_path: Path) -> None:
    """e + t1 + t2 is the room (handbook section 8, EP-05, D)."""
    view = view_of(tmp_path, OLD_STACK, a="thickness: 1.51 mm, count: 2")
    (axis,) = view.chosen
    assert axis.known_by == "the old rings and their end play"
    assert axis.end_play_m == pytest.approx(0.03e-3, abs=1e-9)
    u_mm = math.sqrt(U_INDICATOR_MM**2 + 4 * U_MICROMETER_MM**2)
    assert axis.u_end_play_m == pytest.approx(u_mm / 1e3, abs=1e-9)


def test_of_two_ways_the_less_uncertain_is_taken(tmp_path: Path) -> None:
    text = "format: 1\ngauges: {caliper: {limit: 0.002 mm, step: 0.001 mm}}\n"
    (tmp_path / "s.yaml").write_text(text, encoding="utf-8")
    fine = load(ring_folder(tmp_path), own=read_settings(tmp_path / "s.yaml").own)
    answers = FIRST_AXIS | OLD_STACK
    boxes = {"a": "thickness: 1.51 mm, count: 2"}
    assert view_with(fine, tmp_path, answers, **boxes).chosen[0].known_by == "span and width"
    by_caliper = view_of(tmp_path, answers, **boxes)
    assert by_caliper.chosen[0].known_by == "the old rings and their end play"


def test_ways_that_disagree_are_pointed_out(tmp_path: Path) -> None:
    view = view_of(tmp_path, FIRST_AXIS | OLD_STACK | {"play-now": "0.25 mm"})
    assert any("Two ways to know the room of axis 1 disagree" in one for one in view.remarks)
    agreed = view_of(tmp_path, FIRST_AXIS | OLD_STACK)
    assert not any("disagree" in one for one in agreed.remarks)


def test_old_play_of_nothing_may_hide_a_preload(tmp_path: Path) -> None:
    view = view_of(tmp_path, OLD_STACK | {"play-now": "0 mm"})
    assert view.status == "not-measured"
    assert "which may hide a preload" in (view.open[0].reason or "")
    assert [fact.id for fact in view.open[0].measure] == ["yoke-span", "cross-width"]


# -- nothing that fits --


def test_without_a_stock_the_thickness_wanted_is_told_and_how_to_give_one(tmp_path: Path) -> None:
    view = view_of(tmp_path, BOTH_AXES)
    assert view.status == "no-stock"
    assert [axis.thickness for axis in view.wanted] == ["1.513 mm", "1.493 mm"]
    assert view.wanted[0].thickness_m == pytest.approx(1.5125e-3, abs=1e-9)
    assert "advisor rings CASE --stock FILE" in text_of(view)


def test_stock_that_fits_nothing_says_which_rings_to_get_and_those_suffice(tmp_path: Path) -> None:
    view = view_of(tmp_path, BOTH_AXES, a="thickness: 1.40 mm, count: 8")
    assert view.status == "not-enough"
    assert view.chosen == ()
    for end in ("thinnest", "thickest"):
        got = {f"axis-{one.axis}": getattr(one, end) for one in view.wanted}
        boxes = {name: f"thickness: {thickness}, count: 2" for name, thickness in got.items()}
        assert view_of(tmp_path, BOTH_AXES, **boxes).status == "chosen"


def test_stock_for_one_axis_only_fills_that_one_and_wants_the_other(tmp_path: Path) -> None:
    view = view_of(tmp_path, BOTH_AXES, a="thickness: 1.49 mm, count: 2")
    assert view.status == "one-axis-only"
    assert [axis.axis for axis in view.chosen] == [2]
    assert [axis.axis for axis in view.wanted] == [1]


def test_aluminium_fork_with_bare_rings_only_gets_none(tmp_path: Path) -> None:
    bare = {"a": "thickness: 1.51 mm, count: 4", "b": "thickness: 1.49 mm, count: 4"}
    assert view_of(tmp_path, BOTH_AXES, **bare).status == "chosen"
    view = view_of(tmp_path, ALUMINIUM, **bare)
    assert (view.status, view.chosen) == ("not-enough", ())
    assert view.remarks[0] == "A fork of aluminium takes coated rings only, as the maker states."
    coated = {name: f"{fields}, coated: true" for name, fields in bare.items()}
    assert view_of(tmp_path, ALUMINIUM, **coated).status == "chosen"


def test_fork_of_unknown_material_is_taken_for_steel_and_that_is_said(tmp_path: Path) -> None:
    bare = {"a": "thickness: 1.51 mm, count: 4", "b": "thickness: 1.49 mm, count: 4"}
    view = view_of(tmp_path, FIRST_AXIS | OTHER_AXIS, **bare)
    assert view.status == "chosen"
    assert any("What is the fork made of? It is taken for steel" in one for one in view.remarks)


def test_box_of_the_other_style_is_left_alone(tmp_path: Path) -> None:
    inside = {
        "a": "thickness: 1.51 mm, count: 4, style: inside",
        "b": "thickness: 1.49 mm, count: 4, style: inside",
    }
    assert view_of(tmp_path, BOTH_AXES, **inside).status == "not-enough"


def test_readings_too_coarse_to_choose_by_say_how_fine_they_must_be(tmp_path: Path) -> None:
    """A caliper of +/-0.03 mm: u of the play 0.025 mm, 0.68 within limits at best (section 12)."""
    text = "format: 1\ngauges: {caliper: {limit: 0.03 mm}}\n"
    (tmp_path / "s.yaml").write_text(text, encoding="utf-8")
    coarse = load(ring_folder(tmp_path), own=read_settings(tmp_path / "s.yaml").own)
    boxes = {"a": "thickness: 1.51 mm, count: 4", "b": "thickness: 1.49 mm, count: 4"}
    view = view_with(coarse, tmp_path, BOTH_AXES, **boxes)
    assert view.status == "not-enough"
    assert view.wanted[0].thinnest is view.wanted[0].thickest is None
    assert view.wanted[0].probability == pytest.approx(0.68, abs=0.01)
    settled_by = view.wanted[0].settled_by or ""
    assert settled_by.startswith("span and width known to 0.017 mm each (standard uncertainty)")
    assert "Micrometer" in settled_by
    assert "Digital caliper" not in settled_by
    assert "no ring can be chosen by these readings" in text_of(view)
    assert "the closest are:" in text_of(view)


# -- units --


def test_lengths_are_shown_in_the_units_of_the_user(tmp_path: Path) -> None:
    inches = {"yoke-span": "3.1496 in", "cross-width": "3.0295 in", "fork-material": "steel"}
    view = view_of(tmp_path, inches, a="thickness: 59.5 thou, count: 2")
    assert view.chosen[0].rings[0].thickness == "59.5 thou"
    assert view.chosen[0].end_play == "0.00110 in +/- 0.00067 in"
    assert view_of(tmp_path, inches).wanted[0].thickness == "0.05956 in"
