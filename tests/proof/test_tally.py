"""Scores over examples: only those that say what is right, held-back ones apart."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from advisor.proof import walk
from advisor.proof.running import probability
from advisor.proof.tally import Tally, scores
from tests.proof.book import LOOSE, THIN, example_text, folder_of, run

HELD_BACK = "    held_back: true\n"


def tally(tmp_path: Path, *texts: str) -> Tally:
    found = scores(*run(folder_of(tmp_path), *texts)).seen
    assert found is not None
    return found


def test_right_and_wrong_examples_give_their_share(tmp_path: Path) -> None:
    found = tally(
        tmp_path,
        example_text(LOOSE, "first: flange-loose", "a"),
        example_text(LOOSE, "first: support-worn", "b"),
        example_text("layout: one-piece", "first: support-worn", "c"),
        example_text("note: x", "stops: []", "says-nothing-of-what-is-right"),
    )
    assert found.examples == 3
    assert found.first == pytest.approx(1 / 3, abs=1e-12)
    assert found.first_three == pytest.approx(1 / 3, abs=1e-12)


def test_scores_follow_from_the_probabilities(tmp_path: Path) -> None:
    text = example_text(LOOSE, "first: flange-loose")
    _, (result,) = run(folder_of(tmp_path), text)
    found = tally(tmp_path, text)
    names = ["rings-too-thin", "wheel-unbalance", "flange-loose", "support-worn"]
    shares = {name: probability(result.ranking, name) for name in names}
    assert found.log_score == pytest.approx(-math.log(shares["flange-loose"]), abs=1e-12)
    squares = [(share - (name == "flange-loose")) ** 2 for name, share in shares.items()]
    squares.append(result.ranking.none_probability**2)
    assert found.brier == pytest.approx(sum(squares), abs=1e-12)
    assert sum(one.count for one in found.calibration) == 5


def test_two_faults_are_right_when_one_leads_and_both_are_near(tmp_path: Path) -> None:
    text = example_text(f"{LOOSE}, {THIN}", "pair: [rings-too-thin, flange-loose]")
    _, (result,) = run(folder_of(tmp_path), text)
    found = tally(tmp_path, text)
    assert (found.first, found.first_three) == (1.0, 1.0)
    assert found.log_score == pytest.approx(
        -math.log(result.ranking.pairs[0].probability), abs=1e-12
    )


def test_none_of_the_listed_can_be_right(tmp_path: Path) -> None:
    expect = "first: none-of-the-listed"
    behind_all = example_text("note: x", expect, "behind-all-four-causes")
    second = example_text(
        "bolts-loose: false, bolts-missing: false, last-work: none-known, layout: one-piece",
        expect,
        "second",
    )
    found = tally(tmp_path, behind_all, second)
    _, results = run(folder_of(tmp_path), behind_all, second)
    assert (found.first, found.first_three) == (0.0, 0.5)
    surprises = [-math.log(result.ranking.none_probability) for result in results]
    assert found.log_score == pytest.approx(sum(surprises) / 2, abs=1e-12)


def test_minutes_and_questions_are_those_of_the_walks(tmp_path: Path) -> None:
    texts = [
        example_text(LOOSE, "first: flange-loose", "a"),
        example_text(THIN, "first: rings-too-thin", "b"),
    ]
    rulebook, results = run(folder_of(tmp_path), *texts)
    walks = [walk(rulebook, result.example.values) for result in results]
    found = tally(tmp_path, *texts)
    assert found.minutes == pytest.approx(sum(one.minutes for one in walks) / 2, abs=1e-9)
    assert found.questions == sum(one.questions for one in walks) / 2


def test_held_back_examples_are_scored_apart(tmp_path: Path) -> None:
    found = scores(
        *run(
            folder_of(tmp_path),
            example_text(LOOSE, "first: flange-loose", "a"),
            example_text(LOOSE, "first: support-worn", "b", HELD_BACK),
        )
    )
    assert found.seen is not None
    assert found.held_back is not None
    assert (found.seen.first, found.held_back.first) == (1.0, 0.0)


def test_group_without_a_right_cause_has_no_scores(tmp_path: Path) -> None:
    found = scores(*run(folder_of(tmp_path), example_text(LOOSE, "not_first: [support-worn]")))
    assert found.seen is None
    assert found.held_back is None
