"""Concern, road test, cause and correction, as values and as text."""

from __future__ import annotations

import json
from pathlib import Path

from advisor.cases import CaseSession, Comeback, Noted, Result
from advisor.life import (
    Private,
    Statement,
    Wanted,
    hand_over_text,
    proof_step,
    statement_of,
    statement_text,
    take_rings,
)


def statement(session: CaseSession, private: Private | None = None) -> Statement:
    return statement_of(session.case, session.rulebook, session.diagnosis, private)


def text(session: CaseSession) -> str:
    return statement_text(statement(session))


def closed(session: CaseSession) -> CaseSession:
    session.answer("play", "0.30 mm")
    session.note_closing(work="Thicker rings fitted", parts=("a seal",), complaint_gone=True)
    session.read_after("play", "1 thou")
    session.note_closing(
        proof=(proof_step("Measure again.", "1 thou"), proof_step("Drive it.", "not-done")),
        noted=(Noted(what="ring thickness", words="1.54 mm"),),
        minutes=50.0,
    )
    session.close(Result(causes=("loose-joint",), note="The cross could be pushed to and fro"))
    return session


def test_open_case_states_the_concern_and_a_road_test(van: CaseSession) -> None:
    van.answer("noises", "boom")
    van.answer("speed", "100 km/h")
    shown = text(van)
    assert 'The customer\'s own words: "It shudders"' in shown
    assert "It makes a boom. It is worst at 100 km/h." in shown
    assert "Not asked: under which load; since when; after which work." in shown
    assert "CAUSE" not in shown
    assert "CORRECTION" not in shown


def test_road_test_has_cautions_first_then_where_to_look_then_the_tests(van: CaseSession) -> None:
    van.answer("speed", "100 km/h")
    shown = hand_over_text(statement(van))
    order = [
        shown.index("caution: Check for loose parts before driving."),
        shown.index("Go slowly through "),
        shown.index("1. Does it shudder in neutral as well? (5"),
    ]
    assert order == sorted(order)


def test_band_of_speed_is_twice_the_uncertainty_to_either_side(van: CaseSession) -> None:
    van.answer("speed", "100 km/h")
    plan = statement(van).road_test
    assert plan is not None
    # u = sqrt(1/12 + 9/3) = 1.756 km/h (JCGM 100); 100 -+ 3.51, whole
    assert "Go slowly through 96 km/h to 104 km/h, up and down." in plan.look


def test_road_test_without_a_speed_says_so(van: CaseSession) -> None:
    plan = statement(van).road_test
    assert plan is not None
    assert plan.look == (
        "No speed is known: go slowly through all the speeds that the road allows.",
    )
    assert (plan.minutes, [test.id for test in plan.tests]) == (20.0, ["shudder-in-neutral"])


def test_verdict_on_driving_comes_first_and_no_road_test_is_planned(van: CaseSession) -> None:
    van.answer("bolts-loose", "yes")
    assert text(van).startswith(
        "STOP DRIVING: Flange bolts are loose\n   Do not drive this vehicle."
    )
    assert statement(van).road_test is None
    assert "None: the vehicle must not be driven." in text(van)


def test_closed_case_states_cause_and_correction(van: CaseSession) -> None:
    shown = text(closed(van))
    for line in (
        "CAUSE\nCross loose in its fork. The rings are too thin.\n"
        "The cross could be pushed to and fro.",
        "CORRECTION\nThicker rings fitted.\nParts used: a seal.",
        "- What is the end play of the cross? 0.30 mm before, 1 thou after",
        "The complaint is gone.",
        "- done: Measure again: 1 thou\n- not done: Drive it\n",
        "- ring thickness: 1.54 mm",
        "Work and proof took 50",
    ):
        assert line in shown
    assert "ROAD TEST" not in shown


def test_rings_are_named_with_their_box(van: CaseSession, stock: Path) -> None:
    take_rings(van, stock, [Wanted("tray-2", 2)])
    assert "2 rings of 61.0 thou from box tray-2." in text(van)
    van.note_closing(rings=(van.closing.rings[0].model_copy(update={"booked": False}),))
    assert "box tray-2; the stock is not lessened by them yet." in text(van)


def test_what_nobody_wrote_down_is_said_to_be_missing(van: CaseSession) -> None:
    van.close(Result(none_of_the_listed=True))
    shown = text(van)
    assert "none of the listed causes." in shown
    assert "What was done is not written down." in shown
    assert "No step of the proof of the cure is written down." in shown


def test_comeback_and_failed_repairs_stand_in_the_concern(van: CaseSession) -> None:
    van.mend("unbalance")
    earlier = Comeback(
        case="car", ever_right="no", causes=("loose-joint", "gone-id"), work="Rings."
    )
    case = van.case.model_copy(update={"comeback_of": earlier})
    shown = statement_text(statement_of(case, van.rulebook, van.diagnosis))
    assert (
        "It comes back. Case car: Cross loose in its fork; gone-id, and this was done: Rings; "
        "it was never right after that work." in shown
    )
    assert "Repaired without a cure: Shaft out of balance." in shown


def test_private_data_are_shown_only_when_they_are_handed_over(van: CaseSession) -> None:
    private = Private(format=1, customer="A. Customer", plate="AB 12")
    assert "A. Customer" in statement_text(statement(van, private))
    assert statement(van).as_data()["private"] is None
    assert statement(van, private).as_data()["private"] == {
        "customer": "A. Customer",
        "plate": "AB 12",
    }


def test_statement_is_plain_data_with_its_format(van: CaseSession) -> None:
    data = json.loads(json.dumps(statement(closed(van)).as_data()))
    assert data["format"] == 1
    assert data["causes"][0]["id"] == "loose-joint"
    assert data["correction"]["measured"][0] == {
        "fact": "play",
        "name": "What is the end play of the cross?",
        "before": "0.30 mm",
        "after": "1 thou",
    }
