"""The index follows its folder, and reads no file again that did not change."""

from __future__ import annotations

import os
import sqlite3
import time
from pathlib import Path

import pytest

from advisor.cases import read_case
from advisor.library import LibraryError
from tests.library.making import LONG_AGO_NS, Shelf, made

MANY = 200


def test_first_time_all_are_read_and_then_none(shelf: Shelf) -> None:
    for number in range(MANY):
        shelf.put(made(f"case-{number}"))
    assert shelf.filed() == (MANY, 0, 0)
    assert shelf.filed() == (0, 0, 0)
    assert len(shelf.names()) == MANY


def test_one_changed_file_is_read_alone(shelf: Shelf) -> None:
    for number in range(MANY):
        shelf.put(made(f"case-{number}"))
    shelf.filed()
    shelf.put(made("case-7", vehicle="A longer name for the same van"))
    assert shelf.filed() == (1, 0, 0)
    ((_, case),) = shelf.ask(lambda library: list(library.cases(["case-7.yaml"])))
    assert case.vehicle == "A longer name for the same van"


def test_removed_file_is_dropped_with_its_answers(shelf: Shelf) -> None:
    shelf.put(made("kept")), shelf.put(made("gone"))
    shelf.filed()
    (shelf.folder / "gone.yaml").unlink()
    assert shelf.filed() == (0, 0, 1)
    assert shelf.names() == ("kept.yaml",)
    found = shelf.ask(lambda library: library.that_answered("play", ["0.4 mm"]))
    assert found == {"kept.yaml"}


def test_case_in_the_index_is_the_case_in_the_file(shelf: Shelf) -> None:
    case = made("van", causes=["loose-joint"], note="Rings too thin", minutes_spent=12.5)
    path = shelf.put(case)
    ((_, kept),) = shelf.ask(lambda library: list(library.cases(library.select())))
    assert kept == case == read_case(path)


def test_only_the_time_changed_so_nothing_is_parsed(shelf: Shelf) -> None:
    path = shelf.put(made("van"))
    shelf.filed()
    os.utime(path, ns=(LONG_AGO_NS + 1, LONG_AGO_NS + 1))
    assert shelf.filed() == (0, 1, 0)
    assert shelf.filed() == (0, 0, 0)


def test_change_within_the_same_tick_of_the_clock_is_noticed(shelf: Shelf) -> None:
    text = shelf.put(made("van")).read_text(encoding="utf-8")
    now = time.time_ns()
    shelf.put_text("van.yaml", text, now)
    shelf.filed()
    shelf.put_text("van.yaml", text.replace("A van", "A car"), now)  # as long, and at the same time
    assert shelf.filed() == (1, 0, 0)
    assert shelf.filed() == (0, 1, 0)  # not settled yet: its content is compared


def test_unreadable_case_is_told_with_its_place_and_the_rest_goes_on(shelf: Shelf) -> None:
    shelf.put(made("good"))
    text = (shelf.folder / "good.yaml").read_text(encoding="utf-8")
    shelf.put_text("bad.yaml", text.replace("vehicle:", "vehicel:"))
    shelf.put_text("worse.yaml", "format: 1\n  id: [\n")
    for _ in range(2):  # from the files, then from the index
        (bad, worse) = shelf.ask(lambda library: library.unreadable())
        problem = bad.problems[0]
        where = text[: text.index("vehicle:")].count("\n") + 1
        assert (Path(problem.path).name, problem.line, problem.column) == ("bad.yaml", where, 1)
        assert problem.code == "unknown-field"
        assert "vehicle" in problem.hint
        assert worse.problems[0].line == 2
        assert shelf.names() == ("good.yaml",)


def test_mended_file_becomes_a_case(shelf: Shelf) -> None:
    shelf.put_text("van.yaml", "format: 1\n")
    assert shelf.names() == ()
    shelf.put(made("van"))
    assert shelf.names() == ("van.yaml",)
    assert shelf.ask(lambda library: library.unreadable()) == ()


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="needs named pipes")
def test_what_is_no_file_is_told_and_not_waited_for(shelf: Shelf) -> None:
    os.mkfifo(shelf.folder / "pipe.yaml")
    (shelf.folder / "folder.yaml").mkdir()
    (shelf.folder / "broken.yaml").symlink_to(shelf.folder / "nothing")
    told = shelf.ask(lambda library: library.unreadable())
    assert [one.name for one in told] == ["broken.yaml", "folder.yaml", "pipe.yaml"]
    assert {one.problems[0].code for one in told} == {"unreadable-file"}


@pytest.mark.skipif(os.name != "posix", reason="names are text elsewhere")
def test_name_that_is_no_text_is_told(shelf: Shelf) -> None:
    try:
        (Path(os.fsdecode(os.fsencode(shelf.folder) + b"/\xff.yaml"))).touch()
    except OSError:
        pytest.skip("this disk takes no such name")
    (told,) = shelf.ask(lambda library: library.unreadable())
    assert "not text in UTF-8" in told.problems[0].message
    assert str(told.problems[0]).isascii()


def test_missing_folder_is_told_by_name(shelf: Shelf) -> None:
    shelf.folder.rmdir()
    with pytest.raises(LibraryError, match=r"cases: .*there is no such folder"):
        shelf.names()


def test_latest_case_comes_first_and_those_without_a_date_last(shelf: Shelf) -> None:
    shelf.put(made("a", at=None))
    shelf.put(made("b", at="2024-01-01T08:00:00Z"))
    shelf.put(made("c", at="2024-06-01T10:00:00+00:00"))
    assert shelf.names() == ("c.yaml", "b.yaml", "a.yaml")


def test_case_files_are_never_written(shelf: Shelf) -> None:
    path = shelf.put(made("van"))
    before = path.read_bytes(), path.stat().st_mtime_ns
    shelf.names()
    assert (path.read_bytes(), path.stat().st_mtime_ns) == before
    assert [one.name for one in shelf.folder.iterdir()] == ["van.yaml"]


def test_index_is_sound_by_its_own_check(shelf: Shelf) -> None:
    shelf.put(made("van"))
    shelf.names()
    connection = sqlite3.connect(shelf.index)
    assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    connection.close()
