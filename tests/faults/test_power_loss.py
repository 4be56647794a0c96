"""A program that dies, or is interrupted, between any two steps of a writing leaves a whole file.

The steps are the calls to the system by which `replace_file` writes. What had not been synced to
the disk when the power went may be lost, so it is cut in half before anybody reads.
"""

from __future__ import annotations

import errno
import os
import warnings
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, Final

import pytest

from advisor.cases import (
    CaseFile,
    CaseLock,
    RulebookRef,
    WriteError,
    open_case,
    read_case,
    write_case,
)
from advisor.cases.lock import Owner
from advisor.rulebook import Rulebook

STEPS: Final = ("open", "fsync", "chmod", "replace", "fsync of the folder")
FRESH_STEPS: Final = ("open", "fsync", "link", "fsync of the folder")  # no permissions to keep
CALLS: Final = ("open", "fsync", "chmod", "replace", "link")
needs_fork = pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")


def case_of(complaint: str) -> CaseFile:
    return CaseFile(
        format=1,
        id="van",
        rulebook=RulebookRef(id="shop", version="1.0.0"),
        complaint=complaint * 1000,
    )


class Steps:
    """Lets the calls of a writing through, notes them, and does something before one of them."""

    def __init__(self, patch: pytest.MonkeyPatch, at: int, then: Callable[[], None]) -> None:
        self.done: list[str] = []
        self._at, self._then = at, then
        for name in CALLS:
            patch.setattr(os, name, self._watched(name, getattr(os, name)))

    def _watched(self, name: str, call: Callable[..., Any]) -> Callable[..., Any]:
        def watched(*args: Any, **options: Any) -> Any:
            if len(self.done) == self._at:
                self._then()
            is_folder = name == "fsync" and not {"replace", "link"}.isdisjoint(self.done)
            reads = name == "open" and not args[1] & os.O_WRONLY
            if not reads:
                self.done.append("fsync of the folder" if is_folder else name)
            return call(*args, **options)

        return watched


def test_steps_of_a_writing_come_in_the_order_that_keeps_it_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_case(tmp_path / "van.yaml", case_of("old "))
    with monkeypatch.context() as patch:
        steps = Steps(patch, at=-1, then=lambda: None)
        write_case(tmp_path / "van.yaml", case_of("new "))
    assert tuple(steps.done) == STEPS


def die_before(step: int, work: Callable[[], object], steps: Sequence[str] = STEPS) -> None:
    """Do the work in a forked process that ends before this step, as by a loss of power."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)  # forking beside threads, from 3.12
        pid = os.fork()
    if not pid:
        with pytest.MonkeyPatch.context() as patch:
            Steps(patch, at=step, then=lambda: os._exit(9))
            work()
        os._exit(0)
    assert os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1]) == (9 if step < len(steps) else 0)


def lose_unsynced(folder: Path, step: int) -> None:
    """Cut what had been written but not synced when the power went."""
    if step <= STEPS.index("fsync"):
        for new in folder.glob(".*.new"):
            os.truncate(new, new.stat().st_size // 2)


@needs_fork
@pytest.mark.parametrize("step", range(len(STEPS) + 1))
def test_reader_finds_the_old_case_or_the_new_one_whole(tmp_path: Path, step: int) -> None:
    path = tmp_path / "van.yaml"
    write_case(path, case_of("old "))
    die_before(step, lambda: write_case(path, case_of("new ")))
    lose_unsynced(tmp_path, step)
    renamed = step > STEPS.index("replace")
    assert read_case(path) == case_of("new " if renamed else "old ")
    with CaseLock(path):
        assert [one.name for one in tmp_path.iterdir() if one.name.endswith(".new")] == []


@needs_fork
@pytest.mark.parametrize("step", range(len(FRESH_STEPS) + 1))
def test_new_case_is_there_whole_or_not_at_all(tmp_path: Path, step: int) -> None:
    path = tmp_path / "van.yaml"
    die_before(step, lambda: write_case(path, case_of("new "), fresh=True), FRESH_STEPS)
    lose_unsynced(tmp_path, step)
    if step > FRESH_STEPS.index("link"):
        assert read_case(path) == case_of("new ")
    else:
        assert not path.exists()
    with CaseLock(path):
        assert [one.name for one in tmp_path.iterdir() if one.name.endswith(".new")] == []


@pytest.mark.parametrize("step", range(len(STEPS)))
def test_interrupt_at_any_step_leaves_a_whole_case_and_nothing_beside_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: int
) -> None:
    path = tmp_path / "van.yaml"
    write_case(path, case_of("old "))

    def interrupt() -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        Steps(patch, at=step, then=interrupt)
        with pytest.raises(KeyboardInterrupt):
            write_case(path, case_of("new "))
    assert read_case(path) in (case_of("old "), case_of("new "))
    assert [one.name for one in tmp_path.iterdir()] == ["van.yaml"]


def test_what_may_be_read_by_few_is_at_no_step_read_by_more(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "van.yaml"
    write_case(path, case_of("old "))
    path.chmod(0o600)
    modes: set[int] = set()

    def look() -> None:
        modes.update(one.stat().st_mode & 0o777 for one in tmp_path.iterdir())

    for step in range(len(STEPS)):
        with monkeypatch.context() as patch:
            Steps(patch, at=step, then=look)
            write_case(path, case_of("new "))
    assert modes == {0o600}


@pytest.mark.parametrize("step", range(len(STEPS)))
def test_disk_that_fails_at_any_step_lets_one_answer_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, shop: Rulebook, step: int
) -> None:
    path = tmp_path / "van.yaml"
    write_case(path, case_of("old "))

    def fail() -> None:
        raise OSError(errno.EIO, "input/output error")

    with CaseLock(path) as lock:
        session = open_case(path, shop, lock=lock)
        with monkeypatch.context() as patch:
            Steps(patch, at=step, then=fail)
            with pytest.raises(WriteError, match="the disk reports a fault"):
                session.answer("layout", "two-piece")
        assert session.case.latest() == {}
        session.answer("layout", "one-piece")
    assert read_case(path).latest() == {"layout": "one-piece"}


FIELDS: Final = '"host": "shop", "since": "", "token": ""}'


@pytest.mark.parametrize(
    "half",
    ["", "{", '{"pid": 1, "ho', "[" * 4096, f'{{"pid": 1e999, {FIELDS}', f'{{"pid": [], {FIELDS}'],
    ids=["empty", "begun", "half", "deep", "endless", "no number"],
)
def test_half_written_lock_names_nobody(tmp_path: Path, half: str) -> None:
    (tmp_path / ".van.yaml.lock").write_text(half, encoding="utf-8")
    assert Owner.read(tmp_path / ".van.yaml.lock") is None
