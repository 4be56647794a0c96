"""Work: minutes as in a case, answers of the vehicle, and the end."""

from __future__ import annotations

import pytest

from advisor.rulebook import Rulebook
from advisor.teaching.work import End, Work
from advisor.vehicles import Vehicle
from tests.teaching.conftest import LOOSE


@pytest.fixture
def work(book: Rulebook) -> Work:
    return Work(book, LOOSE)


def test_test_costs_its_minutes_and_the_way_once(work: Work) -> None:
    work.test("measure-joint")
    assert work.minutes == 18.0  # 10 to the bench and 8 there
    assert work.at == "bench"


def test_test_shows_what_the_vehicle_answers(work: Work) -> None:
    (shown,) = work.test("bolts-loose")
    assert (shown.question, shown.text) == ("bolts-loose", "yes")
    assert work.diagnosis.value("bolts-loose") is True


def test_test_that_drives_is_unsafe_once_a_stop_is_known(work: Work) -> None:
    road = next(test for test in work.rulebook.rules.tests if test.place == "road")
    assert not work.is_unsafe(road)
    work.test("bolts-loose")
    assert work.is_unsafe(road)


def test_question_that_another_opens_is_left_for_later_work(work: Work) -> None:
    names = [test.id for test in work.tests_left()]
    assert "felt-in" not in names
    work.test("vibrates")
    assert "felt-in" in [test.id for test in work.tests_left()]


def test_repair_of_the_fault_cures(work: Work) -> None:
    assert not work.repair("rings-too-thin")
    assert work.end is None
    assert work.repair("flange-loose")
    assert work.end is End.CURED
    assert work.minutes == 65.0 + 15.0


def test_two_faults_want_two_repairs(book: Rulebook) -> None:
    work = Work(book, Vehicle(("flange-loose", "wheel-unbalance"), LOOSE.answers))
    assert not work.repair("wheel-unbalance")
    assert work.repair("flange-loose")


def test_handing_on_costs_the_minutes_of_the_rulebook(work: Work) -> None:
    work.hand_on()
    assert work.end is End.HANDED_ON
    assert work.minutes == 240.0


def test_opening_is_done_once(work: Work) -> None:
    assert [shown.question for shown in work.begin()] == ["last-work"]
    assert work.begin() == []
