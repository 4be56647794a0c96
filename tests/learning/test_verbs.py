"""The verbs replay and calibrate, and --overlay at the others: what is printed, and the status."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest

from advisor.cases import CaseFile, read_case, write_case
from advisor.cli import main
from tests.learning.world import AUTHOR, case

ROOT = Path(__file__).parents[2]
WORN = {"layout": "two-piece", "q-ticks": "yes", "noise": "squeak"}


@pytest.fixture
def book(tmp_path: Path) -> str:
    AUTHOR.load(tmp_path / "book")
    return str(tmp_path / "book")


def folder_of(tmp_path: Path, *cases: CaseFile) -> Path:
    folder = tmp_path / "cases"
    folder.mkdir()
    for number, one in enumerate(cases):
        write_case(folder / f"{number}.yaml", one)
    return folder


def overlay_of(tmp_path: Path, book: str) -> Path:
    """An overlay from cases in which ticking is rare with the cause worn."""
    rare = [case({"q-ticks": "yes" if n < 3 else "no"}, "worn") for n in range(40)]
    folder, path = folder_of(tmp_path, *rare), tmp_path / "overlay.yaml"
    assert main(["calibrate", str(folder), "--rulebook", book, "--write", str(path)]) == 0
    return path


def test_replay_prints_scores_and_ends_in_0(
    tmp_path: Path, book: str, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = folder_of(tmp_path, case(WORN, "worn"))
    assert main(["replay", str(folder), "--rulebook", book]) == 0
    printed = capsys.readouterr()
    assert "right cause first: 1 (1, 95 % interval 0.207 to 1)" in printed.out
    assert printed.err == ""


def test_unreadable_case_is_told_and_ends_in_1(
    tmp_path: Path, book: str, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = folder_of(tmp_path, case(WORN, "worn"))
    (folder / "bad.yaml").write_text("format: 1\nid: bad\n", encoding="utf-8")
    assert main(["replay", str(folder), "--rulebook", book, "--json"]) == 1
    printed = capsys.readouterr()
    assert f"{folder}/bad.yaml:1:1: error[missing-field]" in printed.err
    assert json.loads(printed.out)["all"]["cases"] == 1


@pytest.mark.parametrize("verb", ["replay", "calibrate"])
def test_folder_without_a_closed_case_ends_in_1(
    tmp_path: Path, book: str, verb: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([verb, str(folder_of(tmp_path)), "--rulebook", book]) == 1
    assert "0 cases: 0 closed, 0 still open" in capsys.readouterr().out


@pytest.mark.parametrize("verb", ["replay", "calibrate"])
def test_single_case_in_place_of_a_folder_is_told_and_ends_in_2(
    tmp_path: Path, book: str, verb: str, capsys: pytest.CaptureFixture[str]
) -> None:
    (path,) = folder_of(tmp_path, case(WORN, "worn")).iterdir()
    assert main([verb, str(path), "--rulebook", book]) == 2
    assert "name the folder, or a file with a case a line" in capsys.readouterr().err


@pytest.mark.parametrize("verb", ["replay", "calibrate"])
def test_missing_folder_is_told_and_ends_in_2(
    tmp_path: Path, book: str, verb: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([verb, str(tmp_path / "none"), "--rulebook", book]) == 2
    assert capsys.readouterr().err == (
        f"{tmp_path / 'none'}: the cases cannot be listed: there is no such folder\n"
    )


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["replay", "cases", "--processes", "0"], "write a whole number, 1 or more"),
        (["calibrate", "cases", "--strength", "much"], "write a number from 0.001 to 1000000"),
        (["calibrate", "cases", "--strength", "-3"], "write a number from 0.001 to 1000000"),
        (["calibrate", "cases", "--strength", "1e-320"], "write a number from 0.001 to 1000000"),
        (["calibrate", "cases", "--least", "x"], "write a whole number, 1 or more"),
    ],
)
def test_wrong_numbers_are_told(
    words: list[str], told: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as stop:
        main(words)
    assert stop.value.code == 2
    assert told in capsys.readouterr().err


def test_shipped_demo_cases_are_too_few(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["calibrate", str(ROOT / "cases")]) == 0
    out = capsys.readouterr().out
    assert "too few cases for commonness" in out
    assert "no rate changes" in out
    assert "too few cases (under 20) for" in out


def test_proposal_says_what_it_rests_on(
    tmp_path: Path, book: str, capsys: pytest.CaptureFixture[str]
) -> None:
    path = overlay_of(tmp_path, book)
    printed = capsys.readouterr()
    assert "    40  ticks, worn: 0.8 -> 0.317" in printed.out
    assert printed.err == f"{path}: the proposal is written; use it by --overlay {path}\n"


def test_file_that_is_there_is_refused_before_the_work(
    tmp_path: Path, book: str, capsys: pytest.CaptureFixture[str]
) -> None:
    folder, path = folder_of(tmp_path, case(WORN, "worn")), tmp_path / "mine.yaml"
    path.write_text("mine\n", encoding="utf-8")
    assert main(["calibrate", str(folder), "--rulebook", book, "--write", str(path)]) == 2
    printed = capsys.readouterr()
    assert (printed.out, printed.err) == ("", f"{path} is there already; name another file\n")
    assert path.read_text(encoding="utf-8") == "mine\n"


def test_overlay_changes_the_ranking_and_is_named_by_it(
    tmp_path: Path, book: str, capsys: pytest.CaptureFixture[str]
) -> None:
    path = overlay_of(tmp_path, book)
    one = tmp_path / "cases" / "0.yaml"
    capsys.readouterr()
    rank = ["rank", str(one), "--rulebook", book, "--json"]
    assert main(rank) == 0
    without = json.loads(capsys.readouterr().out)
    assert main([*rank, "--overlay", str(path)]) == 0
    found = capsys.readouterr()
    within = json.loads(found.out)
    assert without["rulebook_version"] == "1.0.0"
    assert within["rulebook_version"].startswith("1.0.0+overlay.")
    assert within["causes"] != without["causes"]
    assert "which may rank it otherwise" in found.err


@pytest.mark.parametrize(
    "words", [["find"], ["figures"], ["similar", "CASE"]], ids=lambda words: words[0]
)
def test_library_is_weighed_with_the_overlay_whatever_was_kept_without(
    tmp_path: Path, book: str, words: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    path, folder = overlay_of(tmp_path, book), tmp_path / "cases"
    write_case(folder / "other.yaml", case({"layout": "two-piece", "q-ticks": "yes"}))
    here = [str(folder / "other.yaml") if word == "CASE" else word for word in words]
    where = ["--library", str(folder), "--index", str(tmp_path / "index"), "--rulebook", book]

    def found(*more: str) -> str:
        capsys.readouterr()
        assert main([*here, *where, "--json", *more]) == 0
        return capsys.readouterr().out

    without, within = found(), found("--overlay", str(path))
    assert without != within
    assert (found(), found("--overlay", str(path))) == (without, within)


@pytest.mark.parametrize(
    "words",
    [["why", "CASE"], ["check"], ["replay", "CASES"], ["figures", "--library", "CASES"]],
    ids=lambda words: words[0],
)
def test_verb_takes_an_overlay_and_tells_what_is_outdated(
    tmp_path: Path, book: str, words: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    path = overlay_of(tmp_path, book)
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("old: 0.8", "old: 0.7"), encoding="utf-8")
    capsys.readouterr()
    folder = tmp_path / "cases"
    names = {"CASE": str(folder / "0.yaml"), "CASES": str(folder)}
    main([*(names.get(word, word) for word in words), "--rulebook", book, "--overlay", str(path)])
    printed = capsys.readouterr()
    assert "warning[outdated-overlay]" in printed.out + printed.err


def test_interview_names_the_overlay_in_the_case(
    tmp_path: Path, book: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    path, one = overlay_of(tmp_path, book), tmp_path / "van.yaml"
    monkeypatch.setattr("sys.stdin", io.StringIO("two-piece\nstop\n"))
    capsys.readouterr()
    words = ["ask", str(one), "--plain", "--rulebook", book, "--overlay", str(path)]
    assert main(words) in (0, 130)
    assert read_case(one).rulebook.version.startswith("1.0.0+overlay.")
    assert "--overlay" in capsys.readouterr().out  # in the command to go on with
