"""Values come back in the units in which they were typed."""

from __future__ import annotations

import pytest

from advisor.engine.values import Number
from advisor.report.display import Display
from advisor.rulebook import Rulebook
from tests.report.making import assessed


def facts(rulebook: Rulebook, answers: dict[str, str]) -> dict[str, str]:
    return {shown.id: shown.value for shown in assessed(rulebook, answers).facts}


@pytest.mark.parametrize(
    ("typed", "shown"),
    [("60 mph", "60 mph"), ("96 km/h", "96 km/h"), ("26.5 m/s", "26.5 m/s"), ("60mph", "60 mph")],
)
def test_speed_stays_in_its_unit(typed: str, shown: str, small: Rulebook) -> None:
    assert facts(small, {"worst-speed": typed})["worst-speed"] == shown


def test_thou_stay_thou_with_the_uncertainty_of_the_gauge(small: Rulebook) -> None:
    # D: u = sqrt(0.01^2/12 + 0.02^2/3) mm = 0.01190 mm = 0.47 thou (JCGM 100, rectangular)
    assert facts(small, {"ring-1": "61.1 thou"})["ring-1"] == "61.10 thou +/- 0.47 thou"


def test_computed_value_takes_the_unit_of_its_inputs(small: Rulebook) -> None:
    # D: 61.1 - 61.0 thou; the uncertainties add up as squares to 0.66 thou
    in_thou = facts(small, {"ring-1": "61.1 thou", "ring-2": "61.0 thou"})
    assert in_thou["ring-difference"] == "0.10 thou +/- 0.66 thou"
    in_mm = facts(small, {"ring-1": "1.55 mm", "ring-2": "1.50 mm"})
    assert in_mm["ring-difference"] == "0.050 mm +/- 0.017 mm"


def test_computed_value_of_mixed_inputs_takes_the_unit_of_the_first(small: Rulebook) -> None:
    mixed = facts(small, {"ring-1": "61.1 thou", "ring-2": "1.50 mm"})
    assert mixed["ring-difference"].endswith(" thou")


def test_unit_of_an_answer_taken_back_is_forgotten(small: Rulebook) -> None:
    display = Display(small, {})
    assert display.value("worst-speed", Number(20.0, 0.0)) == "72 km/h"


def test_dont_know_has_no_unit_and_does_no_harm(small: Rulebook) -> None:
    display = Display(small, {"worst-speed": "dont-know", "ring-1": "?"})
    assert display.value("worst-speed", Number(20.0, 0.0)) == "72 km/h"
    assert "ring-1" not in facts(small, {"ring-1": "?"})


def test_choices_come_back_as_their_labels(small: Rulebook) -> None:
    shown = facts(small, {"last-work": "joint-replaced", "vibrates": "yes", "felt-in": "seat"})
    assert shown["last-work"] == "A joint was replaced"
    assert shown["felt-in"] == "In the seat"
    assert shown["vibrates"] == "yes"


def test_uncertainty_has_two_digits_in_the_users_own_unit(small: Rulebook) -> None:
    # JCGM 100:2008, 7.2.6 (M): at most two significant digits
    assert Display(small, {}).uncertainty("worst-speed", 0.84) == "3 km/h"
    assert Display(small, {"worst-speed": "60 mph"}).uncertainty("worst-speed", 0.84) == "1.9 mph"
