"""`advisor practise`: a lesson, its score, and a class."""

from __future__ import annotations

import io
import json
import sys
from pathlib import Path

import pytest

from advisor.cases import WriteError
from advisor.cli import main
from advisor.teaching import classes
from advisor.teaching.practicefile import LARGEST_SEED, Practice, write_practice


def run(monkeypatch: pytest.MonkeyPatch, *words: str, typed: str = "") -> int:
    monkeypatch.setattr(sys, "stdin", io.StringIO(typed))
    return main(["practise", *words])


@pytest.fixture
def begun(tmp_path: Path, folder: Path, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The words of a lesson that was begun with one test."""
    words = [str(tmp_path / "lesson.yaml"), "--rulebook", str(folder)]
    typed = "measure yoke\n\nstop\n"
    assert run(monkeypatch, *words, "--seed", "7", "--plain", typed=typed) == 0
    return words


def test_lesson_says_how_to_go_on(
    tmp_path: Path,
    folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    words = ["my lesson.yaml", "--plain", "--rulebook", str(folder)]
    assert run(monkeypatch, *words, typed="stop\n") == 0
    out = capsys.readouterr().out
    assert "saved. Go on with:\nadvisor practise 'my lesson.yaml' --plain --rulebook" in out


def test_lesson_goes_on_and_ends_with_the_score(
    begun: list[str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    capsys.readouterr()
    assert run(monkeypatch, *begun, "--plain", typed="hand-on\nyes\n") == 0
    out = capsys.readouterr().out
    assert "this lesson goes on" in out
    assert "what was wrong:" in out
    assert "the advisor's own way:" in out


def test_score_of_an_unfinished_lesson_keeps_the_fault_back(
    begun: list[str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    capsys.readouterr()
    assert run(monkeypatch, *begun, "--score") == 0
    out = capsys.readouterr().out
    assert "so far" in out
    assert "what was wrong" not in out


def test_score_as_json(
    begun: list[str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    capsys.readouterr()
    assert run(monkeypatch, *begun, "--json") == 0
    data = json.loads(capsys.readouterr().out)
    assert (data["format"], data["seed"], data["learner"]["tests"]) == (1, 7, 1)


def test_begun_file_takes_no_other_vehicle(
    begun: list[str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(monkeypatch, *begun, "--seed", "8") == 2
    assert "holds a practice vehicle already" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--cause", "flange-lose"], 'did you mean "flange-loose"'),
        (["--seed", "-3"], "read -3 for --seed"),
        (["--two", "--level", "easy"], "no vehicle of this kind"),
        (["--score"], "does not exist; begin it by"),
        (["--class", "0"], "read 0 for --class; expected 1 to 200"),
    ],
    ids=["cause", "seed", "none", "score", "class"],
)
def test_wrong_use_is_told(
    words: list[str],
    told: str,
    *,
    tmp_path: Path,
    folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    path = tmp_path / "new.yaml"
    assert run(monkeypatch, str(path), "--rulebook", str(folder), *words) == 2
    assert told in capsys.readouterr().err
    assert not path.exists()


def test_class_gets_files_and_the_trainer_the_sheet(
    tmp_path: Path,
    folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    words = [str(tmp_path / "class"), "--rulebook", str(folder), "--class", "3", "--seed", "5"]
    assert run(monkeypatch, *words) == 0
    sheet = capsys.readouterr().out
    names = sorted(path.name for path in (tmp_path / "class").iterdir())
    assert names == ["vehicle-001.yaml", "vehicle-002.yaml", "vehicle-003.yaml"]
    assert all(name in sheet for name in names)
    assert "seed 5" in sheet
    assert "The advisor took" in sheet
    assert run(monkeypatch, *words) == 2
    assert "is there already; name another folder" in capsys.readouterr().err


@pytest.mark.parametrize("end", [WriteError(Path("disk"), "the disk is full"), KeyboardInterrupt()])
def test_class_that_could_not_be_written_whole_leaves_no_file(
    tmp_path: Path, folder: Path, monkeypatch: pytest.MonkeyPatch, end: BaseException
) -> None:
    """Without the sheet nobody would know what is wrong with a vehicle."""
    write = write_practice

    def write_one(path: Path, practice: Practice, *, fresh: bool) -> str:
        if path.name == "vehicle-002.yaml":
            raise end
        return write(path, practice, fresh=fresh)

    monkeypatch.setattr(classes, "write_practice", write_one)
    words = [str(tmp_path / "class"), "--rulebook", str(folder), "--class", "3", "--seed", "5"]
    assert run(monkeypatch, *words) in (2, 130)
    assert list((tmp_path / "class").iterdir()) == []


def test_class_with_a_seed_that_no_file_holds_is_refused_before_any_is_written(
    tmp_path: Path,
    folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    words = ["--class", "3", "--seed", str(LARGEST_SEED - 1)]
    assert run(monkeypatch, str(tmp_path / "class"), "--rulebook", str(folder), *words) == 2
    assert f"expected 0 to {LARGEST_SEED - 2}" in capsys.readouterr().err
    assert not (tmp_path / "class").exists()
