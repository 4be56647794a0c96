"""A lesson: on disk after every step, and the same when it goes on."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.cases import CaseLock, ChangedError, InUseError
from advisor.rulebook import Rulebook
from advisor.teaching.choosing import Wanted
from advisor.teaching.errors import ChangedVehicleError
from advisor.teaching.lesson import begin_lesson, open_lesson
from advisor.teaching.practicefile import Step, read_practice, write_practice
from advisor.vehicles import Vehicles


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "lesson.yaml"


def test_each_step_is_on_disk_at_once(path: Path, book: Rulebook, vehicles: Vehicles) -> None:
    lesson = begin_lesson(path, vehicles, 7, Wanted())
    assert read_practice(path, book).steps == ()
    lesson.test("vibrates")
    lesson.take_hint()
    lesson.repair("wheel-unbalance")
    assert read_practice(path, book).steps == (
        Step(test="vibrates"),
        Step(hint="ranking"),
        Step(repair="wheel-unbalance"),
    )


def test_opened_again_it_stands_where_it_stopped(path: Path, vehicles: Vehicles) -> None:
    first = begin_lesson(path, vehicles, 7, Wanted())
    first.test("measure-joint")
    first.repair("wheel-unbalance")
    again = open_lesson(path, vehicles)
    assert again.vehicle == first.vehicle
    assert again.work.minutes == first.work.minutes
    assert again.work.shown == first.work.shown
    assert again.work.diagnosis.mended == first.work.diagnosis.mended


def test_vehicle_that_came_out_otherwise_is_not_gone_on_with(
    path: Path, vehicles: Vehicles
) -> None:
    lesson = begin_lesson(path, vehicles, 7, Wanted())
    write_practice(path, lesson.practice.model_copy(update={"mark": "another"}))
    with pytest.raises(ChangedVehicleError, match="begin a new file"):
        open_lesson(path, vehicles)


def test_file_that_another_program_changed_or_deleted_is_not_written_over(
    path: Path, vehicles: Vehicles
) -> None:
    begin_lesson(path, vehicles, 7, Wanted()).test("vibrates")
    lesson = open_lesson(path, vehicles)
    theirs = path.read_bytes() + b"# the trainer's remark\n"
    path.write_bytes(theirs)
    with pytest.raises(ChangedError, match="changed by another program"):
        lesson.repair("wheel-unbalance")
    assert path.read_bytes() == theirs
    path.unlink()
    with pytest.raises(ChangedError, match="deleted by another program"):
        lesson.take_hint()
    assert not path.exists()
    assert len(lesson.practice.steps) == 1


def test_step_that_another_program_prevents_does_not_count(path: Path, vehicles: Vehicles) -> None:
    with CaseLock(path) as lock:
        lesson = begin_lesson(path, vehicles, 7, Wanted(), lock)
        lock.path.unlink()
        with pytest.raises(InUseError):
            lesson.test("vibrates")
        assert lesson.practice.steps == ()
        assert "vibrates" not in lesson.work.begun
