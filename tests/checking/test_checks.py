"""What the checks leave alone, beyond the mended files of the examples."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.checking import likely_problems
from advisor.rulebook import load
from tests.checking.examples import (
    NOISE,
    PLACED,
    SPEED,
    THIN,
    cause,
    file,
    finding,
    question,
    spoken_of,
    twins,
)
from tests.helpers_rulebook import small_rulebook

STOPS = "    stop_driving: road-test\n"
SIGNS = question("signs", "    options: {oil: Oil, dust: Dust, rust: Rust}\n", kind="choices")
SIGN = SIGNS.replace("kind: choices", "kind: choice")


def two(first: str, second: str, questions: str) -> str:
    """Two findings that speak of one cause, on these conditions."""
    found = finding("one", first, THIN) + finding("other", second, THIN)
    return file(findings=found, questions=questions)


def codes(tmp_path: Path, text: str) -> list[str]:
    return [one.code for one in likely_problems(load(small_rulebook(tmp_path, z_extra=text)))]


def test_two_of_several_options_are_independent_and_two_of_one_choice_are_not(
    tmp_path: Path,
) -> None:
    assert codes(tmp_path, two("{signs: oil}", "{signs: dust}", SIGNS)) == []
    assert codes(tmp_path, two("{signs: oil}", "{signs: dust}", SIGN)) == ["counted-twice"]


def test_a_finding_that_reads_a_further_fact_is_not_counted_twice(tmp_path: Path) -> None:
    text = two("{noise: true}", "{noise: true, speed: {above: 40 mph}}", NOISE + SPEED)
    assert codes(tmp_path, text) == []


def test_a_finding_that_only_reads_another_is_counted_twice(tmp_path: Path) -> None:
    assert codes(tmp_path, two("{noise: true}", "{one: false}", NOISE)) == ["counted-twice"]


def test_findings_of_different_causes_are_not_counted_twice(tmp_path: Path) -> None:
    found = finding("one", "{noise: true}", THIN)
    found += finding("other", "{noise: false}", "wheel-unbalance: 0.3")
    assert codes(tmp_path, file(findings=found, questions=NOISE)) == []


def test_a_question_asked_only_after_another_does_not_depend_on_it(tmp_path: Path) -> None:
    asked = NOISE + question("loud", "    ask_if: {noise: true}\n")
    assert codes(tmp_path, two("{noise: true}", "{loud: true}", asked)) == []


def test_causes_of_different_vehicles_may_have_the_same_rates(tmp_path: Path) -> None:
    apart = cause("    applies_if: {vibrates: true}\n") + cause(name="twin")
    assert codes(tmp_path, spoken_of("extra: 0.8, twin: 0.8", apart)) == []


@pytest.mark.parametrize(("rate", "alike"), [("0.76", True), ("0.74", False)])
def test_causes_a_deciban_apart_in_one_outcome_are_told_apart(
    tmp_path: Path, rate: str, alike: bool
) -> None:
    """D: for false, 0.24 against 0.2 weighs 10 log10(1.2) = 0.79 decibans, 0.26 weighs 1.14."""
    assert codes(tmp_path, twins(rate)) == ["causes-nearly-alike"] * alike


def test_a_finding_that_stops_the_drive_may_tell_little(tmp_path: Path) -> None:
    odd = finding("odd", "{noise: true}", "rings-too-thin: 0.101", STOPS)
    assert codes(tmp_path, file(findings=odd, questions=NOISE)) == []


def test_a_test_of_notes_alone_is_for_the_record(tmp_path: Path) -> None:
    text = file(
        tests="  note-all: {name: Note it, place: road, minutes: 3, answers: [remark]}\n",
        questions=question("remark", kind="text", placed=""),
    )
    assert codes(tmp_path, text) == []


def test_a_long_wording_for_the_customer_and_a_long_list_are_too_long(tmp_path: Path) -> None:
    many = ", ".join(f"option-{place}: Some" for place in range(15))
    lines = f"    customer: {'w' * 121}\n    options: {{{many}}}\n"
    text = file(
        questions=question("tone", lines, kind="choice", placed=PLACED),
        findings=finding("odd", "{tone: option-1}", THIN),
    )
    assert codes(tmp_path, text) == ["too-long-for-screen"] * 2


@pytest.mark.parametrize(
    ("step", "dangerous"),
    [
        ("Press the cap home.", True),
        ("Do not heat it, and do not hammer.", False),
        ("Never weld it. Heat the bore instead.", True),
        ("Fit tyres of one pressure.", False),
    ],
)
def test_dangerous_steps_are_those_that_are_to_be_done(
    tmp_path: Path, step: str, dangerous: bool
) -> None:
    text = spoken_of("extra: 0.8", cause(step=f'"{step}"'))
    assert codes(tmp_path, text) == ["remedy-without-caution"] * dangerous


def limits(first: str, second: str, third: str = "") -> str:
    """Findings for different causes on one number, none of which shares one with another."""
    causes = ["rings-too-thin: 0.3", "wheel-unbalance: 0.3", "extra: 0.3"]
    wanted = [one for one in (first, second, third) if one]
    return file(
        causes=cause(),
        findings="".join(
            finding(f"speed-{place}", f"{{speed: {{{limit}}}}}", rates)
            for place, (limit, rates) in enumerate(zip(wanted, causes, strict=False))
        )
        + finding("noisy", "{noise: true}", "extra: 0.8"),
        questions=SPEED + NOISE,
    )


@pytest.mark.parametrize(
    ("texts", "gaps"),
    [
        (("below: 30 mph", "above: 60 mph"), 1),
        (("below: 60 mph", "above: 60 mph"), 0),
        (("below: 70 mph", "above: 30 mph"), 0),
        (("below: 30 mph", "above: 60 mph", "between: [30 mph, 60 mph]"), 0),
        (("below: 30 mph", "above: 60 mph", "between: [35 mph, 60 mph]"), 1),
        (("above: 30 mph", "above: 60 mph"), 0),
    ],
)
def test_gap_is_what_lies_between_the_limits_of_two_findings(
    tmp_path: Path, texts: tuple[str, ...], gaps: int
) -> None:
    assert codes(tmp_path, limits(*texts)) == ["limits-leave-gap"] * gaps


def test_gap_inside_one_finding_is_meant(tmp_path: Path) -> None:
    text = file(
        findings=finding("odd", "{not: {speed: {between: [30 mph, 60 mph]}}}", THIN),
        questions=SPEED,
    )
    assert codes(tmp_path, text) == []


@pytest.mark.parametrize(
    ("first", "second", "twice"),
    [
        ("0.01", "0.02", True),  # -10.0 and -7.0 decibans in one direction
        ("0.6", "0.02", False),  # one tempers the other
        ("0.01", "0.04", False),  # -4.0 decibans are not material
        ("0.04", "0.01", False),
    ],
)
def test_repetition_counts_in_one_direction_and_from_5_decibans(
    tmp_path: Path, first: str, second: str, *, twice: bool
) -> None:
    both = "{vibrates: true, noise: true}"
    text = file(
        findings=finding("noisy", "{noise: true}", f"rings-too-thin: {first}")
        + finding("both", both, f"rings-too-thin: {second}"),
        questions=NOISE,
    )
    assert codes(tmp_path, text) == ["counted-twice-in-part"] * twice
