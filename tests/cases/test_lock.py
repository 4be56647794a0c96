"""Two programs on one case: the second is told, and nothing is overwritten."""

from __future__ import annotations

import errno
import json
import os
import socket
import subprocess
import sys
from pathlib import Path

import pytest

from advisor.cases import CaseLock, InUseError, WriteError
from advisor.cases import lock as lock_module


def dead_pid() -> int:
    """The id of a process of this computer that has ended."""
    with subprocess.Popen([sys.executable, "-c", ""]) as process:
        process.wait()
    return process.pid


def write_lock(lock: CaseLock, **changes: object) -> None:
    owner = {"pid": os.getpid(), "host": socket.gethostname(), "since": "2024-05-01", "token": "t"}
    lock.path.write_text(json.dumps(owner | changes), encoding="utf-8")


def test_second_program_is_told_who_has_the_case(tmp_path: Path) -> None:
    path = tmp_path / "van.yaml"
    with CaseLock(path), pytest.raises(InUseError) as caught:
        CaseLock(path).__enter__()
    assert f"process {os.getpid()}" in str(caught.value)
    assert caught.value.path == path


def test_refused_lock_leaves_the_first_one_in_place(tmp_path: Path) -> None:
    with CaseLock(tmp_path / "van.yaml") as first:
        with pytest.raises(InUseError):
            CaseLock(tmp_path / "van.yaml").__enter__()
        first.check()
        assert [entry.name for entry in tmp_path.iterdir()] == [first.path.name]


def test_lock_is_gone_after_the_block_even_when_it_fails(tmp_path: Path) -> None:
    with pytest.raises(RuntimeError), CaseLock(tmp_path / "van.yaml"):
        raise RuntimeError
    assert list(tmp_path.iterdir()) == []


def test_lock_of_a_process_that_ended_is_taken_over(tmp_path: Path) -> None:
    lock = CaseLock(tmp_path / "van.yaml")
    write_lock(lock, pid=dead_pid())
    with lock:
        lock.check()


@pytest.mark.parametrize(
    "changes",
    [{"host": "another-computer"}, {"pid": os.getpid()}, {"pid": 1}, {"pid": 10**30}],
    ids=["another computer", "running process", "of another user", "no process can have"],
)
def test_lock_that_may_be_alive_is_respected(tmp_path: Path, changes: dict[str, object]) -> None:
    lock = CaseLock(tmp_path / "van.yaml")
    write_lock(lock, **({"pid": dead_pid()} | changes))
    before = lock.path.read_text(encoding="utf-8")
    with pytest.raises(InUseError):
        lock.__enter__()
    assert lock.path.read_text(encoding="utf-8") == before


@pytest.mark.parametrize(
    "text", ["", "{", "[]", "[" * 4000, '{"pid": "x"}', '{"pid": 1e400}', "\xff"]
)
def test_lock_that_names_nobody_is_respected(tmp_path: Path, text: str) -> None:
    lock = CaseLock(tmp_path / "van.yaml")
    lock.path.write_text(text, encoding="latin-1")
    with pytest.raises(InUseError, match="can't be read"):
        lock.__enter__()


def test_root_of_all_folders_is_no_case() -> None:
    with pytest.raises(WriteError, match="it is a folder"):
        CaseLock(Path(Path().absolute().anchor))


def test_lock_taken_over_by_another_is_noticed_and_left_to_it(tmp_path: Path) -> None:
    lock = CaseLock(tmp_path / "van.yaml")
    with lock:
        write_lock(lock, token="another")
        with pytest.raises(InUseError):
            lock.check()
    assert lock.path.exists()


def test_lock_works_on_a_disk_without_hard_links(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_links(*_args: object, **_kwargs: object) -> None:
        raise OSError(errno.EPERM, "no links")

    monkeypatch.setattr(os, "link", no_links)
    with CaseLock(tmp_path / "van.yaml") as lock:
        lock.check()
        with pytest.raises(InUseError):
            CaseLock(tmp_path / "van.yaml").__enter__()


def test_leftovers_of_killed_programs_are_removed(tmp_path: Path) -> None:
    lock = CaseLock(tmp_path / "van.yaml")
    write_lock(lock, pid=dead_pid())
    lock.path.with_name(f"{lock.path.name}.1a").write_text("", encoding="utf-8")
    (tmp_path / ".van.yaml.1a.new").write_text("half", encoding="utf-8")
    with lock:
        assert [entry.name for entry in tmp_path.iterdir()] == [lock.path.name]


def test_folder_that_refuses_is_a_write_error(tmp_path: Path) -> None:
    with pytest.raises(WriteError, match="the folder does not exist"):
        CaseLock(tmp_path / "nowhere" / "van.yaml").__enter__()


def grow_old(lock: CaseLock, seconds: float) -> None:
    written = lock.path.stat().st_mtime - seconds
    os.utime(lock.path, (written, written))


def test_lock_of_a_process_from_before_the_computer_was_restarted_is_taken_over(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "boot").write_text("today\n", encoding="ascii")
    monkeypatch.setattr(lock_module, "_BOOT_ID", tmp_path / "boot")
    lock = CaseLock(tmp_path / "van.yaml")
    write_lock(lock, boot="today")
    with pytest.raises(InUseError):
        lock.__enter__()
    write_lock(lock, boot="yesterday")
    with lock:
        lock.check()


def test_lock_of_another_computer_is_taken_over_only_when_it_is_old(tmp_path: Path) -> None:
    lock = CaseLock(tmp_path / "van.yaml")
    write_lock(lock, host="another-computer")
    grow_old(lock, lock_module.STALE_AFTER_S - 600.0)
    with pytest.raises(InUseError, match="last written 23 h ago"):
        lock.__enter__()
    grow_old(lock, 1200.0)
    with lock:
        lock.check()


def test_lock_of_this_computer_does_not_grow_stale_while_its_process_runs(tmp_path: Path) -> None:
    lock = CaseLock(tmp_path / "van.yaml")
    write_lock(lock, pid=os.getpid())
    grow_old(lock, 10.0 * lock_module.STALE_AFTER_S)
    with pytest.raises(InUseError):
        lock.__enter__()


def test_writing_keeps_a_lock_young(tmp_path: Path) -> None:
    with CaseLock(tmp_path / "van.yaml") as lock:
        grow_old(lock, 7200.0)
        old = lock.path.stat().st_mtime
        lock.check()
        assert lock.path.stat().st_mtime > old


def test_lock_written_before_boots_were_kept_is_read(tmp_path: Path) -> None:
    lock = CaseLock(tmp_path / "van.yaml")
    write_lock(lock, pid=dead_pid())
    assert "boot" not in lock.path.read_text(encoding="utf-8")
    with lock:
        lock.check()
