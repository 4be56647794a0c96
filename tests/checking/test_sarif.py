"""Problems as SARIF: what the standard requires is there, and the places are right."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from advisor import __version__
from advisor.checking import as_sarif, examine
from advisor.rulebook import CODES, LIKELY
from tests.checking.examples import EXAMPLES
from tests.helpers_rulebook import FINDINGS, small_rulebook

LEVELS = {"none", "note", "warning", "error"}  # SARIF 2.1.0, 3.27.10


def sarif_of(folder: Path) -> dict[str, Any]:
    """The data as another program reads it."""
    data: dict[str, Any] = json.loads(json.dumps(as_sarif(examine(folder).problems)))
    return data


def assert_location(location: dict[str, Any]) -> None:
    physical = location["physicalLocation"]
    region = physical["region"]
    assert physical["artifactLocation"]["uri"]
    assert "\\" not in physical["artifactLocation"]["uri"]
    assert region["startLine"] >= 1
    assert region["startColumn"] >= 1
    assert region.get("endColumn", region["startColumn"] + 1) > region["startColumn"]


def assert_valid(log: dict[str, Any]) -> None:
    """The required properties of SARIF 2.1.0: 3.13.2, 3.13.4, 3.14.6, 3.19.8, 3.27.11, 3.49.3."""
    assert log["version"] == "2.1.0"
    (run,) = log["runs"]
    driver = run["tool"]["driver"]
    assert (driver["name"], driver["version"]) == ("advisor", __version__)
    for rule in driver["rules"]:
        assert rule["id"]
        assert rule["shortDescription"]["text"]
        assert rule["defaultConfiguration"]["level"] in LEVELS
    for result in run["results"]:
        assert driver["rules"][result["ruleIndex"]]["id"] == result["ruleId"]
        assert result["level"] in LEVELS
        assert result["message"]["text"]
        for location in (*result["locations"], *result.get("relatedLocations", ())):
            assert_location(location)


def test_rulebook_without_problems_gives_rules_and_no_results(tmp_path: Path) -> None:
    log = sarif_of(small_rulebook(tmp_path))
    assert_valid(log)
    (run,) = log["runs"]
    assert run["results"] == []
    assert {rule["id"] for rule in run["tool"]["driver"]["rules"]} == {*CODES, *LIKELY}


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example.code)
def test_every_warning_is_a_result_at_its_place(tmp_path: Path, example: Any) -> None:
    log = sarif_of(small_rulebook(tmp_path, z_extra=example.bad))
    assert_valid(log)
    results = [one for one in log["runs"][0]["results"] if one["ruleId"] == example.code]
    regions = [one["locations"][0]["physicalLocation"]["region"] for one in results]
    assert example.at in [(one["startLine"], one["startColumn"]) for one in regions]
    assert {one["level"] for one in results} == {"warning"}


def test_problem_of_loading_is_a_result_of_level_error(tmp_path: Path) -> None:
    text = FINDINGS.replace("felt-in:", "felt-inn:")
    log = sarif_of(small_rulebook(tmp_path, findings=text))
    assert_valid(log)
    (result,) = log["runs"][0]["results"]
    assert (result["ruleId"], result["level"]) == ("unknown-fact", "error")
    assert 'did you mean "felt-in"?' in result["message"]["text"]
    assert [place["message"]["text"] for place in result["relatedLocations"]]


def test_path_with_signs_that_mean_something_in_a_uri_is_escaped(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "a #1 book"
    folder.mkdir()
    small_rulebook(folder, findings=FINDINGS.replace("felt-in:", "felt-inn:"))
    monkeypatch.chdir(tmp_path)
    for place, begin in ((folder, "file:///"), (Path(folder.name), "")):
        (result,) = sarif_of(place / "small")["runs"][0]["results"]
        uri = result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"]
        assert uri.startswith(begin)
        assert uri.endswith("a%20%231%20book/small/findings.yaml")
    assert uri == "a%20%231%20book/small/findings.yaml"
