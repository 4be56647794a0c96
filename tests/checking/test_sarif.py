"""Problems as SARIF: valid by the official schema, and the places are right."""

from __future__ import annotations

import json
import os
import sys
from functools import cache
from pathlib import Path
from typing import Any
from urllib.parse import quote

import pytest
from jsonschema import Draft4Validator

from advisor import __version__
from advisor.checking import as_sarif, examine
from advisor.rulebook import CODES, LIKELY
from tests.checking.examples import EXAMPLES
from tests.helpers_rulebook import FINDINGS, small_rulebook

# a byte of a file name that is no text; other systems have none such
BYTE = "\udcff" if sys.platform == "linux" else ""


def sarif_of(folder: Path) -> dict[str, Any]:
    """The data as another program reads it."""
    data: dict[str, Any] = json.loads(json.dumps(as_sarif(examine(folder).problems)))
    return data


@cache
def schema() -> Draft4Validator:
    """The official JSON Schema; where it came from is said beside it."""
    text = (Path(__file__).parent / "data" / "sarif-2.1.0-rtm.5.json").read_text(encoding="utf-8")
    data = json.loads(text)
    Draft4Validator.check_schema(data)
    return Draft4Validator(data)


def assert_valid(log: dict[str, Any]) -> None:
    """Valid by the schema, and what a schema can't say: rules are where the results point to."""
    assert [f"{list(error.path)}: {error.message}" for error in schema().iter_errors(log)] == []
    (run,) = log["runs"]
    driver = run["tool"]["driver"]
    assert (driver["name"], driver["version"]) == ("advisor", __version__)
    for result in run["results"]:
        assert driver["rules"][result["ruleIndex"]]["id"] == result["ruleId"]
        for location in (*result["locations"], *result.get("relatedLocations", ())):
            physical = location["physicalLocation"]
            region = physical["region"]
            assert "\\" not in physical["artifactLocation"]["uri"]
            assert region.get("endColumn", region["startColumn"] + 1) > region["startColumn"]


def test_schema_refuses_what_is_no_sarif(tmp_path: Path) -> None:
    log = sarif_of(small_rulebook(tmp_path, findings=FINDINGS.replace("felt-in:", "felt-inn:")))
    log["runs"][0]["results"][0]["level"] = "fatal"
    assert not schema().is_valid(log)


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
    folder = tmp_path / f"a #1 book{BYTE}"
    folder.mkdir()
    small_rulebook(folder, findings=FINDINGS.replace("felt-in:", "felt-inn:"))
    monkeypatch.chdir(tmp_path)
    for place, begin in ((folder, "file:///"), (Path(folder.name), "")):
        (result,) = sarif_of(place / "small")["runs"][0]["results"]
        uri = result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"]
        assert uri.startswith(begin)
        assert uri.endswith(f"a%20%231%20book{quote(os.fsencode(BYTE))}/small/findings.yaml")
    assert uri.startswith("a%20%231%20book")
