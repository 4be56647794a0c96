"""Each kind of expectation is met or not, told at its place, with the trail that adds up."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from advisor.proof import proof_text, prove
from advisor.rulebook import load
from tests.proof.book import LOOSE, THIN, example_text, folder_of, run, write_examples

TWO_FAULTS = f"{LOOSE}, {THIN}"
NOBODY_KNOWS = "note: nothing"

MET = [
    (LOOSE, "first: flange-loose"),
    ("bolts-loose: false, last-work: none-known", "not_first: [flange-loose]"),
    (THIN, "first: rings-too-thin, near_miss_of: flange-loose, first_three: [rings-too-thin]"),
    (NOBODY_KNOWS, "first_three: [wheel-unbalance, rings-too-thin, flange-loose]"),
    (TWO_FAULTS, "pair: [rings-too-thin, flange-loose]"),
    (LOOSE, "at_least: {flange-loose: 0.5}, at_most: {none-of-the-listed: 0.2}"),
    (NOBODY_KNOWS, "too_close_to_call: true"),
    (THIN, "too_close_to_call: false"),
    ("layout: one-piece", "at_most: {support-worn: 0.0}"),
    (LOOSE, "findings: {bolts-unsafe: true, stack-end-play: unknown}"),
    (THIN, "findings: {stack-end-play: too-much, last-work-done: anything-else}"),
    (THIN.replace("76.98", "77.05"), "findings: {stack-end-play: too-close}"),
    (LOOSE, "stops: [bolts-unsafe]"),
    (THIN, "stops: []"),
]

UNMET = [
    (THIN, "first: flange-loose", 14, "first: flange-loose", "rings-too-thin leads at "),
    (LOOSE, "first: none-of-the-listed", 14, "first: none-of-the-listed", "flange-loose leads"),
    (LOOSE, "not_first: [flange-loose]", 14, "flange-loose not first", "flange-loose leads"),
    (THIN, "near_miss_of: rings-too-thin", 14, "rings-too-thin not first", "rings-too-thin leads"),
    (
        "layout: one-piece",
        "first_three: [support-worn]",
        14,
        "support-worn in the first three",
        "wheel-unbalance leads",
    ),
    (
        NOBODY_KNOWS,
        "first_three: [wheel-unbalance, support-worn]",
        14,
        "support-worn in the first three",
        "wheel-unbalance leads",
    ),
    (
        TWO_FAULTS,
        "pair: [rings-too-thin, wheel-unbalance]",
        14,
        "pair: rings-too-thin and wheel-unbalance",
        "rings-too-thin and flange-loose as likeliest pair; ",
    ),
    (
        "layout: one-piece",
        "at_least: {support-worn: 0.1}",
        25,
        "support-worn at least 0.1",
        "support-worn at 0; ",
    ),
    (LOOSE, "at_most: {flange-loose: 0.1}", 24, "flange-loose at most 0.1", "flange-loose at 0."),
    (THIN, "too_close_to_call: true", 14, "too close to call", "rings-too-thin leads at 0.9"),
    (NOBODY_KNOWS, "too_close_to_call: false", 14, "a clear lead", "wheel-unbalance leads at 0."),
    (
        THIN,
        "findings: {stack-end-play: good}",
        25,
        "stack-end-play: good",
        "stack-end-play: too-much",
    ),
    (LOOSE, "findings: {bolts-unsafe: false}", 25, "bolts-unsafe: false", "bolts-unsafe: true"),
    (LOOSE, "stops: []", 14, "stops: none", "stops: bolts-unsafe"),
    (THIN, "stops: [bolts-unsafe]", 14, "stops: bolts-unsafe", "stops: none"),
]


@pytest.mark.parametrize(("answers", "expect"), MET)
def test_met_expectation_is_no_failure(tmp_path: Path, answers: str, expect: str) -> None:
    _, (result,) = run(folder_of(tmp_path), example_text(answers, expect))
    assert result.failures == ()


@pytest.mark.parametrize(("answers", "expect", "column", "expected", "found"), UNMET)
def test_unmet_expectation_is_told_at_its_place(
    tmp_path: Path, *, answers: str, expect: str, column: int, expected: str, found: str
) -> None:
    _, (result,) = run(folder_of(tmp_path), example_text(answers, expect))
    (failure,) = result.failures
    assert (failure.line, failure.column) == (5, column)
    assert failure.expected == expected
    assert failure.found.startswith(found)
    assert failure.trail


def test_rival_of_the_leading_cause_can_be_none_of_the_listed(tmp_path: Path) -> None:
    folder = folder_of(tmp_path)
    path = folder / "rulebook.yaml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("listed: 0.08", "listed: 0.75"), encoding="utf-8")
    expect = "first: flange-loose, too_close_to_call: true, at_most: {wheel-unbalance: 0.1}"
    _, (result,) = run(folder, example_text(LOOSE, expect))
    assert result.failures == ()


def trail_of(tmp_path: Path, answers: str, expect: str) -> list[tuple[str, ...]]:
    _, (result,) = run(folder_of(tmp_path), example_text(answers, expect))
    return list(result.failures[0].trail)


def test_trail_shows_expected_and_leading_cause_and_adds_up(tmp_path: Path) -> None:
    answers = f"{THIN}, bolts-loose: false, bolts-missing: false, felt-in: seat, vibrates: true"
    trail = trail_of(tmp_path, answers + ", layout: one-piece", "first: flange-loose")
    assert [part[0].split(":")[0] for part in trail] == ["flange-loose", "rings-too-thin"]
    for part in trail:
        total, *parts = [float(re.findall(r"([+-]\d+\.\d) db", line)[0]) for line in part]
        assert len(parts) == 7  # commonness and all six findings
        # each line is rounded to 0.1 db
        assert sum(parts) == pytest.approx(total, abs=0.05 * (len(parts) + 1))


def test_long_trail_sums_up_what_weighs_least(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("advisor.proof.trail.MOST_LINES", 3)
    answers = f"{THIN}, bolts-loose: false, bolts-missing: false, layout: one-piece"
    part = trail_of(tmp_path, answers, "first: flange-loose")[0]
    assert len(part) == 5  # the total, commonness, two findings, the rest
    assert part[-1].endswith(" db  the other 3 findings together")


def test_trail_says_why_a_cause_cannot_be(tmp_path: Path) -> None:
    trail = trail_of(tmp_path, "layout: one-piece", "at_least: {support-worn: 0.1}")
    assert trail[0] == ("support-worn: cannot exist on this vehicle, by its applies_if",)


def test_trail_of_none_of_the_listed_is_its_probability(tmp_path: Path) -> None:
    trail = trail_of(tmp_path, LOOSE, "first: none-of-the-listed")
    assert trail[0][0].startswith("none-of-the-listed: probability 0.0")


def test_trail_of_a_finding_goes_down_to_the_answers(tmp_path: Path) -> None:
    answers = "bolts-loose: true, bolts-missing: dont-know"
    trail = trail_of(tmp_path, answers, "findings: {bolts-unsafe: false}")
    assert trail == [
        (
            "any of (bolts-loose: true; bolts-missing: true)  -> true",
            "   bolts-loose: true  -> true",
            "      bolts-loose is yes (answered)",
            "   bolts-missing: true  -> unknown",
            "      bolts-missing is not known (unknown)",
        )
    ]


def test_trail_of_a_computed_finding_shows_its_inputs(tmp_path: Path) -> None:
    (part,) = trail_of(tmp_path, THIN, "findings: {stack-end-play: good}")
    assert part[0].startswith("end-play is 0.119 mm")
    assert [line.split()[0] for line in part[1:]] == [
        "yoke-span",
        "cross-width",
        "ring-1",
        "ring-2",
    ]


def test_failures_of_an_example_come_by_place_and_share_their_trail(tmp_path: Path) -> None:
    folder = folder_of(tmp_path)
    expect = "first: flange-loose, at_most: {rings-too-thin: 0.1}, too_close_to_call: true"
    write_examples(folder, "examples:\n" + example_text(THIN, expect))
    lines = proof_text(prove(load(folder), folder / "examples")).splitlines()
    heads = [line for line in lines if not line.startswith(" ")]
    assert [int(line.split(":")[2]) for line in heads] == [14, 45, 67]
    assert sum(line.startswith("   rings-too-thin: ") for line in lines) == 1
