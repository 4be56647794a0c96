"""Which pictures the facts of the demo cases allow, and with which numbers."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from advisor.cases import CaseSession, open_case
from advisor.computing import shims_answer
from advisor.engine.values import UNKNOWN, Number
from advisor.page.driveline import Driveline
from advisor.page.known import Known, shimmed_driveline
from advisor.report import Display
from tests.page.shop import ROOT, case_of, driveline_rulebook

SHIMS = ROOT / "cases" / "shims"


def known_of(session: CaseSession) -> Known:
    display = Display(session.rulebook, session.case.latest())
    return Known(session.rulebook, session.diagnosis, display)


def known(name: str) -> Known:
    return known_of(open_case(ROOT / "cases" / f"{name}.yaml", driveline_rulebook()))


def test_order_lines_hold_the_reading_and_what_the_rulebook_computed() -> None:
    session = open_case(ROOT / "cases" / "estate-boom-too-close-to-call.yaml", driveline_rulebook())
    found = known_of(session).order_lines()
    assert found is not None
    assert found.speed.value == pytest.approx(110 / 3.6)
    assert found.measured.value == 52.0
    shaft = session.diagnosis.value("shaft-frequency")
    assert isinstance(shaft, Number)
    assert found.order_hz["1x-shaft"] == shaft.value
    assert found.order_hz["2x-shaft"] == 2.0 * shaft.value
    assert found.order_hz["1x-engine"] == pytest.approx(2200 / 60)
    assert found.matching == "1x-shaft"
    assert (found.speed_unit.symbol, found.frequency_unit.symbol) == ("km/h", "Hz")


def test_ring_stack_holds_the_sizes_and_the_end_play_of_the_case() -> None:
    found = known("pickup-shake").ring_stack()
    assert found is not None
    assert (found.span_m, found.width_m) == pytest.approx((0.0801, 0.07698))
    assert found.end_play.value == pytest.approx(0.118e-3)
    assert found.end_play.u > 0.0
    assert found.unit.symbol == "mm"


@pytest.mark.parametrize(
    ("name", "slopes_deg"),
    [
        ("lifted-pickup-moan", (4.0, 9.6, 8.2)),
        ("saloon-shake-with-the-engine", (3.0, 3.3, 5.0, 3.2)),
    ],
)
def test_driveline_holds_all_slopes_of_one_and_of_two_pieces(
    name: str, slopes_deg: tuple[float, ...]
) -> None:
    found = known(name).driveline()
    assert found is not None
    assert found.slopes_rad == pytest.approx(tuple(map(math.radians, slopes_deg)))
    assert found.headings_rad == ()
    assert found.crossed == (False,) * (len(slopes_deg) - 2)


@pytest.mark.parametrize("slope", ["1e29 deg", "90 deg", "-89 deg"])
def test_driveline_that_no_vehicle_has_is_not_drawn(slope: str) -> None:
    session = open_case(ROOT / "cases" / "lifted-pickup-moan.yaml", driveline_rulebook())
    for question in session.rulebook.questions:
        if "slope" in question and session.diagnosis.value(question) is not UNKNOWN:
            answer = slope if "pinion" in question else "45 deg"
            value = session.rulebook.parse_answer(question, answer)
            session.diagnosis.answer(question, value)
    assert known_of(session).driveline() is None


def test_readings_are_the_end_play_and_what_is_too_close_to_call() -> None:
    readings = {
        reading.name: reading for reading in known("estate-boom-too-close-to-call").readings()
    }
    play = readings["reading-end-play-evidence"]
    assert play.edges() == pytest.approx((0.0, 5e-5))
    assert [band.outcome for band in play.bands] == ["preload", "good", "too much"]
    assert "reading-worst-speed-evidence" in readings


def test_nothing_is_drawn_where_nothing_is_measured() -> None:
    nothing = known("coupe-loose-flange")
    assert nothing.order_lines() is None
    assert nothing.ring_stack() is None
    assert nothing.driveline() is None
    assert nothing.readings() == ()


@pytest.mark.parametrize("missing", ["measured-frequency", "measured-at-speed", "tyre-size"])
def test_orders_are_drawn_only_when_reading_speed_and_tyre_are_known(
    missing: str, tmp_path: Path
) -> None:
    answers = {
        "measured-frequency": "52 Hz",
        "measured-at-speed": "110 km/h",
        "tyre-size": "215/60R15",
    }
    whole = known_of(case_of(tmp_path / "whole.yaml", answers)).order_lines()
    assert whole is not None
    assert set(whole.order_hz) == {"1x-wheel", "2x-wheel", "3x-wheel"}
    answers[missing] = "dont-know"
    assert known_of(case_of(tmp_path / "less.yaml", answers)).order_lines() is None


def test_unit_that_was_typed_is_the_one_that_is_drawn(tmp_path: Path) -> None:
    answers = {
        "measured-frequency": "3120 rpm",
        "measured-at-speed": "65 mph",
        "tyre-size": "215/60R15",
    }
    found = known_of(case_of(tmp_path / "case.yaml", answers)).order_lines()
    assert found is not None
    assert (found.speed_unit.symbol, found.frequency_unit.symbol) == ("mph", "rpm")


@pytest.mark.parametrize("name", ["lifted-pickup", "van-two-piece"])
def test_choice_of_shims_is_the_cure_of_its_worst_load(name: str) -> None:
    """The residual angles are those of advisor.driveline.shims."""
    from advisor.driveline.phasing import residual_angle_of

    found = shims_answer(SHIMS / f"{name}.yaml").found
    drawn = shimmed_driveline(found)
    before = max(found.choice.before, key=lambda load: load.residual_rad)
    assert drawn.where == f"Load {before.name}"
    assert residual_angle_of(drawn.joints()) == pytest.approx(before.residual_rad, abs=1e-12)
    (after,) = [load for load in found.choice.loads if load.name == before.name]
    cured = drawn.cured()
    assert isinstance(cured, Driveline)
    assert residual_angle_of(cured.joints()) == pytest.approx(after.residual_rad, abs=1e-12)
