"""A gauge that is not there: its tests are left out, and what it would settle is said."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest

from advisor.cli import main
from advisor.verbs.output import DONE, WRONG

CASES = Path(__file__).parents[1] / "cases"
ESTATE = str(CASES / "estate-boom-too-close-to-call.yaml")


def test_missing_gauge_closes_its_tests_and_says_what_it_would_save(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["rank", ESTATE, "--without", "dial-indicator"]) == DONE
    text = " ".join(capsys.readouterr().out.replace("\u00a0", " ").split())
    assert "with the missing Dial indicator: Measure end play with a dial indicator" in text


def test_missing_gauge_is_told_in_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["rank", ESTATE, "--without", "dial-indicator", "--json"]) == DONE
    found = json.loads(capsys.readouterr().out)
    assert found["next_test"]["id"] != "check-end-play-by-indicator"
    assert "check-end-play-by-indicator" in [test["id"] for test in found["missed_tests"]]


def test_gauge_that_the_rulebook_lacks_is_refused_with_the_nearest(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["rank", ESTATE, "--without", "dial-indicater"]) == WRONG
    out, err = capsys.readouterr()
    assert out == ""
    assert err == '"dial-indicater" is no gauge of this rulebook; did you mean "dial-indicator"?\n'


def test_missing_gauge_is_not_asked_for_in_the_interview(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """The test is not offered, though with the gauge it is the next one."""
    case = tmp_path / "estate.yaml"
    case.write_bytes(Path(ESTATE).read_bytes())
    offered = []
    for without in ([], ["--without", "dial-indicator"]):
        monkeypatch.setattr("sys.stdin", io.StringIO("stop\n"))
        assert main(["ask", str(case), "--plain", *without]) == DONE
        offered.append("Measure end play with a dial indicator" in capsys.readouterr().out)
    assert offered == [True, False]
