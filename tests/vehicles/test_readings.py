"""Readings: what a gauge shows, and how it is written down."""

from __future__ import annotations

from random import Random

import pytest

from advisor.engine.values import UNKNOWN, Kind
from advisor.units import parse, unit_named
from advisor.vehicles.readings import Dial, answer_text

MM = unit_named("mm")
CALIPER = Dial(MM, 0.0, 0.2, step=1e-5, limit=2e-5)


def test_reading_keeps_to_the_limit_and_the_step_of_the_gauge() -> None:
    rng = Random(1)
    for _ in range(200):
        shown = CALIPER.reading(0.080123, rng)
        assert shown is not None
        read = parse(CALIPER.written(shown.value), "length").si
        assert abs(read - 0.080123) <= 2.5e-5 + 1e-12
        assert round(read / 1e-5) == pytest.approx(read / 1e-5, abs=1e-6)


def test_reading_spreads_over_the_whole_limit() -> None:
    rng = Random(1)
    shown = [CALIPER.reading(0.08, rng) for _ in range(300)]
    texts = {CALIPER.written(one.value) for one in shown if one is not None}
    assert texts == {f"{value:.2f} mm" for value in (79.98, 79.99, 80.0, 80.01, 80.02)}


def test_gauge_shows_nothing_beyond_its_range() -> None:
    assert CALIPER.reading(-1e-4, Random(1)) is None
    assert answer_text(UNKNOWN, Kind.NUMBER, CALIPER) == "dont-know"


@pytest.mark.parametrize(
    ("unit", "value", "text"),
    [("1", 3.7312, "3.73"), ("1", 0.0, "0"), ("count", 6.0, "6"), ("kg", 9.046, "9.05 kg")],
)
def test_number_without_a_gauge_has_three_digits(unit: str, value: float, text: str) -> None:
    assert Dial(unit_named(unit), 0.0, 1e3).written(value) == text


def test_coarse_step_is_kept_in_the_unit_of_the_question() -> None:
    dial = Dial(unit_named("km/h"), 0.0, 100.0, step=5.0 / 3.6, limit=0.0)
    shown = dial.reading(98.0 / 3.6, Random(1))
    assert shown is not None
    assert dial.written(shown.value) == "100 km/h"


@pytest.mark.parametrize(
    ("value", "kind", "text"),
    [
        (True, Kind.YES_NO, "yes"),
        (False, Kind.YES_NO, "no"),
        ("rear", Kind.CHOICE, "rear"),
        (frozenset({"shake", "boom"}), Kind.CHOICES, "boom, shake"),
        (frozenset(), Kind.CHOICES, "none"),
        (UNKNOWN, Kind.TEXT, "dont-know"),
    ],
)
def test_answers_are_written_as_they_are_typed(value: object, kind: Kind, text: str) -> None:
    assert answer_text(value, kind, None) == text  # type: ignore[arg-type]
