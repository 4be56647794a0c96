"""A case on disk is whole at every moment."""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.cases import (
    CaseError,
    CaseFile,
    CaseIdError,
    Record,
    Result,
    RulebookRef,
    WriteError,
    case_text,
    read_case,
    store,
    write_case,
    write_whole,
)
from advisor.cases.store import check_id, remove_leftovers
from advisor.rulebook import MAX_BYTES


def build_case(**changes: Any) -> CaseFile:
    fields: dict[str, Any] = {
        "format": 1,
        "id": "van",
        "rulebook": RulebookRef(id="shop", version="1.0.0"),
        "complaint": "It shudders",
    }
    return CaseFile(**(fields | changes))


def test_written_case_reads_the_same(tmp_path: Path) -> None:
    case = build_case(
        answers=(
            Record(question="play", answer="57.5 thou", at="2024-05-01T09:30:00Z", by="technician"),
            Record(question="play", taken_back=True, at="2024-05-01T09:31:00Z"),
        ),
        minutes_spent=12.5,
        place="bench",
        put_off=("basics",),
        outcome=Result(causes=("loose-joint",), note="thinner rings: by 0.05 mm"),
    )
    write_case(tmp_path / "van.yaml", case)
    assert read_case(tmp_path / "van.yaml") == case


@pytest.mark.parametrize("ends", ["\n", "\r\n"], ids=["unix", "dos"])
def test_comments_before_the_first_key_outlive_every_write(tmp_path: Path, ends: str) -> None:
    path = tmp_path / "van.yaml"
    head = ["# yaml-language-server: $schema=../schema/case.schema.json", "", "# the blue van"]
    text = ends.join([*head, *case_text(build_case()).splitlines(), "# lost: inside", ""])
    path.write_bytes(b"\xef\xbb\xbf" + text.encode())
    for complaint in ("It booms", "It booms and shakes"):
        write_case(path, build_case(complaint=complaint))
    assert path.read_text(encoding="utf-8").split("\n")[:4] == [*head, "format: 1"]
    assert read_case(path) == build_case(complaint="It booms and shakes")


YAML_TRAPS = ["yes", "no", "010", "1:30", "2024-01-02", "1e3", "~", "", "# x", "a: b", "- a", "*a"]
ODD_TEXTS = [
    "'",
    '"',
    "\\",
    "{a: [b]}",
    " lead ",
    "å 漢字 🛠",
    "line\nline",
    "\ttab",
    "\x00\x1b[31m\x7f",
]


@pytest.mark.parametrize("text", [*YAML_TRAPS, *ODD_TEXTS])
def test_any_text_survives_the_file(tmp_path: Path, text: str) -> None:
    case = build_case(vehicle=text, answers=(Record(question="history", answer=text),))
    write_case(tmp_path / "van.yaml", case)
    assert read_case(tmp_path / "van.yaml") == case


@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=60))
def test_any_unicode_survives_the_file(tmp_path_factory: pytest.TempPathFactory, text: str) -> None:
    path = tmp_path_factory.getbasetemp() / "unicode.yaml"
    case = build_case(complaint=text)
    write_case(path, case)
    assert read_case(path) == case


def test_every_text_is_quoted_so_that_no_reader_takes_it_for_something_else() -> None:
    text = case_text(build_case(answers=(Record(question="support-torn", answer="yes"),)))
    assert 'answer: "yes"' in text
    assert 'id: "van"' in text


def test_permissions_of_the_old_file_are_kept(tmp_path: Path) -> None:
    path = tmp_path / "van.yaml"
    write_case(path, build_case())
    path.chmod(0o640)
    write_case(path, build_case(vehicle="A van"))
    assert stat.S_IMODE(path.stat().st_mode) == 0o640


@pytest.mark.skipif(os.name == "nt", reason="there are no numbers of groups there")
def test_owner_and_group_of_the_old_file_are_kept_where_the_system_lets_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """So that those who share a folder by their group can still write what one of them wrote."""
    path = tmp_path / "van.yaml"
    write_case(path, build_case())
    was = os.stat_result((0o660, 0, 0, 0, 4711, 4712, 0, 0, 0, 0))
    asked: list[tuple[int, int]] = []
    monkeypatch.setattr(store, "_found", lambda _target: was)
    monkeypatch.setattr(os, "chown", lambda _new, uid, gid: asked.append((uid, gid)))
    write_case(path, build_case(vehicle="A van"))
    assert asked == [(-1, 4712), (4711, -1)]

    def refuse(*_: object) -> None:
        raise PermissionError

    monkeypatch.setattr(os, "chown", refuse)
    write_case(path, build_case(vehicle="A bus"))
    assert read_case(path).vehicle == "A bus"


@pytest.mark.parametrize("links", [True, False], ids=["links", "no links"])
@pytest.mark.parametrize("there", ["file", "folder", "link", "link to nothing"])
def test_fresh_file_takes_no_name_that_anything_has(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, there: str, links: bool
) -> None:
    path, other = tmp_path / "van.yaml", tmp_path / "other"
    if there == "folder":
        path.mkdir()
    elif there == "file":
        path.write_bytes(b"theirs")
    else:
        path.symlink_to(other)
        if there == "link":
            other.write_bytes(b"theirs")
    before = sorted(tmp_path.iterdir())

    def no_links(*_: object) -> None:
        raise OSError(errno.EPERM, os.strerror(errno.EPERM))

    if not links:
        monkeypatch.setattr(os, "link", no_links)
    with pytest.raises(FileExistsError):
        write_whole(path, b"mine", fresh=True)
    assert sorted(tmp_path.iterdir()) == before
    write_whole(tmp_path / "free", b"mine", fresh=True)
    assert (tmp_path / "free").read_bytes() == b"mine"
    assert len(list(tmp_path.iterdir())) == len(before) + 1


def test_symbolic_link_is_followed_not_replaced(tmp_path: Path) -> None:
    (tmp_path / "kept").mkdir()
    link = tmp_path / "van.yaml"
    link.symlink_to(tmp_path / "kept" / "van.yaml")
    write_case(link, build_case(vehicle="A van"))
    assert link.is_symlink()
    assert read_case(tmp_path / "kept" / "van.yaml").vehicle == "A van"


@pytest.mark.parametrize("call", ["replace", "fsync", "open"])
@pytest.mark.parametrize(
    ("number", "words"),
    [(errno.ENOSPC, "the disk is full"), (errno.EACCES, "not permitted"), (errno.EROFS, "read")],
)
def test_failed_write_leaves_the_old_file_and_says_why(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, call: str, number: int, words: str
) -> None:
    path = tmp_path / "van.yaml"
    write_case(path, build_case(vehicle="A van"))
    before = path.read_bytes()

    def fails(*_args: object, **_kwargs: object) -> None:
        raise OSError(number, os.strerror(number))

    with monkeypatch.context() as patch:
        target = Path if call == "replace" else os
        patch.setattr(target, call, fails)
        with pytest.raises(WriteError, match=words) as caught:
            write_case(path, build_case(vehicle="Another"))
    assert isinstance(caught.value, CaseError)
    assert caught.value.path == path
    assert path.read_bytes() == before
    assert [entry.name for entry in tmp_path.iterdir()] == ["van.yaml"]


def test_missing_folder_is_named_as_the_reason(tmp_path: Path) -> None:
    with pytest.raises(WriteError, match="the folder does not exist"):
        write_case(tmp_path / "nowhere" / "van.yaml", build_case())


def test_case_too_large_to_read_again_is_not_written(tmp_path: Path) -> None:
    path = tmp_path / "van.yaml"
    write_case(path, build_case())
    before = path.read_bytes()
    with pytest.raises(WriteError, match="grown past"):
        write_case(path, build_case(complaint="x" * MAX_BYTES))
    assert path.read_bytes() == before


def test_half_written_files_of_killed_runs_are_removed_and_only_those(tmp_path: Path) -> None:
    kept = [tmp_path / "van.yaml", tmp_path / "van2.yaml", tmp_path / ".van2.yaml.1a.new"]
    for path in (*kept, tmp_path / ".van.yaml.1a.new"):
        path.write_text("x", encoding="utf-8")
    remove_leftovers(tmp_path / "van.yaml")
    assert sorted(tmp_path.iterdir()) == sorted(kept)


@pytest.mark.parametrize(
    "case_id",
    [
        "",
        "../van",
        "a/b",
        "Van",
        "van.yaml",
        "-van",
        "van-",
        "a--b",
        "vån",
        "a b",
        "x" * 101,
        "a\n",
    ],
)
def test_bad_case_id_is_refused(case_id: str) -> None:
    with pytest.raises(CaseIdError) as caught:
        check_id(case_id)
    assert caught.value.case_id == case_id
