"""The overlay file that calibrate writes: it is read again, and overwrites nothing."""

from __future__ import annotations

import json
from pathlib import Path
from random import Random

import pytest
from jsonschema import Draft7Validator

from advisor.learning import Calibration, LearningError, Terms, overlay_text, write_overlay
from advisor.learning.calibrating import weigh
from advisor.learning.counting import USUAL, CountTally
from advisor.learning.intake import Intake
from advisor.rulebook import Rulebook, load, parse_yaml, read_overlay
from advisor.schema import schema_text
from tests.learning.world import AUTHOR, case, closed, drawn_world


@pytest.fixture
def rulebook(tmp_path: Path) -> Rulebook:
    return AUTHOR.load(tmp_path / "book")


@pytest.fixture
def calibration(rulebook: Rulebook) -> Calibration:
    """From 200 cases of a world that is not as the author thinks."""
    random, tally = Random(9), CountTally()
    world = drawn_world(random, 5.0)
    for _ in range(200):
        answers, cause = world.vehicle(random)
        tally.add(closed(rulebook, case(answers, *([cause] if cause else []))), rulebook)
    return weigh(rulebook, tally, Intake(), Terms())


def test_every_proposed_rate_is_in_use_when_it_is_read_again(
    tmp_path: Path, rulebook: Rulebook, calibration: Calibration
) -> None:
    path = tmp_path / "overlay.yaml"
    write_overlay(path, calibration)
    overlaid = load(tmp_path / "book", overlay=read_overlay(path))
    assert overlaid.warnings == ()
    findings = overlaid.engine.effects.findings
    assert {len(column.changes) for column in calibration.columns} == {1, 3}
    for column in calibration.columns:
        finding = findings[column.finding]
        rates = finding.usual if column.cause == USUAL else finding.rates[column.cause]
        for change, rate in zip(column.changes.values(), rates, strict=False):
            assert rate == pytest.approx(change.new, abs=1e-12)
    assert [cause.commonness for cause in overlaid.rules.causes] == [
        one.change.new for one in calibration.commonness
    ]
    assert calibration.none_share is not None
    assert overlaid.rules.none_share == calibration.none_share.new
    assert overlaid.rules.findings != rulebook.rules.findings


def test_rate_stands_on_one_line_with_what_is_behind_it(calibration: Calibration) -> None:
    column = next(one for one in calibration.columns if one.finding == "ticks" and one.cause)
    change = column.changes["true"]
    assert (
        f"worn: {{old: 0.8, new: {change.new}, cases: {column.cases}, "
        f"low: {change.low}, high: {change.high}}}"
    ) in overlay_text(calibration)


def test_file_fits_the_schema_that_editors_get(calibration: Calibration) -> None:
    schema = json.loads(schema_text("overlay"))
    data = parse_yaml(overlay_text(calibration), "overlay.yaml").data
    assert list(Draft7Validator(schema).iter_errors(data)) == []
    assert data["cases"] == 200
    assert data["findings"]["ticks"]["usual"]["old"] == 0.2


def test_version_stays_text(calibration: Calibration) -> None:
    assert 'version: "1.0.0"\n' in overlay_text(calibration)


def test_file_that_is_there_is_not_overwritten(tmp_path: Path, calibration: Calibration) -> None:
    path = tmp_path / "kept.yaml"
    path.write_text("mine\n", encoding="utf-8")
    with pytest.raises(LearningError, match="is there already; name another file"):
        write_overlay(path, calibration)
    assert path.read_text(encoding="utf-8") == "mine\n"


def test_folder_that_is_missing_is_told(tmp_path: Path, calibration: Calibration) -> None:
    with pytest.raises(LearningError, match="was not written: no such file or directory"):
        write_overlay(tmp_path / "none" / "overlay.yaml", calibration)
