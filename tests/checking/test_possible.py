"""What answers can bring about: interval reasoning over whole conditions, ranges and options."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.checking.possible import Possibilities, can_meet
from advisor.rulebook import Rulebook, load
from tests.checking.examples import SPEED, THIN, file, finding, question
from tests.helpers_rulebook import small_rulebook

TONE = question("tone", "    options: {low: Low, mid: Middle, high: High}\n", kind="choice")
UNHEARD = finding("unheard", "{tone: {known: false}}", THIN)
EARLY = question("early", "    ask_if: {tone: {known: false}}\n")
LATER = question("later", "    ask_if: {unheard: true}\n")
CONCLUDED = finding("fast", "{speed: {above: 50 mph}}", THIN)


def book_with(tmp_path: Path, when: str) -> Rulebook:
    text = file(
        questions=SPEED + TONE + EARLY + LATER,
        findings=CONCLUDED + UNHEARD + finding("odd", when, THIN),
    )
    return load(small_rulebook(tmp_path, z_extra=text))


def can_be(book: Rulebook, outcome: int) -> bool:
    odd = next(one for one in book.rules.findings if one.id == "odd")
    return bool(Possibilities(book).outcome(odd, outcome))


IMPOSSIBLE = {
    "two parts leave no number": "{all: [{not: {any: [{speed: {below: 60 mph}}, {tone: low}]}}, "
    "{any: [{speed: {below: 50 mph}}, {tone: low}]}]}",
    "outside the range in each alternative": "{any: [{speed: {above: 85 mph}}, "
    "{all: [{speed: {below: 15 mph}}, {tone: low}]}]}",
    "an option and another": "{all: [{tone: low}, {any: [{tone: mid}, {tone: high}]}]}",
    "every option is excluded": "{not: {tone: {one_of: [low, mid, high]}}}",
    "known and not": "{all: [{tone: {known: false}}, {any: [{tone: low}, {tone: mid}]}]}",
    "a finding and its opposite": "{all: [{fast: true}, {speed: {below: 40 mph}}]}",
    "asked only otherwise": "{all: [{vibrates: false}, {felt-in: seat}]}",
    "unknown what it hangs on": "{all: [{fast: false}, {speed: {known: false}}]}",
}
POSSIBLE = {
    "two options of several": "{all: [{felt-in: seat}, {felt-in: floor}]}",
    "one option of several and not another": "{all: [{felt-in: seat}, {not: {felt-in: floor}}]}",
    "the end of the range itself": "{speed: {between: [80 mph, 90 mph]}}",
    "a computed number has no range": "{end-play: {above: 9 mm}}",
    "another is not known": "{all: [{tone: {known: false}}, {speed: {above: 30 mph}}]}",
    "asked before another was known": "{all: [{early: true}, {tone: low}]}",
    "asked before another was concluded": "{all: [{later: true}, {tone: low}]}",
}


@pytest.mark.parametrize("when", IMPOSSIBLE.values(), ids=list(IMPOSSIBLE))
def test_condition_that_no_answers_make_true(tmp_path: Path, when: str) -> None:
    assert not can_be(book_with(tmp_path, when), 0)


@pytest.mark.parametrize("when", POSSIBLE.values(), ids=list(POSSIBLE))
def test_condition_that_some_answers_make_true(tmp_path: Path, when: str) -> None:
    assert can_be(book_with(tmp_path, when), 0)


def test_condition_true_over_the_whole_range_is_never_false(tmp_path: Path) -> None:
    assert not can_be(book_with(tmp_path, "{speed: {above: 10 mph}}"), 1)


def test_condition_with_very_many_alternatives_counts_as_possible(tmp_path: Path) -> None:
    pair = "{any: [{felt-in: seat}, {felt-in: floor}, {felt-in: steering-wheel}, {tone: low}]}"
    whens = ", ".join(
        pair.replace("tone: low", f"speed: {{above: {30 + place} mph}}") for place in range(9)
    )
    assert can_be(book_with(tmp_path, f"{{all: [{whens}, {{vibrates: true}}]}}"), 0)


def test_outcomes_of_several_values_exclude_one_another(tmp_path: Path) -> None:
    book = load(small_rulebook(tmp_path))
    stack = next(one for one in book.rules.findings if one.id == "stack-end-play")
    preload, good, too_much = (Possibilities(book).outcome(stack, place) for place in range(3))
    assert can_meet(good, good)
    assert not can_meet(preload, good)
    assert not can_meet(good, too_much)
