"""No name that is typed or read leads the program's writing out of the folder it was given."""

from __future__ import annotations

import hashlib
import json
import os
import stat
from pathlib import Path

import pytest

from advisor.cases import CaseLock, InUseError, open_case
from advisor.cli import main
from advisor.lastresort import how_to_report
from advisor.rulebook import DataCache, load
from advisor.rulebook.problems import LoadError
from advisor.verbs.output import WRONG
from advisor.writing.command import _FILE
from advisor.writing.draft import DraftError, open_draft
from tests.cases.shop import write_shop

OUTSIDE = ["../van", "/etc/van", "a/b", "..", ".", "a\x00b", "~", "C:van", "van\n", "a\\b", "-van"]
posix = pytest.mark.skipif(os.name == "nt", reason="needs links and modes of POSIX")


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    return write_shop(tmp_path)


@pytest.mark.parametrize("name", OUTSIDE)
def test_case_id_that_leads_elsewhere_is_refused(tmp_path: Path, shop: Path, name: str) -> None:
    path = tmp_path / "van.yaml"
    case = {"format": 1, "id": name, "rulebook": {"id": "shop", "version": "1"}}
    path.write_text(json.dumps(case), encoding="utf-8")
    with pytest.raises(LoadError, match="id"):
        open_case(path, load(shop))


@pytest.mark.parametrize("name", [*(f"{one}.yaml" for one in OUTSIDE), "van.txt", ".yaml"])
def test_file_of_new_rules_stays_in_its_folder(name: str) -> None:
    assert _FILE.fullmatch(name) is None


@pytest.mark.parametrize("name", ["../a", "/a", "A", "a b", "a\n"])
def test_id_in_a_rulebook_that_leads_elsewhere_is_refused(shop: Path, name: str) -> None:
    file = next(shop.glob("*.yaml"))
    text = file.read_text(encoding="utf-8").replace("causes:\n", f"causes:\n  {name!a}: {{}}\n")
    file.write_text(text.replace("'", '"'), encoding="utf-8")
    with pytest.raises(LoadError, match="wrong-id"):
        load(shop)


@posix
@pytest.mark.parametrize(
    "words",
    [
        ["page", "van.yaml", "--output", "link"],
        ["practise", "class", "--class", "1", "--seed", "1"],
        ["new", "--copy", "link"],
        ["ask", "link.yaml", "--plain"],
        ["reopen", "van.yaml", "link.yaml", "--ever-right", "no"],
        ["practise", "link.yaml", "--plain", "--seed", "1"],
        ["calibrate", ".", "--write", "link"],
        ["export", "--output", "link"],
        ["find", "van", "--index", "link"],
    ],
    ids=lambda words: words[0],
)
def test_link_that_leads_to_a_new_file_is_not_followed(
    words: list[str],
    tmp_path: Path,
    shop: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    outside = tmp_path / "outside"
    (tmp_path / "class").mkdir()
    for link in ("link", "link.yaml", "class/vehicle-001.yaml"):
        (tmp_path / link).symlink_to(outside)
    case = 'format: 1\nid: van\nrulebook: {id: shop, version: "1.0.0"}\n'
    case += "outcome: {none_of_the_listed: true}\n"
    (tmp_path / "van.yaml").write_text(case, encoding="utf-8")
    more = [] if words[0] == "new" else ["--rulebook", str(shop)]
    assert main([*words, *more]) == WRONG
    assert not outside.exists()
    assert capsys.readouterr().err


@posix
def test_draft_that_is_a_link_is_not_followed(tmp_path: Path) -> None:
    (tmp_path / ".new-cause.json").symlink_to(tmp_path / "outside")
    with pytest.raises(DraftError, match="a link"):
        open_draft(tmp_path, "cause")


@posix
def test_lock_replaces_a_link_and_does_not_follow_it(tmp_path: Path) -> None:
    lock = CaseLock(tmp_path / "van.yaml")
    lock.path.symlink_to(tmp_path / "outside")
    with pytest.raises(InUseError, match="open in another program"):
        lock.__enter__()
    assert not (tmp_path / "outside").exists()


@posix
def test_details_of_a_fault_are_for_their_owner_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    how_to_report(ValueError("a customer's words"))
    (file,) = tmp_path.iterdir()
    assert stat.S_IMODE(file.stat().st_mode) == 0o600


@pytest.mark.parametrize("body", [b"[" * 100_000, b"no JSON", b"\xff"])
def test_cache_entry_with_a_right_digest_and_wrong_words_is_as_good_as_absent(
    tmp_path: Path, body: bytes
) -> None:
    cache = DataCache(tmp_path)
    cache.remember("a: 1", {"a": 1})
    (entry,) = tmp_path.iterdir()
    entry.write_bytes(hashlib.sha256(body).hexdigest().encode("ascii") + b"\n" + body)
    assert cache.recall("a: 1") is None
