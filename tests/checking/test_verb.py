"""The verb `check`: forms of output, the exit status, and the list of codes."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from advisor.cli import main
from advisor.rulebook import CODES, LIKELY
from advisor.verbs.output import DONE, FOUND, WRONG
from tests.checking.examples import twins
from tests.helpers_rulebook import small_rulebook

UNUSED = "cautions: {spare: {text: Never shown., source: judgement}}\n"


@pytest.fixture
def doubtful(tmp_path: Path) -> str:
    """A rulebook that loads without a problem and has two causes alike."""
    return str(small_rulebook(tmp_path, z_extra=twins("0.8")))


def test_what_is_likely_wrong_is_shown_and_ends_in_0(
    doubtful: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", "--rulebook", doubtful]) == DONE
    out, err = capsys.readouterr()
    assert "z-extra.yaml:9:3: warning[causes-alike]: no evidence can tell " in out
    assert "    9 |   twin:\n" in out
    assert "z-extra.yaml:2:3: " in out
    assert err.endswith(", 4 causes: 1 problem\n")


def test_strict_ends_in_1_for_what_is_likely_wrong(doubtful: str) -> None:
    assert main(["check", "--strict", "--rulebook", doubtful]) == FOUND


def test_strict_ends_in_0_when_there_is_nothing(tmp_path: Path) -> None:
    assert main(["check", "--strict", "--rulebook", str(small_rulebook(tmp_path))]) == DONE


def test_warning_of_loading_ends_in_1_without_strict(tmp_path: Path) -> None:
    folder = small_rulebook(tmp_path, z_extra=twins("0.3"), z_spare=UNUSED)
    assert main(["check", "--rulebook", str(folder)]) == FOUND


def test_json_and_sarif_tell_the_same_problems(
    doubtful: str, capsys: pytest.CaptureFixture[str]
) -> None:
    main(["check", "--json", "--rulebook", doubtful])
    (problem,) = json.loads(capsys.readouterr().out)["problems"]
    assert main(["check", "--sarif", "--rulebook", doubtful]) == DONE
    (result,) = json.loads(capsys.readouterr().out)["runs"][0]["results"]
    region = result["locations"][0]["physicalLocation"]["region"]
    assert (problem["code"], problem["severity"]) == (result["ruleId"], result["level"])
    assert (problem["line"], problem["column"]) == (region["startLine"], region["startColumn"])


def test_sarif_of_a_missing_rulebook_is_bad_input(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", "--sarif", "--rulebook", str(tmp_path / "none")]) == WRONG
    assert capsys.readouterr().out == ""


def test_codes_lists_every_code_once_in_order_with_its_meaning(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["check", "--codes"]) == DONE
    lines = [line.split(maxsplit=2) for line in capsys.readouterr().out.splitlines()]
    assert [line[0] for line in lines] == sorted({*CODES, *LIKELY})
    assert {line[1] for line in lines} == {"error", "warning"}
    assert {line[0]: line[2] for line in lines} == {**CODES, **LIKELY}


def test_two_forms_of_output_at_once_are_wrong_use(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stopped:
        main(["check", "--json", "--sarif"])
    assert stopped.value.code == WRONG
    assert "not allowed with" in capsys.readouterr().err


def test_help_says_what_ends_in_1(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["check", "--help"])
    assert "only likely wrong" in " ".join(capsys.readouterr().out.split())
