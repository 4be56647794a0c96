"""A case that an editor changes while it is open here: neither of the two loses anything."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from advisor.cases import (
    CaseLock,
    ChangedError,
    InUseError,
    NotOverwrittenError,
    new_case,
    open_case,
    read_case,
)
from advisor.cases.closing import RingUse
from advisor.interview import Prompt, Tone, run_interview
from advisor.life.stockfile import StockFile
from advisor.rulebook import Rulebook
from advisor.writing.changes import Changes, WriteRefusedError
from tests.cases.shop import write_shop


def edit(path: Path) -> None:
    path.write_text(
        path.read_text(encoding="utf-8").replace("A van", "A blue van"), encoding="utf-8"
    )


def comment(path: Path) -> None:
    path.write_text(path.read_text(encoding="utf-8") + "# rang the customer\n", encoding="utf-8")


def cut(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:40])


@pytest.mark.parametrize("change", [edit, comment, cut])
def test_changed_file_is_not_overwritten_and_the_answer_is_kept_beside_it(
    path: Path, shop: Rulebook, change: Callable[[Path], None]
) -> None:
    with CaseLock(path) as lock:
        session = open_case(path, shop, lock=lock)
        session.answer("layout", "two-piece")
        change(path)
        theirs = path.read_bytes()
        with pytest.raises(ChangedError, match="changed by another program") as caught:
            session.answer("support-torn", "no")
    assert path.read_bytes() == theirs
    assert caught.value.kept == path.with_name("van.yaml.unsaved")
    assert str(caught.value.kept) in str(caught.value)
    assert read_case(caught.value.kept).latest() == {"layout": "two-piece", "support-torn": "no"}


@pytest.fixture
def while_syncing(monkeypatch: pytest.MonkeyPatch) -> Callable[[Callable[[], object]], None]:
    """Lets something be done while the program waits for the disk: that may take seconds."""

    def let(do: Callable[[], object]) -> None:
        sync = os.fsync

        def synced(handle: int) -> None:
            monkeypatch.setattr(os, "fsync", sync)
            do()
            sync(handle)

        monkeypatch.setattr(os, "fsync", synced)

    return let


WhileSyncing = Callable[[Callable[[], object]], None]


def test_change_while_the_answer_is_on_its_way_to_the_disk_is_noticed(
    path: Path, shop: Rulebook, while_syncing: WhileSyncing
) -> None:
    session = open_case(path, shop)
    while_syncing(lambda: edit(path))
    with pytest.raises(ChangedError) as caught:
        session.answer("layout", "two-piece")
    assert read_case(path).vehicle == "A blue van"
    assert caught.value.kept is not None
    assert read_case(caught.value.kept).latest() == {"layout": "two-piece"}


def test_case_that_another_program_began_in_that_moment_is_not_overwritten(
    tmp_path: Path, shop: Rulebook, while_syncing: WhileSyncing
) -> None:
    path = tmp_path / "bus.yaml"
    while_syncing(lambda: path.write_bytes(b"theirs"))
    with pytest.raises(ChangedError):
        new_case(path, shop)
    assert path.read_bytes() == b"theirs"


def test_stock_that_is_changed_in_that_moment_is_not_overwritten(
    tmp_path: Path, while_syncing: WhileSyncing
) -> None:
    path = tmp_path / "rings.yaml"
    ours = 'format: 1\nrings:\n  tray: {thickness: "1.5 mm", count: 9}\n'
    path.write_text(ours, encoding="utf-8")
    stock = StockFile(path)
    theirs = ours.replace("9", "90")
    while_syncing(lambda: path.write_text(theirs, encoding="utf-8"))
    use = RingUse(use="0" * 16, stock=path.name, box="tray", count=1, thickness="1.5 mm")
    with pytest.raises(ChangedError):
        stock.lessen([use], "van")
    assert path.read_text(encoding="utf-8") == theirs


def test_rule_file_that_is_changed_in_that_moment_is_not_overwritten(
    tmp_path: Path, while_syncing: WhileSyncing
) -> None:
    folder = write_shop(tmp_path)
    changes = Changes(folder)
    changes.add(Path("new.yaml"), "causes", "new", {"name": "New"})
    changes.add(Path("shop.yaml"), "causes", "newer", {"name": "Newer"})
    rules = folder / "shop.yaml"
    theirs = rules.read_bytes() + b"# my own line\n"
    while_syncing(lambda: rules.write_bytes(theirs))
    with pytest.raises(WriteRefusedError, match="was changed meanwhile"):
        changes.write()
    assert rules.read_bytes() == theirs
    assert [one.name for one in folder.iterdir()] == ["shop.yaml"]


def test_deleted_file_is_not_made_anew_under_the_hands_of_who_deleted_it(
    path: Path, shop: Rulebook
) -> None:
    session = open_case(path, shop)
    path.rename(path.with_name("van-2.yaml"))
    with pytest.raises(ChangedError, match="deleted by another program") as caught:
        session.answer("layout", "two-piece")
    assert not path.exists()
    assert caught.value.kept is not None
    assert read_case(caught.value.kept).latest() == {"layout": "two-piece"}


def test_file_that_another_program_began_meanwhile_is_not_overwritten(
    path: Path, shop: Rulebook
) -> None:
    theirs = path.read_bytes()
    path.unlink()
    session = new_case(path, shop, complaint="It booms")
    path.write_bytes(theirs)
    with pytest.raises(NotOverwrittenError):
        session.answer("layout", "two-piece")
    assert path.read_bytes() == theirs


def test_answer_is_kept_when_another_program_took_the_lock_over(path: Path, shop: Rulebook) -> None:
    with CaseLock(path) as lock:
        session = open_case(path, shop, lock=lock)
        lock.path.unlink()
        with CaseLock(path) as theirs, pytest.raises(InUseError) as caught:
            session.answer("layout", "two-piece")
        assert theirs.path.name == ".van.yaml.lock"
    assert read_case(path).latest() == {}
    assert caught.value.kept is not None
    assert read_case(caught.value.kept).latest() == {"layout": "two-piece"}


def test_what_was_set_aside_before_is_kept_too(path: Path, shop: Rulebook) -> None:
    for answer in ("two-piece", "one-piece"):
        session = open_case(path, shop)
        comment(path)
        with pytest.raises(ChangedError):
            session.answer("layout", answer)
    names = ["van.yaml.unsaved", "van.yaml.unsaved-2"]
    kept = [read_case(path.with_name(name)).latest()["layout"] for name in names]
    assert kept == ["two-piece", "one-piece"]


def test_set_aside_file_is_never_written_through_a_link(
    path: Path, shop: Rulebook, tmp_path: Path
) -> None:
    other = tmp_path / "other.txt"
    path.with_name("van.yaml.unsaved").symlink_to(other)
    session = open_case(path, shop)
    comment(path)
    with pytest.raises(ChangedError) as caught:
        session.answer("layout", "two-piece")
    assert not other.exists()
    assert caught.value.kept == path.with_name("van.yaml.unsaved-2")


class EditedAtTheSecondQuestion:
    """A port whose person edits the file with another program before the second answer."""

    columns = 80

    def __init__(self, path: Path) -> None:
        self._path = path
        self._lines = ["two-piece", "no", "clunk"]

    def ask(self, prompt: Prompt) -> str:
        line = self._lines.pop(0)
        if line == "no":
            edit(self._path)
        return line

    def tell(self, text: str, tone: Tone = Tone.PLAIN) -> None:
        pass


def test_interview_stops_at_the_answer_after_the_change(path: Path, shop: Rulebook) -> None:
    port = EditedAtTheSecondQuestion(path)
    with pytest.raises(ChangedError):
        run_interview(shop, path, port=port, role="technician", render=lambda _session: "")
    assert read_case(path).vehicle == "A blue van"
    assert read_case(path.with_name("van.yaml.unsaved")).latest()["support-torn"] == "no"


def test_own_writings_are_no_change_of_another(path: Path, shop: Rulebook) -> None:
    text = path.read_text(encoding="utf-8")
    path.write_bytes(b"\xef\xbb\xbf# the blue van\r\n" + text.replace("\n", "\r\n").encode())
    session = open_case(path, shop)
    for answer in ("two-piece", "one-piece", "two-piece"):
        session.answer("layout", answer)
    session.take_back("layout")
    assert len(read_case(path).answers) == 4
