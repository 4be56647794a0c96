"""Functions of the driveline package as computed facts of the engine."""

from __future__ import annotations

import math
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from advisor.driveline.catalog import FUNCTIONS, Function
from advisor.engine.rules import ComputationError
from advisor.engine.values import Kind, Number, Value
from advisor.rulebook import LoadError, load
from advisor.rulebook.functions import compute
from tests.helpers_rulebook import small_rulebook
from tests.rulebook.examples import NUMBER, computed, question


def function(call: Any, result: str = "length") -> Function:
    return Function("made-up", call, (), result, "made up", "no source", ("low", "high"))


def refused(tmp_path: Path, text: str) -> list[tuple[int, int, str]]:
    with pytest.raises(LoadError) as caught:
        load(small_rulebook(tmp_path, z_extra=text))
    return [(one.line, one.column, one.code) for one in caught.value.problems]


def test_uncertainty_of_the_inputs_is_carried_through() -> None:
    """A difference of two readings: u = sqrt(u1^2 + u2^2) (JCGM 100:2008, 5.1.2, D)."""
    inputs: Mapping[str, Value] = {"first": Number(0.003, 3e-6), "second": Number(0.001, 4e-6)}
    result = compute(FUNCTIONS["difference"], inputs)
    assert isinstance(result, Number)
    assert result.value == pytest.approx(0.002, rel=1e-12)
    assert result.u == pytest.approx(5e-6, rel=1e-6)


def test_exact_inputs_give_an_exact_result() -> None:
    inputs: Mapping[str, Value] = {"first": Number(0.003), "second": Number(0.001)}
    result = compute(FUNCTIONS["difference"], inputs)
    assert isinstance(result, Number)
    assert result.u == 0.0


def test_text_and_yes_no_reach_the_function_as_they_are() -> None:
    seen: dict[str, object] = {}

    def call(**inputs: object) -> str:
        seen.update(inputs)
        return "low"

    inputs: Mapping[str, Value] = {"size": "265/70R17", "crossed": True, "span": Number(0.1, 0.001)}
    assert compute(function(call, "choice"), inputs) == "low"
    assert seen == {"size": "265/70R17", "crossed": True, "span": 0.1}


def test_sentence_of_the_function_is_the_reason() -> None:
    def call(**_: float) -> float:
        raise ValueError("the cross is wider than the yoke")

    with pytest.raises(ComputationError) as caught:
        compute(function(call), {"span": Number(0.1)})
    assert caught.value.reason == "the cross is wider than the yoke"


@pytest.mark.parametrize("result", [math.nan, math.inf])
def test_result_that_is_not_finite_is_no_value(result: float) -> None:
    with pytest.raises(ComputationError, match="no finite result"):
        compute(function(lambda **_: result), {"span": Number(0.1)})


def test_division_by_zero_is_no_value() -> None:
    with pytest.raises(ComputationError, match="no sensible result"):
        compute(function(lambda span: 1.0 / span), {"span": Number(0.0)})


def test_optional_inputs_that_are_given_are_named(tmp_path: Path) -> None:
    inputs = "span: yoke-span, width: cross-width, target: ring-2"
    text = computed("equal-ring-thickness", inputs)
    rulebook = load(small_rulebook(tmp_path, z_extra=text))
    fact = next(one for one in rulebook.rules.computed if one.id == "extra")
    assert fact.optional == frozenset({"target"})
    assert fact.kind is Kind.NUMBER


def test_computed_fact_of_the_small_rulebook_gives_its_end_play(tmp_path: Path) -> None:
    rulebook = load(small_rulebook(tmp_path))
    (fact,) = rulebook.rules.computed
    typed = {"span": "100 mm", "width": "97 mm", "ring_1": "1.5 mm", "ring_2": "1.46 mm"}
    inputs = {
        parameter: rulebook.parse_answer(fact.inputs[parameter], text)
        for parameter, text in typed.items()
    }
    result = fact.compute(inputs)
    assert isinstance(result, Number)
    # 100 - 97 - 1.5 - 1.46 = 0.04 mm; four readings of one gauge: u = 2 u1 (D).
    assert result.value == pytest.approx(4e-5, abs=1e-12)
    u_1 = math.sqrt(1e-5**2 / 12 + 2e-5**2 / 3)
    assert result.u == pytest.approx(2 * u_1, rel=1e-6)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        (
            computed("difference", "first: ring-1, second: vibrates"),
            [(5, 37, "wrong-dimension")],
        ),
        (computed("tyre-diameter", "size: ring-1"), [(5, 20, "wrong-dimension")]),
        (computed("difference", "first: ring-1, second: ring-9"), [(5, 37, "unknown-fact")]),
        (computed("difference", "first: ring-1, second: ring-2", ""), [(2, 3, "missing-field")]),
        (
            computed("difference", "first: ring-1, second: ring-2", "    unit: mmmm\n"),
            [(6, 11, "unknown-unit")],
        ),
        (
            computed("matching-order", "measured: extra-f, wheel_frequency: extra-f")
            + question(NUMBER.replace("mm", "Hz"), "extra-f"),
            [(6, 11, "wrong-dimension")],
        ),
        (
            computed("critical-speed", "length: ring-1, outside_diameter: ring-1, wall: ring-1, "
                     "material: last-work", "    unit: Hz\n"),
            [(5, 80, "unknown-option")],
        ),
        (computed("difference", "first: extra, second: ring-2"), [(5, 21, "cycle")]),
    ],
    ids=lambda value: value if isinstance(value, str) else value[0][2],
)  # fmt: skip
def test_input_that_does_not_fit_is_refused_at_its_place(
    tmp_path: Path, text: str, found: list[tuple[int, int, str]]
) -> None:
    assert refused(tmp_path, text) == found


def test_measured_and_computed_fact_must_be_one_number(tmp_path: Path) -> None:
    good = computed("difference", "first: ring-1, second: ring-2") + question(NUMBER)
    rulebook = load(small_rulebook(tmp_path, z_extra=good))
    assert "extra" in rulebook.questions
    assert "extra" in rulebook.computed
    bad = good.replace("kind: number\n    unit: mm", "kind: number\n    unit: deg")
    assert refused(tmp_path, bad) == [(11, 11, "wrong-kind")]
