"""An open case: file and diagnosis stay in step."""

from __future__ import annotations

import errno
import os
from datetime import UTC, datetime
from pathlib import Path

import pytest

from advisor.cases import (
    CaseExistsError,
    CaseIdError,
    CaseLock,
    CaseSession,
    InUseError,
    Record,
    Result,
    WriteError,
    new_case,
    open_case,
    read_case,
)
from advisor.cases import session as session_module
from advisor.cases.records import Repair
from advisor.cases.session import replay
from advisor.engine.diagnosis import Diagnosis
from advisor.engine.values import UNKNOWN, Number
from advisor.rulebook import AnswerError, Rulebook


@pytest.fixture
def van(tmp_path: Path, shop: Rulebook, monkeypatch: pytest.MonkeyPatch) -> CaseSession:
    moment = datetime(2024, 5, 1, 9, 30, tzinfo=UTC)
    monkeypatch.setattr(session_module, "utc_now", lambda: moment)
    return new_case(tmp_path / "van.yaml", shop, vehicle="A van", complaint="It shudders")


def test_new_case_is_on_disk_at_once_and_names_its_rulebook(van: CaseSession) -> None:
    on_disk = read_case(van.path)
    assert (on_disk.id, on_disk.complaint) == ("van", "It shudders")
    assert (on_disk.rulebook.id, on_disk.rulebook.version) == ("shop", "1.0.0")


def test_new_case_never_overwrites_a_file(van: CaseSession, shop: Rulebook) -> None:
    before = van.path.read_bytes()
    with pytest.raises(CaseExistsError):
        new_case(van.path, shop)
    assert van.path.read_bytes() == before


def test_new_case_needs_a_name_that_is_an_id(tmp_path: Path, shop: Rulebook) -> None:
    with pytest.raises(CaseIdError):
        new_case(tmp_path / "My Van.yaml", shop)


def test_answer_is_logged_as_typed_with_time_role_and_minutes(van: CaseSession) -> None:
    van.answer("play", "12 thou", by="technician")
    assert read_case(van.path).answers == (
        Record(
            question="play",
            answer="12 thou",
            at="2024-05-01T09:30:00Z",
            by="technician",
            minutes=6.0,
        ),
    )


def test_name_is_kept_only_when_it_was_given(van: CaseSession) -> None:
    van.answer("layout", "one-piece")
    van.who = "RB"
    van.answer("history", "new rings")
    van.take_back("history")
    van.mend("unbalance")
    case = read_case(van.path)
    assert [record.who for record in case.answers] == [None, "RB", "RB"]
    assert (case.repairs[0].who, case.repairs[0].minutes) == ("RB", 140.0)


def test_reading_after_the_work_is_kept_and_changes_no_ranking(
    van: CaseSession, shop: Rulebook
) -> None:
    van.answer("play", "0.3 mm")
    before = van.diagnosis.ranking()
    van.read_after("play", "0.03 mm")
    assert van.diagnosis.ranking() == before
    again = open_case(van.path, shop)
    assert again.closing.latest_after() == {"play": "0.03 mm"}
    assert again.diagnosis.ranking() == before


def test_closing_keeps_what_was_noted_before_it(van: CaseSession) -> None:
    van.note_closing(work="Thicker rings fitted", minutes=40.0)
    van.close(Result(causes=("loose-joint",)), by="technician")
    closing = read_case(van.path).closing
    assert closing is not None
    assert (closing.work, closing.minutes) == ("Thicker rings fitted", 40.0)
    assert (closing.at, closing.by) == ("2024-05-01T09:30:00Z", "technician")


def test_last_answer_counts_and_earlier_ones_stay_in_the_log(
    van: CaseSession, shop: Rulebook
) -> None:
    van.answer("play", "0.1 mm")
    van.answer("layout", "one-piece")
    van.answer("play", "0.3 mm")
    again = open_case(van.path, shop)
    assert [record.answer for record in again.case.answers] == ["0.1 mm", "one-piece", "0.3 mm"]
    value = again.diagnosis.value("play")
    assert isinstance(value, Number)
    assert value.value == pytest.approx(0.0003, rel=1e-12)
    assert again.diagnosis.ranking() == van.diagnosis.ranking()


def test_taking_back_forgets_the_answer_and_keeps_the_log(van: CaseSession, shop: Rulebook) -> None:
    before = van.diagnosis.ranking()
    van.answer("bolts-loose", "yes")
    van.take_back("bolts-loose")
    assert van.diagnosis.ranking() == before
    again = open_case(van.path, shop)
    assert not again.diagnosis.is_answered("bolts-loose")
    assert len(again.case.answers) == 2


def test_dont_know_is_remembered_as_an_answer(van: CaseSession, shop: Rulebook) -> None:
    van.answer("layout", "dont-know")
    again = open_case(van.path, shop)
    assert again.diagnosis.is_answered("layout")
    assert again.diagnosis.value("layout") is UNKNOWN


def test_unreadable_answer_changes_nothing(van: CaseSession) -> None:
    before = van.path.read_bytes()
    with pytest.raises(AnswerError):
        van.answer("play", "0.3")
    assert van.path.read_bytes() == before
    assert not van.diagnosis.is_answered("play")


def test_minutes_of_a_test_and_of_the_way_are_spent_once(van: CaseSession) -> None:
    van.answer("layout", "one-piece")
    assert van.case.minutes_spent == 3.0  # the test "basics" at the desk, where one begins
    van.answer("history", "none")
    assert van.case.minutes_spent == 3.0
    van.answer("play", "0.3 mm")
    assert van.case.minutes_spent == 9.0  # 2 to the bench, 4 there
    van.answer("play", "0.2 mm")
    assert (van.case.minutes_spent, van.place) == (9.0, "bench")


def test_changing_an_answer_at_another_place_spends_the_way_only(van: CaseSession) -> None:
    van.answer("shudder-in-neutral", "yes")
    van.answer("play", "0.3 mm")
    van.answer("shudder-in-neutral", "no")
    assert van.case.minutes_spent == 20.0 + 6.0 + 15.0


def test_case_names_the_rulebook_that_ranked_it_last(van: CaseSession, shop: Rulebook) -> None:
    text = van.path.read_text(encoding="utf-8").replace('"1.0.0"', '"0.9.0"')
    van.path.write_text(text, encoding="utf-8")
    session = open_case(van.path, shop)
    assert read_case(van.path).rulebook.version == "0.9.0"
    session.answer("layout", "one-piece")
    assert read_case(van.path).rulebook.version == "1.0.0"
    assert open_case(van.path, shop).warnings == ()


def test_tests_put_off_and_taken_up_are_on_disk(van: CaseSession) -> None:
    van.put_off("measure-play")
    van.put_off("measure-play")
    assert read_case(van.path).put_off == ("measure-play",)
    van.take_up("measure-play")
    assert read_case(van.path).put_off == ()


def test_outcome_is_kept(van: CaseSession) -> None:
    van.close(Result(none_of_the_listed=True, note="a tyre"))
    assert read_case(van.path).outcome == Result(none_of_the_listed=True, note="a tyre")


def test_failed_write_leaves_case_and_diagnosis_as_they_were(
    van: CaseSession, monkeypatch: pytest.MonkeyPatch
) -> None:
    van.answer("layout", "one-piece")
    case, bytes_before = van.case, van.path.read_bytes()

    def full(_handle: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", full)
        with pytest.raises(WriteError, match="the disk is full"):
            van.answer("layout", "two-piece")
    assert (van.case, van.path.read_bytes()) == (case, bytes_before)
    assert van.diagnosis.value("layout") == "one-piece"
    van.answer("layout", "two-piece")
    assert read_case(van.path).latest() == {"layout": "two-piece"}


def test_case_taken_over_by_another_program_is_not_overwritten(
    tmp_path: Path, shop: Rulebook
) -> None:
    path = tmp_path / "van.yaml"
    with CaseLock(path) as lock:
        session = new_case(path, shop, lock=lock)
        before = path.read_bytes()
        lock.path.unlink()
        with CaseLock(path):
            with pytest.raises(InUseError):
                session.answer("layout", "one-piece")
            assert path.read_bytes() == before


def test_answers_after_a_repair_are_replayed_after_it(van: CaseSession, shop: Rulebook) -> None:
    """All within one second of the log's clock; belief is the same when the case is opened."""
    van.answer("began-after-work", "yes")
    van.mend("unbalance")
    van.answer("bolts-loose", "yes")
    assert [repair.answers_before for repair in read_case(van.path).repairs] == [1]
    reopened = open_case(van.path, shop).diagnosis
    assert reopened.belief() == van.diagnosis.belief()
    in_one_go = Diagnosis(shop.engine)
    for question in ("began-after-work", "bolts-loose"):
        in_one_go.answer(question, True)
    in_one_go.mend("unbalance")
    assert reopened.belief() != in_one_go.belief()


def test_repair_of_an_older_case_file_comes_after_all_answers(
    van: CaseSession, shop: Rulebook
) -> None:
    van.answer("bolts-loose", "yes")
    old = van.case.model_copy(update={"repairs": (Repair(cause="loose-joint"),)})
    case = Diagnosis(shop.engine)
    case.answer("bolts-loose", True)
    case.mend("loose-joint")
    assert replay(old, shop).belief() == case.belief()
