"""The customer's own data lie apart, for their owner alone."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from advisor.cases import CaseSession
from advisor.cases.folder import case_paths
from advisor.life import keep_private, private_path, read_private
from advisor.life.private import Private
from advisor.rulebook import LoadError


def test_private_data_are_kept_beside_the_case_and_not_in_it(van: CaseSession) -> None:
    keep_private(van.path, customer='A. "Quote" Customer')
    keep_private(van.path, phone="555 0100")
    found = read_private(van.path)
    assert found is not None
    assert found.as_data() == {"customer": 'A. "Quote" Customer', "phone": "555 0100"}
    assert "Customer" not in van.path.read_text(encoding="utf-8")
    assert private_path(van.path) == van.path.parent / "private" / "van.yaml"


@pytest.mark.skipif(os.name == "nt", reason="modes of POSIX")
def test_only_the_owner_may_read_them_even_if_the_file_was_open_before(van: CaseSession) -> None:
    path = private_path(van.path)
    keep_private(van.path, plate="AB 12")
    assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700
    path.chmod(0o644)
    keep_private(van.path, phone="555 0100")
    assert stat.S_IMODE(path.stat().st_mode) == 0o600


def test_they_are_no_case_of_the_folder(van: CaseSession) -> None:
    keep_private(van.path, plate="AB 12")
    assert case_paths(van.path.parent) == (van.path,)


def test_a_case_without_them_has_none(van: CaseSession) -> None:
    assert read_private(van.path) is None


@pytest.mark.parametrize(
    ("text", "reason"),
    [("format: 1\nname: x\n", "customer"), ("format: 2\n", "format 1"), ("[]\n", "mapping")],
    ids=["unknown field", "newer format", "no mapping"],
)
def test_file_with_mistakes_is_complained_of(van: CaseSession, text: str, reason: str) -> None:
    path: Path = private_path(van.path)
    path.parent.mkdir()
    path.write_text(text, encoding="utf-8")
    with pytest.raises(LoadError, match=reason):
        read_private(van.path)


def test_what_a_killed_program_left_of_them_is_removed(van: CaseSession) -> None:
    keep_private(van.path, customer="A. Example")
    left = private_path(van.path).with_name(f".{van.path.name}.{'0' * 16}.new")
    left.write_text("half of a name", encoding="utf-8")
    keep_private(van.path, phone="555 0100")
    assert not left.exists()
    assert read_private(van.path) == Private(format=1, customer="A. Example", phone="555 0100")
