"""`advisor prove`: results on standard output, the rest on standard error, exit status 0, 1, 2."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from advisor.cli import main
from tests.proof.book import LOOSE, THIN, example_text, folder_of, write_examples

GOOD = example_text(LOOSE, "first: flange-loose", "loose")
HELD_BACK = example_text(THIN, "first: rings-too-thin", "thin", "    held_back: true\n")
FAILING = example_text(THIN, "first: flange-loose", "wrong")


def book(tmp_path: Path, *texts: str) -> str:
    folder = folder_of(tmp_path)
    write_examples(folder, "examples:\n" + "".join(texts))
    return str(folder)


def test_all_met_is_status_0_and_says_nothing_but_the_count(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = book(tmp_path, GOOD, HELD_BACK)
    assert main(["prove", "--rulebook", folder]) == 0
    shown = capsys.readouterr()
    assert shown.out == ""
    assert shown.err == f"{folder}: 2 examples (1 held back): none fails\n"


def test_failing_example_is_status_1_with_its_place_and_trail(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = book(tmp_path, FAILING)
    assert main(["prove", "--rulebook", folder]) == 1
    shown = capsys.readouterr()
    head, *trail = shown.out.splitlines()
    place = f"{folder}/examples/some.yaml:5:14: wrong: expected first: flange-loose; came out: "
    assert head.startswith(place + "rings-too-thin leads at 0.9")
    assert trail[0].startswith("   flange-loose: ")
    assert any(line.endswith(" db  began-after-joint-work: true") for line in trail)
    assert shown.err == f"{folder}: 1 example: 1 fails\n"


GAP = "    known_gap: Nothing tells these two apart.\n"


def test_known_gap_fails_no_run_and_is_listed_apart_with_its_reason(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    known = example_text(THIN, "first: flange-loose", "known", GAP)
    folder = book(tmp_path, GOOD, known)
    assert main(["prove", "--rulebook", folder]) == 0
    shown = capsys.readouterr()
    assert shown.out == ""
    assert shown.err.splitlines() == [
        f"{folder}: 2 examples: none fails, 1 known gap:",
        f"   {folder}/examples/some.yaml:9:5: known: Nothing tells these two apart.",
    ]


def test_known_gap_hides_no_other_failing_example(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    known = example_text(THIN, "first: flange-loose", "known", GAP)
    assert main(["prove", "--rulebook", book(tmp_path, known, FAILING)]) == 1
    shown = capsys.readouterr()
    assert "some.yaml:10:14: wrong: expected first: flange-loose; " in shown.out
    assert "known: " not in shown.out
    assert ": 2 examples: 1 fails, 1 known gap:\n" in shown.err


def test_closed_gap_is_status_1_at_its_place(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = book(tmp_path, example_text(LOOSE, "first: flange-loose", "closed", GAP))
    assert main(["prove", "--rulebook", folder]) == 1
    shown = capsys.readouterr()
    place = f"{folder}/examples/some.yaml:5:5: closed: "
    assert shown.out == f"{place}the gap is closed: take out known_gap\n"
    assert shown.err == f"{folder}: 1 example: none fails, 1 known gap is closed\n"


def test_json_lists_known_and_closed_gaps_apart(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    known = example_text(THIN, "first: flange-loose", "known", GAP)
    closed = example_text(LOOSE, "first: flange-loose", "closed", GAP)
    folder = book(tmp_path, GOOD, known, closed)
    assert main(["prove", "--rulebook", folder, "--json"]) == 1
    data = json.loads(capsys.readouterr().out)
    path = f"{folder}/examples/some.yaml"
    why = "Nothing tells these two apart."
    assert data["known_gaps"] == [{"id": "known", "path": path, "line": 9, "column": 5, "why": why}]
    assert data["closed_gaps"] == [
        {"id": "closed", "path": path, "line": 14, "column": 5, "why": why}
    ]
    assert [one["passed"] for one in data["examples"]] == [True, False, True]


def test_faulty_file_is_status_2_with_nothing_on_standard_output(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = book(tmp_path, example_text(LOOSE, "frist: flange-loose"))
    assert main(["prove", "--rulebook", folder]) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    assert f"{folder}/examples/some.yaml:5:14: error[unknown-field]" in shown.err
    assert 'did you mean "first"?' in shown.err


def test_rulebook_without_examples_is_status_2(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["prove", "--rulebook", str(folder_of(tmp_path))]) == 2
    assert "there is no such folder" in capsys.readouterr().err


def test_coverage_lists_gaps_by_id_and_place_and_fails_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = book(tmp_path, GOOD)
    assert main(["prove", "--rulebook", folder, "--coverage"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == "outcomes that no example shows: 6"
    assert (
        f'   {folder}/findings.yaml:2:3: finding "began-after-joint-work": '
        "no example makes it true or false"
    ) in lines
    assert "causes without a near miss: 4" in lines


def test_scores_show_both_groups_with_intervals(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["prove", "--rulebook", book(tmp_path, GOOD, HELD_BACK), "--scores"]) == 0
    out = capsys.readouterr().out
    assert "scores of other examples: 1 example with a right cause" in out
    assert "scores of held back: 1 example with a right cause" in out
    assert out.count("foretold  forecasts  came true  share, 95 % interval") == 2


def test_json_holds_all_examples_and_what_was_asked_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = book(tmp_path, GOOD, FAILING)
    assert main(["prove", "--rulebook", folder, "--json"]) == 1
    data = json.loads(capsys.readouterr().out)
    assert [(one["id"], one["passed"], one["line"]) for one in data["examples"]] == [
        ("loose", True, 2),
        ("wrong", False, 6),
    ]
    assert data["examples"][1]["failures"][0]["expected"] == "first: flange-loose"
    assert (data["coverage"], data["scores"]) == (None, None)
    assert main(["prove", "--rulebook", folder, "--json", "--coverage", "--scores"]) == 1
    data = json.loads(capsys.readouterr().out)
    assert data["coverage"]["never_first"][0]["id"] == "rings-too-thin"
    assert data["scores"]["seen"]["examples"] == 2
    assert data["scores"]["held_back"] is None
    assert 0.0 <= data["scores"]["seen"]["calibration"][0]["share_low"] <= 1.0


def test_closed_pipe_ends_without_a_complaint(tmp_path: Path) -> None:
    folder = book(
        tmp_path, *(example_text(THIN, "first: flange-loose", f"e{i}") for i in range(99))
    )
    command = [sys.executable, "-m", "advisor", "prove", "--rulebook", folder, "--coverage"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        said = process.stderr.read().decode()
    assert process.returncode == 0
    assert "Traceback" not in said
    assert "Exception" not in said
