"""An index that is damaged, foreign, locked or nowhere to be kept changes no result."""

from __future__ import annotations

import contextlib
import random
import sqlite3
import stat
import sys
import threading
from pathlib import Path

import pytest

from advisor.library import Library, LibraryError, index_path, tables
from advisor.library.library import consult
from advisor.library.place import is_index
from tests.library.making import Shelf, made

ALL = ("a.yaml", "b.yaml", "c.yaml")


@pytest.fixture(autouse=True)
def three_cases(shelf: Shelf) -> None:
    for name in "abc":
        shelf.put(made(name, complaint="It shudders. " * 50))


@pytest.mark.parametrize("seed", range(12))
def test_damaged_index_gives_the_same_cases_or_is_made_anew(shelf: Shelf, seed: int) -> None:
    assert shelf.names() == ALL
    whole = bytearray(shelf.index.read_bytes())
    chance = random.Random(seed)
    start = chance.randrange(0, len(whole) - 600) if seed else 0
    whole[start : start + 600] = chance.randbytes(600)
    shelf.index.write_bytes(whole)
    shelf.put(made("b", complaint="It growls"))
    shelf.put(made("d"))
    names = shelf.names()
    assert set(names) <= {*ALL, "d.yaml"}
    assert "d.yaml" in names


SPOILT = [
    "UPDATE contents SET data = substr(data, 1, 200)",
    "UPDATE contents SET data = replace(data, 'shudders', 'growls')",
    "UPDATE contents SET data = 7",
    "DELETE FROM contents WHERE name = 'b.yaml'",
    "UPDATE weighed SET data = replace(data, 'loose-joint', 'loose-joins')",
    "UPDATE weighed SET data = x'ff'",
    "UPDATE files SET problems = 'none' WHERE problems IS NOT NULL",
    "UPDATE files SET digest = CAST(x'ff' AS TEXT)",
    "UPDATE cases SET began = CAST(x'ff' AS TEXT)",
    "DROP TABLE answers",
]


@pytest.mark.parametrize("spoil", SPOILT)
def test_index_that_the_disk_has_changed_is_found_out_and_made_anew(
    shelf: Shelf, spoil: str
) -> None:
    shelf.put_text("broken.yaml", "format: [")

    def look(library: Library) -> tuple[object, ...]:
        names = library.select()
        cases = list(library.cases(names))
        told = [library.answers_to("play"), *map(library.began, names)]
        return cases, library.weighed(names), told, library.unreadable()

    before = shelf.ask(look)
    with contextlib.closing(sqlite3.connect(shelf.index)) as connection:
        connection.execute(spoil)
        connection.commit()
    spoilt = shelf.index.read_bytes()
    assert shelf.ask(look) == before
    assert shelf.index.read_bytes() != spoilt
    assert shelf.filed() == (0, 0, 0)


def test_cut_index_is_made_anew(shelf: Shelf) -> None:
    shelf.names()
    shelf.index.write_bytes(shelf.index.read_bytes()[:5000])
    assert shelf.names() == ALL
    assert shelf.filed() == (0, 0, 0)


def test_index_without_a_head_is_made_anew(shelf: Shelf) -> None:
    shelf.index.write_bytes(b"no database at all, but long enough to be looked at" * 50)
    assert shelf.names() == ALL
    assert is_index(shelf.index.read_bytes()[:100])


def test_tables_of_another_make_are_replaced(shelf: Shelf) -> None:
    connection = sqlite3.connect(shelf.index)
    connection.execute("CREATE TABLE files (something TEXT)")
    connection.commit()
    connection.close()
    assert shelf.names() == ALL


def test_index_of_another_folder_is_begun_anew(shelf: Shelf, tmp_path: Path) -> None:
    shelf.names()
    other = tmp_path / "other"
    other.mkdir()
    names = consult(other, shelf.index, shelf.light, lambda library: library.select())
    assert names == ()
    assert shelf.names() == ALL


def test_index_of_another_program_is_begun_anew(
    shelf: Shelf, monkeypatch: pytest.MonkeyPatch
) -> None:
    shelf.names()
    monkeypatch.setattr(tables, "program_mark", lambda: "another")
    assert shelf.filed() == (3, 0, 0)


def test_place_that_can_not_be_written_leaves_the_index_in_memory(
    shelf: Shelf, tmp_path: Path
) -> None:
    (tmp_path / "file").touch()
    index = tmp_path / "file" / "index.sqlite"
    assert consult(shelf.folder, index, shelf.light, lambda library: library.select()) == ALL
    assert consult(shelf.folder, None, shelf.light, lambda library: library.select()) == ALL


def test_index_that_another_program_holds_is_not_waited_for_for_ever(
    shelf: Shelf, monkeypatch: pytest.MonkeyPatch
) -> None:
    shelf.names()
    monkeypatch.setattr(tables, "PATIENCE_SECONDS", 0.0)
    other = sqlite3.connect(shelf.index)
    other.execute("BEGIN EXCLUSIVE")
    shelf.put(made("d"))
    assert shelf.names() == (*ALL, "d.yaml")
    other.rollback()
    other.close()
    assert shelf.filed() == (1, 0, 0)


def test_two_at_once_both_find_all(shelf: Shelf) -> None:
    for number in range(30):
        shelf.put(made(f"n-{number}"))
    found: list[int] = []
    runs = [threading.Thread(target=lambda: found.append(len(shelf.names()))) for _ in range(4)]
    for run in runs:
        run.start()
    for run in runs:
        run.join()
    assert found == [33] * 4


@pytest.mark.skipif(sys.platform == "win32", reason="modes say nothing there")
def test_index_is_for_its_owner_alone(shelf: Shelf) -> None:
    shelf.names()
    assert stat.S_IMODE(shelf.index.stat().st_mode) == 0o600


def test_usual_index_lies_in_the_cache_by_its_folder(tmp_path: Path) -> None:
    environ = {"ADVISOR_CACHE": str(tmp_path)}
    first = index_path(tmp_path / "a", None, environ)
    assert first is not None
    assert first.parent == tmp_path
    assert first == index_path(tmp_path / "b" / ".." / "a", None, environ)
    assert first != index_path(tmp_path / "b", None, environ)
    assert index_path(tmp_path, None, {"ADVISOR_CACHE": ""}) is None


@pytest.mark.skipif(sys.platform == "win32", reason="needs links")
def test_index_that_is_a_link_to_nothing_is_refused_and_not_made_there(tmp_path: Path) -> None:
    (tmp_path / "index.sqlite").symlink_to("elsewhere.sqlite")
    with pytest.raises(LibraryError, match="leads to no file"):
        index_path(tmp_path, tmp_path / "index.sqlite", {})
    assert not (tmp_path / "elsewhere.sqlite").exists()
