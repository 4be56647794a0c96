"""Closed cases ranked again: places and scores, and which cases count how."""

from __future__ import annotations

import json
import math
from pathlib import Path
from random import Random
from typing import Any

import pytest
from sklearn.metrics import brier_score_loss  # type: ignore[import-untyped]

from advisor.cases import CaseFile, write_case
from advisor.cases.lines import case_data, case_line
from advisor.learning import Replay, Source, Workers, replay_cases, replay_text
from advisor.learning.intake import MOST_PROBLEMS
from advisor.learning.replaying import scores_of
from advisor.learning.replaytally import ReplayTally
from advisor.proof.judging import forecasts
from tests.learning.world import AUTHOR, case, closed

WORN = {"layout": "two-piece", "q-ticks": "yes", "noise": "squeak", "q-hums": "no"}
LOOSE = {"layout": "two-piece", "q-hums": "yes", "q-ticks": "no", "noise": "none"}


def replayed(tmp_path: Path, *cases: CaseFile, with_walks: bool = False) -> Replay:
    """The replay of these cases, each in a file of its own."""
    AUTHOR.load(tmp_path / "book")
    folder = tmp_path / "cases"
    folder.mkdir(exist_ok=True)
    for number, one in enumerate(cases):
        write_case(folder / f"{number}.yaml", one)
    return replay_cases(
        folder,
        Source(tmp_path / "book"),
        with_walks=with_walks,
        workers=Workers(),
        progress=lambda done, whole: None,
    )


def test_right_cause_first_and_among_three_are_counted(tmp_path: Path) -> None:
    found = replayed(tmp_path, case(WORN, "worn"), case(WORN, "loose"), case(LOOSE, "loose"))
    assert (found.whole.cases, found.whole.first, found.whole.first_three) == (3, 2, 3)
    assert found.tally.confusion == {
        (("worn",), "worn"): 1,
        (("loose",), "worn"): 1,
        (("loose",), "loose"): 1,
    }


def test_scores_are_those_of_the_probabilities(tmp_path: Path) -> None:
    """Brier score: scikit-learn's, for each forecast one of two events."""
    cases = [case(WORN, "worn"), case(WORN, "loose"), case({}), case(LOOSE, "loose")]
    found = replayed(tmp_path, *cases)
    rulebook = AUTHOR.load(tmp_path / "book")
    names = ["none-of-the-listed", "worn", "loose", "bent"]
    rows = [closed(rulebook, one) for one in cases]
    foretold = [p for row in rows for p in forecasts(row.diagnosis)]
    hits = [name in row.right for row in rows for name in names]
    right = [
        row.diagnosis.belief().none
        if not one.outcome or one.outcome.none_of_the_listed
        else row.diagnosis.belief().marginals()[names.index(one.outcome.causes[0]) - 1]
        for row, one in zip(rows, cases, strict=True)
    ]
    assert found.scores is not None
    assert found.scores.brier == pytest.approx(4 * brier_score_loss(hits, foretold), abs=1e-12)
    assert found.scores.log_score == pytest.approx(-sum(map(math.log, right)) / 4, abs=1e-12)
    assert sum(one.count for one in found.scores.calibration) == 16
    assert sum(one.hits for one in found.scores.calibration) == 4


def test_two_causes_need_one_first_and_both_among_three(tmp_path: Path) -> None:
    both = {**WORN, "q-hums": "yes"}
    found = replayed(tmp_path, case(both, "worn", "loose"))
    places = found.tally.places["two-causes"]
    assert (places.cases, places.first, places.first_three) == (1, 1, 1)
    pair = closed(AUTHOR.load(tmp_path / "book"), case(both, "worn", "loose")).diagnosis.belief()
    assert found.scores is not None
    assert found.scores.log_score == pytest.approx(-math.log(pair.pair[0][1]), abs=1e-12)


def test_none_of_the_listed_can_be_right(tmp_path: Path) -> None:
    all_good = dict.fromkeys(("q-ticks", "q-hums", "q-shakes", "q-smells"), "no")
    found = replayed(tmp_path, case({**all_good, "layout": "one-piece", "noise": "none"}))
    assert found.tally.places["none-of-the-listed"].first == 1


def test_more_than_two_causes_are_not_scored(tmp_path: Path) -> None:
    found = replayed(tmp_path, case(WORN, "worn", "loose", "bent"))
    assert (found.intake.closed, found.tally.more_causes, found.scores) == (1, 1, None)
    assert "more than two causes were confirmed: 1" in replay_text(found)


def test_failed_repair_of_another_cause_is_evidence(tmp_path: Path) -> None:
    """The leading cause is out of the race once mended in vain."""
    answers = {**WORN, "q-hums": "yes"}
    assert replayed(tmp_path, case(answers, "loose")).whole.first == 0
    assert replayed(tmp_path, case(answers, "loose", repairs=["worn"])).whole.first == 1


def test_failed_repair_of_the_confirmed_cause_is_no_evidence(tmp_path: Path) -> None:
    mended, plain = case(WORN, "worn", repairs=["worn"]), case(WORN, "worn")
    assert replayed(tmp_path, mended).scores == replayed(tmp_path, plain).scores


def test_mended_one_of_two_causes_need_not_stand_among_three(tmp_path: Path) -> None:
    both = {**WORN, "q-hums": "yes"}
    found = replayed(tmp_path, case(both, "worn", "loose", repairs=["worn"]))
    assert (found.whole.first, found.whole.first_three) == (1, 1)


def test_open_case_is_only_counted(tmp_path: Path) -> None:
    one = case(WORN).model_copy(update={"outcome": None})
    found = replayed(tmp_path, one)
    assert (found.intake.open, found.intake.closed, found.scores) == (1, 0, None)
    assert "no closed case to score" in replay_text(found)


def test_unreadable_case_is_told_with_its_place_and_the_rest_goes_on(tmp_path: Path) -> None:
    (tmp_path / "cases").mkdir()
    (tmp_path / "cases" / "bad.yaml").write_text(
        'format: 1\nid: bad\nrulebook: {id: world, version: "1.0.0"}\nanswers: {q-tick: "yes"}\n',
        encoding="utf-8",
    )
    found = replayed(tmp_path, case(WORN, "worn"))
    (problem,) = found.intake.problems
    assert problem.path == (tmp_path / "cases" / "bad.yaml").as_posix()
    assert (problem.line, problem.column, problem.code) == (4, 11, "unknown-question")
    assert problem.hint == 'did you mean "q-ticks"?'
    assert (found.intake.unreadable, found.whole.cases) == (1, 1)


def test_problems_kept_are_the_first_ones_only(tmp_path: Path) -> None:
    folder = tmp_path / "cases"
    folder.mkdir()
    for number in range(MOST_PROBLEMS + 20):
        (folder / f"{number:03}.yaml").write_text("no case\n", encoding="utf-8")
    found = replayed(tmp_path)
    assert found.intake.unreadable == MOST_PROBLEMS + 20
    shown = [Path(problem.path).name for problem in found.intake.problems]
    assert shown == [f"{number:03}.yaml" for number in range(MOST_PROBLEMS)]
    assert found.intake.untold == 20


def test_unreadable_lines_are_told_by_line_and_counted_apart(tmp_path: Path) -> None:
    book, cases = tmp_path / "book", tmp_path / "cases.jsonl"
    AUTHOR.load(book)
    bad = case({"q-tick": "yes"}, "worn", name="bad")
    lines = [case_line(case_data(bad)), "no case\n", case_line(case_data(case(WORN, "worn")))]
    lines += [case_line(case_data(bad))] * MOST_PROBLEMS
    cases.write_text("".join(lines), encoding="utf-8")
    found = replay_cases(cases, Source(book), workers=Workers(), progress=lambda done, of: None)
    first, second, *_ = found.intake.problems
    assert (first.path, first.line, first.code) == (cases.as_posix(), 1, "unknown-question")
    assert (second.line, second.code) == (2, "yaml-syntax")
    assert (found.intake.unreadable, found.whole.cases) == (MOST_PROBLEMS + 2, 1)
    assert found.intake.untold == 2


def test_minutes_are_means_over_the_cases_that_name_them(tmp_path: Path) -> None:
    cases = [case(WORN, "worn", minutes=10.0), case(WORN, "worn", minutes=31.0)]
    found = replayed(tmp_path, *cases, case(LOOSE, "loose"), with_walks=True)
    assert (found.tally.spent.cases, found.tally.spent.mean) == (2, 20.5)
    assert (found.tally.planned.cases, found.tally.walked.cases) == (2, 3)
    assert "when the planner leads through the same cases" in replay_text(found)


def test_json_has_format_1_and_all_numbers_finite(tmp_path: Path) -> None:
    found = replayed(tmp_path, case(WORN, "worn"))
    data: dict[str, Any] = json.loads(json.dumps(found.as_data(), allow_nan=False))
    assert data["format"] == 1
    assert data["rulebook_versions"] == {"world 1.0.0": 1}
    assert data["scores"]["log_score_low"] is None  # one case says nothing of the spread
    assert data["confusion"] == [{"true": ["worn"], "leading": "worn", "cases": 1}]


def test_probabilities_of_a_world_that_is_as_the_author_says_come_true(tmp_path: Path) -> None:
    random, rulebook, tally = Random(1), AUTHOR.load(tmp_path / "book"), ReplayTally()
    for _ in range(300):
        answers, cause = AUTHOR.vehicle(random)
        tally.add(closed(rulebook, case(answers, *([cause] if cause else []))), rulebook)
    scores = scores_of(tally, 300)
    assert scores is not None
    assert scores.calibration_error < 0.05
    ends = [(one, *one.interval()) for one in scores.calibration]
    assert sum(low <= one.probability <= high for one, low, high in ends) >= len(ends) - 1
