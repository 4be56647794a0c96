"""The verbs of the library: find, similar, figures, export."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from tests.running import Run

CASES = Path(__file__).parents[1] / "cases"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    made = tmp_path / "cases"
    made.mkdir()
    for name in ("pickup-shake", "estate-boom-too-close-to-call", "farm-pickup-squeak"):
        shutil.copy(CASES / f"{name}.yaml", made)
    return made


def test_find_shows_what_fits_and_names_what_can_not_be_read(run: Run, folder: Path) -> None:
    (folder / "bad.yaml").write_text("format: 1\nid: bad\nrulebok: {}\n", encoding="utf-8")
    status, out, err = run("find", "pickup", "--fact", "drive-layout=rear", "--library", folder)
    assert status == 0
    assert "2 cases" in out
    assert "confirmed: Retaining rings too thin" in out
    assert f"{(folder / 'bad.yaml').as_posix()}:3:1: [unknown-field]" in err
    assert "rulebook" in err


def test_find_looks_in_the_library_of_the_settings_else_here(
    run: Run, folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    settings = tmp_path / "settings.yaml"
    settings.write_text("format: 1\nlibrary: cases\n", encoding="utf-8")
    status, out, _ = run("find", "chirps", "boom", "--json", "--settings", settings)
    assert (status, json.loads(out)["count"]) == (0, 0)
    status, out, _ = run("find", "chirps", "--json", "--settings", settings)
    assert [one["id"] for one in json.loads(out)["cases"]] == ["farm-pickup-squeak"]
    monkeypatch.chdir(folder)
    assert json.loads(run("find", "--json")[1])["count"] == 3


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--library", "no-such-folder"), "no-such-folder"),
        (("--since", "yesterday"), "2024-05-01"),
        (("--cause", "joint-drie"), 'did you mean one of "joint-dry"'),
        (("--fact", "drive-layout"), "write a question and its value"),
        (("--most", "0"), "write a whole number, 1 or more"),
        (("--index", CASES / "pickup-shake.yaml"), "this is no index of cases"),
        (("--rulebook", "no-such-rulebook"), "no-such-rulebook"),
    ],
)
def test_wrong_words_are_told_in_one_sentence(
    run: Run, folder: Path, words: tuple[object, ...], told: str
) -> None:
    status, out, err = run("find", "--library", folder, *words)
    assert (status, out) == (2, "")
    assert told in err
    assert "Traceback" not in err


def test_similar_shows_cautions_then_closed_cases(run: Run, folder: Path) -> None:
    status, out, _ = run("similar", folder / "pickup-shake.yaml", "--library", folder)
    assert status == 0
    assert out.index("Before any of the work") < out.index("Closed cases")
    assert "alike: estate-boom-too-close-to-call" in out
    assert "alike: pickup-shake" not in out
    data = json.loads(
        run("similar", folder / "pickup-shake.yaml", "--library", folder, "--json")[1]
    )
    assert data["format"] == 1
    assert data["closed"][0]["confirmed"] == ["rings-too-thin"]
    assert 0.0 < data["closed"][0]["likeness"] < 1.0


def test_figures_count_and_give_ranges(run: Run, folder: Path) -> None:
    status, out, _ = run("figures", "--library", folder)
    assert status == 0
    assert "3 closed cases, 0 open" in out
    assert "2 of 3" in out
    assert json.loads(run("figures", "--library", folder, "--json")[1])["closed"] == 3


def test_export_prints_lines_or_writes_a_new_file(run: Run, folder: Path, tmp_path: Path) -> None:
    status, out, err = run("export", "--library", folder, "--closed", "--without-words")
    assert status == 0
    assert [json.loads(line)["format"] for line in out.splitlines()] == [1, 1, 1]
    assert '"complaint":' not in out
    assert "left out" in err
    target = tmp_path / "out.jsonl"
    assert run("export", "--library", folder, "--output", target)[0] == 0
    assert len(target.read_text(encoding="utf-8").splitlines()) == 3
    status, _, err = run("export", "--library", folder, "--output", target)
    assert status == 2
    assert "is there already" in err


def test_empty_cache_variable_keeps_the_index_in_memory(
    run: Run, folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("ADVISOR_CACHE", "")
    assert run("find", "--library", folder)[0] == 0
    assert [path.name for path in tmp_path.iterdir()] == ["cases"]
