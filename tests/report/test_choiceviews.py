"""The choices side by side, in words."""

from __future__ import annotations

import pytest

from advisor.report.choiceviews import choice_line
from advisor.rulebook import Rulebook
from tests.report.making import STACK, assessed


def lines(rulebook: Rulebook, answers: dict[str, str]) -> list[str]:
    return [
        choice_line(choice).replace("\u00a0", " ") for choice in assessed(rulebook, answers).choices
    ]


def test_each_choice_tells_its_minutes_its_chance_and_its_first_step(small: Rulebook) -> None:
    """Handing on costs what the rulebook says, and cures nothing here."""
    shown = lines(small, {"last-work": "joint-replaced"})
    assert "240 min | - | 240 min: hand the vehicle on" in shown
    assert shown[0] == (
        "92 min | 78 % | 65 min: repair at once, first "
        '"Retaining rings too thin, so that the cross can shift" (advised)'
    )


def test_only_the_first_is_advised_and_it_costs_what_the_assessment_expects(
    small: Rulebook,
) -> None:
    for answers in ({}, {"last-work": "joint-replaced"}, {**STACK, "yoke-span": "80.12 mm"}):
        found = assessed(small, answers)
        assert [choice.advised for choice in found.choices].index(True) == 0
        assert sum(choice.advised for choice in found.choices) == 1
        assert found.choices[0].minutes == pytest.approx(found.expected_minutes)
        tests = found.choices[0].tests
        assert (tests[:1] == (found.next_test.id,)) if found.next_test else not tests


def test_a_repair_carries_the_cautions_of_its_remedy(small: Rulebook) -> None:
    found = assessed(small, {**STACK, "yoke-span": "80.12 mm"})
    rings = next(c for c in found.choices if c.cause == "rings-too-thin" and not c.tests)
    assert rings.cautions == ("A retaining ring can spring out. Wear eye protection.",)
