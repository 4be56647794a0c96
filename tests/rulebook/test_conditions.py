"""Conditions of a file become those of the engine; one number is compared once."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.engine.rules import All, AnyOf, ByCondition, Condition, Is, Known, Not, OneOf, Within
from advisor.engine.values import Interval
from advisor.rulebook import LoadError, load
from advisor.rulebook.algebra import WHOLE_LINE, complement, intersection, union
from tests.helpers_rulebook import small_rulebook
from tests.rulebook.examples import when

MM = 0.001


def compiled(tmp_path: Path, condition: str) -> Condition:
    rulebook = load(small_rulebook(tmp_path, z_extra=when(condition)))
    source = next(one for one in rulebook.rules.findings if one.id == "extra").source
    assert isinstance(source, ByCondition)
    return source.when


def refused(tmp_path: Path, condition: str) -> list[tuple[int, str]]:
    with pytest.raises(LoadError) as caught:
        load(small_rulebook(tmp_path, z_extra=when(condition)))
    return [(one.column, one.code) for one in caught.value.problems]


def assert_near(found: Interval, wanted: Interval) -> None:
    """The same interval, its ends to a relative 1e-12 (they went through a factor of units)."""
    assert found.low == pytest.approx(wanted.low, rel=1e-12, abs=0.0)
    assert found.high == pytest.approx(wanted.high, rel=1e-12, abs=0.0)
    closed = (wanted.low_closed, wanted.high_closed)
    assert (found.low_closed, found.high_closed) == closed


@pytest.mark.parametrize(
    ("text", "condition"),
    [
        ("{vibrates: false}", Is("vibrates", False)),
        ("{last-work: none-known}", Is("last-work", "none-known")),
        ("{felt-in: seat}", Is("felt-in", "seat")),
        ("{felt-in: {one_of: [seat, floor]}}", OneOf("felt-in", frozenset({"seat", "floor"}))),
        ("{note: {known: true}}", Known("note", True)),
        ("{not: {note: {known: true}}}", Known("note", False)),
        ("{ring-1: {known: false}}", Known("ring-1", False)),
        ("{not: {vibrates: true}}", Not(Is("vibrates", True))),
        ("{not: {not: {vibrates: true}}}", Is("vibrates", True)),
        ("{began-after-joint-work: true}", Is("began-after-joint-work", True)),
        ("{stack-end-play: preload}", Is("stack-end-play", "preload")),
        (
            "{vibrates: true, felt-in: seat}",
            All((Is("vibrates", True), Is("felt-in", "seat"))),
        ),
        (
            "{any: [{vibrates: true}, {felt-in: seat}]}",
            AnyOf((Is("vibrates", True), Is("felt-in", "seat"))),
        ),
        (
            "{all: [{vibrates: true}, {all: [{felt-in: seat}, {felt-in: floor}]}]}",
            All((Is("vibrates", True), Is("felt-in", "seat"), Is("felt-in", "floor"))),
        ),
    ],
)
def test_form_of_condition(tmp_path: Path, text: str, condition: Condition) -> None:
    assert compiled(tmp_path, text) == condition


@pytest.mark.parametrize(
    ("text", "intervals"),
    [
        ("{end-play: {above: 1 mm}}", [Interval(low=MM)]),
        ("{end-play: {below: 0.1 cm}}", [Interval(high=MM)]),
        ("{end-play: {between: [1 mm, 2 mm]}}", [Interval(MM, 2 * MM, True, True)]),
        ("{end-play: {above: 1 mm, below: 2 mm}}", [Interval(MM, 2 * MM)]),
        (
            "{all: [{end-play: {above: 1 mm}}, {end-play: {between: [0 mm, 2 mm]}}]}",
            [Interval(MM, 2 * MM, False, True)],
        ),
        (
            "{any: [{end-play: {above: 2 mm}}, {end-play: {below: 1 mm}}]}",
            [Interval(high=MM), Interval(low=2 * MM)],
        ),
        (
            "{any: [{end-play: {between: [1 mm, 2 mm]}}, {end-play: {above: 2 mm}}]}",
            [Interval(low=MM, low_closed=True)],
        ),
        (
            "{not: {end-play: {between: [1 mm, 2 mm]}}}",
            [Interval(high=MM), Interval(low=2 * MM)],
        ),
        (
            "{all: [{end-play: {above: 1 mm}}, {not: {end-play: {above: 2 mm}}}]}",
            [Interval(MM, 2 * MM, False, True)],
        ),
    ],
)
def test_comparisons_of_one_number_become_one(
    tmp_path: Path, text: str, intervals: list[Interval]
) -> None:
    condition = compiled(tmp_path, text)
    assert isinstance(condition, Within)
    assert condition.fact == "end-play"
    assert len(condition.intervals) == len(intervals)
    for found, wanted in zip(condition.intervals, intervals, strict=True):
        assert_near(found, wanted)


@pytest.mark.parametrize(
    ("text", "at", "code"),
    [
        ("{all: []}", 17, "wrong-condition"),
        ("{any: {vibrates: true}}", 12, "wrong-condition"),
        ("{not: true}", 17, "wrong-condition"),
        ("{all: [true]}", 18, "wrong-condition"),
        ("{vibrates: {}}", 22, "wrong-condition"),
        ("{vibrates: [true]}", 12, "wrong-condition"),
        ('{note: {known: "no"}}', 26, "wrong-condition"),
        ("{last-work: {one_of: none-known}}", 32, "wrong-condition"),
        ("{last-work: {one_of: []}}", 32, "wrong-condition"),
        ("{ring-1: {between: 1 mm}}", 30, "wrong-condition"),
        ("{ring-1: {between: [1 mm]}}", 21, "wrong-condition"),
        ('{ring-1: {between: "12"}}', 30, "wrong-condition"),
        ('{vibrates: "yes"}', 22, "wrong-kind"),
        ("{last-work: true}", 23, "wrong-kind"),
        ("{note: rattle}", 18, "wrong-kind"),
        ("{ring-1: 1.5 mm}", 20, "wrong-kind"),
        ("{vibrates: {above: 1 mm}}", 30, "wrong-kind"),
        ("{ring-1: {one_of: [1 mm]}}", 21, "wrong-kind"),
        ("{last-work: {one_of: [tyres]}}", 33, "unknown-option"),
        ("{ring-1: {above: 1.5}}", 28, "wrong-quantity"),
        ("{ring-1: {above: true}}", 28, "wrong-quantity"),
        ("{ring-1: {between: [1 mm, 2 s]}}", 37, "wrong-quantity"),
        ("{ring-1: {above: 2 mm, below: 1 mm}}", 12, "never-true"),
        ("{ring-1: {above: 1 mm, below: 1 mm}}", 12, "never-true"),
        ("{all: [{vibrates: true}, {vibrates: false}]}", 12, "never-true"),
        ("{all: [{last-work: none-known}, {last-work: joint-replaced}]}", 12, "never-true"),
    ],
)
def test_faulty_condition_is_refused_at_its_place(
    tmp_path: Path, text: str, at: int, code: str
) -> None:
    assert refused(tmp_path, text) == [(at, code)]


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("{felt-in: [seat, floor]}", "write {felt-in: {one_of: [seat, floor]}}"),
        ("{vibrates: [true]}", "write {vibrates: {one_of: [...]}}"),
    ],
)
def test_list_brings_the_condition_that_was_meant(tmp_path: Path, text: str, hint: str) -> None:
    with pytest.raises(LoadError) as caught:
        load(small_rulebook(tmp_path, z_extra=when(text)))
    assert [one.hint for one in caught.value.problems] == [hint]


def test_two_options_of_several_can_both_be_so(tmp_path: Path) -> None:
    assert isinstance(compiled(tmp_path, "{all: [{felt-in: seat}, {felt-in: floor}]}"), All)


def test_each_faulty_part_of_a_condition_is_reported(tmp_path: Path) -> None:
    text = "{any: [{vibrate: true}, {ring-1: {above: 3 s}}, {last-work: tyres}]}"
    codes = [code for _, code in refused(tmp_path, text)]
    assert codes == ["unknown-fact", "wrong-quantity", "unknown-option"]


ENDS = st.sampled_from([-math.inf, -1.0, 0.0, 1.0, 2.0, math.inf])
POINTS = [-math.inf, -2.0, -1.0, -0.5, 0.0, 0.5, 1.0, 1.5, 2.0, 3.0]


@st.composite
def intervals(draw: st.DrawFn) -> tuple[Interval, ...]:
    """Up to three intervals, made disjoint."""
    result: tuple[Interval, ...] = ()
    for _ in range(draw(st.integers(0, 3))):
        low, high = sorted((draw(ENDS), draw(ENDS)))
        closed = low == high
        if math.isinf(low) and math.isinf(high) and low == high:
            continue
        low_closed = math.isfinite(low) and (closed or draw(st.booleans()))
        high_closed = math.isfinite(high) and (closed or draw(st.booleans()))
        result = union(result, (Interval(low, high, low_closed, high_closed),))
    return result


def holds(x: float, parts: tuple[Interval, ...]) -> int:
    """How many of the parts hold the point."""
    return sum(x in part for part in parts)


@given(intervals(), intervals())
def test_algebra_of_intervals_is_that_of_their_points(
    first: tuple[Interval, ...], second: tuple[Interval, ...]
) -> None:
    for x in POINTS[1:]:
        assert holds(x, union(first, second)) == (holds(x, first) or holds(x, second))
        assert holds(x, intersection(first, second)) == (holds(x, first) and holds(x, second))
        assert holds(x, complement(first)) == 1 - holds(x, first)


@given(intervals())
def test_whole_line_is_recognised(parts: tuple[Interval, ...]) -> None:
    assert union(parts, complement(parts)) == WHOLE_LINE
    assert complement(complement(parts)) == parts
