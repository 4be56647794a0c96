"""Disks that are full, can only be read, or lie at the other end of a network."""

from __future__ import annotations

import contextlib
import errno
import os
import re
import stat
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from advisor.cases import (
    CaseLock,
    ChangedError,
    InUseError,
    WriteError,
    open_case,
    read_case,
    write_whole,
)
from advisor.cases.store import case_text
from advisor.cli import main
from advisor.rulebook import Rulebook
from advisor.verbs.output import DONE, WRONG
from tests.cases.shop import write_shop

ROOT = Path(__file__).parents[2]
DISK_BYTES = 64 * 1024

LIMITED = """\
import resource, sys
from pathlib import Path
from advisor.cases import WriteError, write_whole
limit = int(sys.argv[2])
resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
try:
    write_whole(Path(sys.argv[1]), b"x" * (limit + 1))
except WriteError as error:
    print(error.reason)
"""


@pytest.fixture
def disk(tmp_path: Path) -> Iterator[Path]:
    """A real disk of 64 KiB, for those who may mount one."""
    place = tmp_path / "disk"
    place.mkdir()
    words = ["mount", "-t", "tmpfs", "-o", f"size={DISK_BYTES}", "tmpfs", str(place)]
    try:
        mounted = subprocess.run(words, capture_output=True, check=False).returncode == 0
    except OSError:
        mounted = False
    if not mounted:
        pytest.skip("needs leave to mount a disk")
    yield place
    subprocess.run(["umount", str(place)], check=True)


@pytest.fixture
def van(disk: Path, path: Path) -> Path:
    """A case on that disk."""
    van = disk / "van.yaml"
    van.write_bytes(path.read_bytes())
    return van


def fill(disk: Path) -> Path:
    """Fill the disk to the last byte."""
    filler = disk / "filler"
    with contextlib.suppress(OSError), filler.open("wb", buffering=0) as file:
        while True:
            file.write(b"x" * 1024)
    return filler


def test_full_disk_keeps_the_case_and_takes_the_answer_once_there_is_room(
    van: Path, shop: Rulebook
) -> None:
    before = van.read_bytes()
    with CaseLock(van) as lock:
        session = open_case(van, shop, lock=lock)
        filler = fill(van.parent)
        with pytest.raises(WriteError, match="the disk is full"):
            session.answer("layout", "two-piece")
        assert van.read_bytes() == before
        assert [one.name for one in van.parent.glob(".*.new")] == []
        assert session.case.latest() == {}
        assert not session.diagnosis.is_answered("layout")
        filler.unlink()
        session.answer("layout", "two-piece")
    assert [one.answer for one in read_case(van).answers] == ["two-piece"]


@pytest.mark.parametrize(
    "words",
    [["new", "--copy", "copy"], ["schema", "case", "--write", ""], ["export", "--output", "new"]],
    ids=lambda words: words[0],
)
def test_full_disk_leaves_nothing_half_written(
    words: list[str], van: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    schema = van.with_name("case.schema.json")
    schema.write_text("{}", encoding="utf-8")
    fill(van.parent)
    before = {one: one.read_bytes() for one in van.parent.iterdir()}
    *verb, name = words
    library = ["--library", str(van.parent)] if "export" in words else []
    assert main([*verb, str(van.parent / name), *library]) == WRONG
    assert re.search("no space left on device|the disk is full", capsys.readouterr().err)
    assert {one: one.read_bytes() for one in van.parent.iterdir()} == before


def test_full_disk_lets_no_lock_be_taken_and_leaves_none_behind(van: Path) -> None:
    fill(van.parent)
    with pytest.raises(WriteError, match="the disk is full"):
        CaseLock(van).__enter__()
    assert sorted(one.name for one in van.parent.iterdir()) == ["filler", "van.yaml"]


def test_nothing_half_written_is_set_aside(
    path: Path, shop: Rulebook, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = open_case(path, shop)
    path.write_text(path.read_text(encoding="utf-8") + "# theirs\n", encoding="utf-8")
    sync = os.fsync

    def once(handle: int) -> None:  # room for what is to be written, and none to set it aside
        sync(handle)
        monkeypatch.setattr(os, "fsync", failing(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", once)
    with pytest.raises(ChangedError) as caught:
        session.answer("layout", "two-piece")
    assert caught.value.kept is None
    assert [one.name for one in path.parent.iterdir()] == ["van.yaml"]


def test_full_disk_without_hard_links_leaves_no_empty_lock(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An empty lock names nobody, so it would be respected for ever."""
    monkeypatch.setattr(os, "link", failing(errno.EPERM))
    monkeypatch.setattr(os, "fdopen", failing(errno.ENOSPC))
    with pytest.raises(WriteError, match="the disk is full"):
        CaseLock(path).__enter__()
    assert [one.name for one in path.parent.iterdir()] == ["van.yaml"]


def test_disk_that_can_only_be_read_is_ranked_and_not_written(
    van: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    subprocess.run(["mount", "-o", "remount,ro", str(van.parent)], check=True)
    assert main(["rank", str(van), "--rulebook", str(write_shop(tmp_path))]) == DONE
    assert "CAUSES" in capsys.readouterr().out
    with pytest.raises(WriteError, match="the disk can only be read"):
        CaseLock(van).__enter__()
    with pytest.raises(WriteError, match="the disk can only be read"):
        write_whole(van.parent / "page.html", b"x")


@pytest.mark.skipif(os.name == "nt", reason="needs the limits of POSIX")
def test_file_that_may_not_grow_so_large_is_told_and_not_left_half_written(tmp_path: Path) -> None:
    path = tmp_path / "page.html"
    path.write_bytes(b"old")
    done = subprocess.run(
        [sys.executable, "-c", LIMITED, str(path), "100000"],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=True,
    )
    assert (done.stdout, done.stderr) == ("no file may grow so large here\n", "")
    assert path.read_bytes() == b"old"
    assert [one.name for one in tmp_path.iterdir()] == ["page.html"]


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may write")
def test_folder_that_may_only_be_read_is_told(path: Path) -> None:
    path.parent.chmod(0o500)
    try:
        with pytest.raises(WriteError, match="writing in this folder is not permitted"):
            CaseLock(path).__enter__()
    finally:
        path.parent.chmod(0o700)


def test_file_that_may_only_be_read_is_replaced_and_stays_so(path: Path, shop: Rulebook) -> None:
    """As an editor does; whoever may write in the folder may replace it anyway."""
    path.chmod(0o400)
    open_case(path, shop).answer("layout", "two-piece")
    assert read_case(path).latest() == {"layout": "two-piece"}
    assert path.stat().st_mode & 0o777 == 0o400


# -- folders on a network --


def failing(number: int) -> Any:
    def fails(*_args: object, **_options: object) -> None:
        raise OSError(number, os.strerror(number))

    return fails


@pytest.mark.parametrize("number", [errno.EINVAL, errno.ENOTSUP], ids=["EINVAL", "ENOTSUP"])
def test_folder_that_cannot_be_synced_is_written_all_the_same(
    path: Path, shop: Rulebook, monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    sync = os.fsync

    def sync_files_only(handle: int) -> None:
        if stat.S_ISDIR(os.fstat(handle).st_mode):
            raise OSError(number, os.strerror(number))
        sync(handle)

    monkeypatch.setattr(os, "fsync", sync_files_only)
    open_case(path, shop).answer("layout", "two-piece")
    assert read_case(path).latest() == {"layout": "two-piece"}


def test_disk_that_refuses_to_rename_over_a_file_keeps_the_old_one(
    path: Path, shop: Rulebook, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = path.read_bytes()
    monkeypatch.setattr(os, "replace", failing(errno.EACCES))
    with pytest.raises(WriteError, match="not permitted"):
        open_case(path, shop).answer("layout", "two-piece")
    assert path.read_bytes() == before
    assert [one.name for one in path.parent.iterdir()] == ["van.yaml"]


def test_where_locks_mean_nothing_the_second_writer_is_stopped_all_the_same(
    path: Path, shop: Rulebook
) -> None:
    """A folder where neither links nor exclusive creation work gives two the lock."""
    first, second = open_case(path, shop), open_case(path, shop)
    first.answer("layout", "two-piece")
    with pytest.raises(ChangedError) as caught:
        second.answer("layout", "one-piece")
    assert read_case(path).latest() == {"layout": "two-piece"}
    assert caught.value.kept is not None
    assert read_case(caught.value.kept).latest() == {"layout": "one-piece"}


def test_lock_that_vanishes_with_its_disk_stops_the_writer(path: Path, shop: Rulebook) -> None:
    with CaseLock(path) as lock:
        session = open_case(path, shop, lock=lock)
        before = case_text(session.case)
        lock.path.unlink()
        with pytest.raises(InUseError):
            session.answer("layout", "two-piece")
    assert case_text(read_case(path)) == before
