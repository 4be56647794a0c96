"""A vehicle that came back: what lasts is taken over, a repair that never cured is evidence."""

from __future__ import annotations

import pytest

from advisor.cases import CaseExistsError, CaseIdError, CaseSession, Result, open_case, read_case
from advisor.life import (
    EverRight,
    Reopened,
    StillOpenError,
    reopen,
    reopened_text,
    reopened_view,
)


@pytest.fixture
def closed(van: CaseSession) -> CaseSession:
    """Answers that last for the vehicle, until work, and not at all."""
    van.answer("layout", "one-piece")
    van.answer("noises", "boom")
    van.answer("play", "0.3 mm")
    van.answer("old-ring", "1.50 mm")
    van.note_closing(work="Thicker rings")
    van.close(Result(causes=("loose-joint",)), by="technician")
    return van


def again(closed: CaseSession, right: EverRight = "yes") -> Reopened:
    return reopen(closed, closed.path.with_name("van-2.yaml"), right, "It shudders again")


def test_lasting_answers_are_taken_over_but_not_what_the_work_touched(closed: CaseSession) -> None:
    done = again(closed)
    assert done.taken_over == ("layout", "old-ring")
    assert done.to_ask_again == ("play",)
    on_disk = read_case(closed.path.with_name("van-2.yaml"))
    assert on_disk == done.case
    assert on_disk.latest() == {"layout": "one-piece", "old-ring": "1.50 mm"}
    assert {record.from_case for record in on_disk.answers} == {"van"}


def test_what_was_read_again_after_the_work_holds(closed: CaseSession) -> None:
    closed.read_after("play", "0.03 mm")
    done = again(closed)
    assert done.case.latest()["play"] == "0.03 mm"
    assert done.to_ask_again == ()


def test_dont_know_is_asked_again(closed: CaseSession) -> None:
    closed.answer("layout", "dont-know")
    assert "layout" not in again(closed).case.latest()


def test_repair_that_never_cured_is_evidence(closed: CaseSession) -> None:
    done = again(closed, "no")
    assert done.repairs == ("loose-joint",)
    session = open_case(closed.path.with_name("van-2.yaml"), closed.rulebook)
    assert session.diagnosis.mended == {"loose-joint"}


@pytest.mark.parametrize("right", ["yes", "dont-know"])
def test_repair_that_cured_for_a_time_is_held_against_nothing(
    closed: CaseSession, right: EverRight
) -> None:
    done = again(closed, right)
    assert (done.repairs, done.case.repairs) == ((), ())


def test_new_case_names_the_earlier_one_and_its_work(closed: CaseSession) -> None:
    case = again(closed, "no").case
    assert case.comeback_of is not None
    assert (case.comeback_of.case, case.comeback_of.ever_right) == ("van", "no")
    assert case.comeback_of.causes == ("loose-joint",)
    assert (case.comeback_of.work, case.comeback_of.complaint) == ("Thicker rings", "It shudders")
    assert (case.vehicle, case.complaint) == ("A van", "It shudders again")


def test_test_of_which_answers_were_taken_over_still_costs_its_minutes(
    closed: CaseSession,
) -> None:
    again(closed)
    session = open_case(closed.path.with_name("van-2.yaml"), closed.rulebook)
    assert session.minutes_of(session.test_of("noises")) == 3.0
    session.answer("noises", "boom")
    assert session.case.minutes_spent == 3.0


def test_open_case_cannot_come_back(van: CaseSession) -> None:
    with pytest.raises(StillOpenError):
        again(van)
    assert not van.path.with_name("van-2.yaml").exists()


def test_nothing_is_overwritten(closed: CaseSession) -> None:
    again(closed)
    before = closed.path.with_name("van-2.yaml").read_bytes()
    with pytest.raises(CaseExistsError):
        again(closed, "no")
    assert closed.path.with_name("van-2.yaml").read_bytes() == before


@pytest.mark.parametrize("name", ["Van 2.yaml", "van-\udcff.yaml", "/"])
def test_name_that_is_no_case_id_is_refused(closed: CaseSession, name: str) -> None:
    with pytest.raises(CaseIdError):
        reopen(closed, closed.path.parent / name, "yes")


def test_text_says_what_is_taken_over_and_what_counts(closed: CaseSession) -> None:
    shown = reopened_text(reopened_view(again(closed, "no"), closed.rulebook))
    assert "taken over from it:\n- How many pieces has the shaft?" in shown
    assert "work may have changed it:\n- What is the end play of the cross?" in shown
    assert "counts as a repair without a cure: Cross loose in its fork" in shown
