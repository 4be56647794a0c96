"""The catalog is complete, sorted, in the dimensions of units, and calls what it describes."""

from __future__ import annotations

import inspect
import math
import re

import pytest

from advisor import units
from advisor.driveline.catalog import FUNCTIONS, Function

EVERY = [pytest.param(function, id=name) for name, function in FUNCTIONS.items()]
KINDS = {"choice", "text", "yes-no"}
SENTENCES = "must|expected|check|changed nothing|no room|equally"

SAMPLE_SI: dict[str, float | str | bool] = {
    "acceleration": 0.1,
    "angle": 0.05,
    "angular-acceleration": 300.0,
    "count": 4.0,
    "force": 100.0,
    "frequency": 40.0,
    "length": 1.5e-3,
    "mass": 9.0,
    "ratio": 0.5,
    "speed": 20.0,
    "text": "265/70R17",
    "torque": 300.0,
    "unbalance": 1e-4,
    "yes-no": True,
}
SAMPLE_OF: dict[tuple[str, str], float] = {  # where values have to suit one another
    ("equal-ring-thickness", "span"): 80e-3,
    ("critical-speed", "outside_diameter"): 0.09,
    ("longest-tube", "outside_diameter"): 0.09,
    ("matching-order", "measured"): 80.0,
    ("matching-order", "resolution"): 0.1,
    ("correction-mass", "vibration_after"): 0.9,
    ("correction-turn", "vibration_after"): 0.9,
    ("matching-order", "wheel_frequency"): 11.0,
    ("matching-order", "engine_frequency"): 28.0,
}


def _sample(function: Function, *, with_optional: bool) -> dict[str, float | str | bool]:
    return {
        p.name: SAMPLE_OF.get(
            (function.name, p.name), p.options[0] if p.options else SAMPLE_SI.get(p.dimension, "")
        )
        for p in function.parameters
        if with_optional or not p.optional
    }


def test_names_are_kebab_case_sorted_and_those_of_their_records() -> None:
    """A registry in sorted order, so that lists of it never change between runs."""
    assert list(FUNCTIONS) == sorted(FUNCTIONS)
    for name, function in FUNCTIONS.items():
        assert re.fullmatch(r"[a-z]+(-[a-z]+)*", name)
        assert function.name == name


@pytest.mark.parametrize("function", EVERY)
def test_dimensions_are_known_and_texts_are_given(function: Function) -> None:
    """Every dimension is one of units' or a kind; choices list their options."""
    assert function.formula
    assert function.source
    for parameter in function.parameters:
        assert parameter.dimension in {*units.DIMENSIONS, *KINDS}
        assert parameter.meaning
        assert bool(parameter.options) == (parameter.dimension == "choice")
    assert function.result in {*units.DIMENSIONS, "choice", "yes-no"}
    assert bool(function.options) == (function.result == "choice")


@pytest.mark.parametrize("function", EVERY)
def test_optional_parameters_are_those_with_a_default(function: Function) -> None:
    """The record and the computation agree on which inputs may be unknown, in the same order."""
    arguments = list(inspect.signature(function.call).parameters.values())
    assert len(arguments) == len(function.parameters)
    for parameter, argument in zip(function.parameters, arguments, strict=True):
        assert argument.name.startswith(parameter.name)
        assert parameter.optional == (argument.default is not inspect.Parameter.empty)


@pytest.mark.parametrize("function", EVERY)
def test_call_takes_the_names_of_its_parameters(function: Function) -> None:
    """With all inputs and with only the needed ones; the result is of the kind promised."""
    for with_optional in (True, False):
        result = function.call(**_sample(function, with_optional=with_optional))
        if function.result == "choice":
            assert result in function.options
        elif function.result == "yes-no":
            assert isinstance(result, bool)
        else:
            assert isinstance(result, float)


def test_names_that_rulebooks_rely_on_are_there() -> None:
    """An id may never vanish: a rulebook written today must load tomorrow."""
    relied_on = {
        "angle-difference": "joint_angle_1 joint_angle_2",
        "critical-speed": "length outside_diameter wall material",
        "difference": "first second",
        "dent-spacing-ratio": "dent_spacing circle_diameter needles",
        "dents-fit-needles": "dent_spacing spacing_u circle_diameter needles",
        "end-play-change": "old_ring_1 old_ring_2 new_ring_1 new_ring_2 old_width? new_width?",
        "engine-frequency": "shaft_frequency gear_ratio",
        "equivalent-turns": "joint_angle",
        "equal-ring-thickness": "span width target?",
        "firing-frequency": "engine_frequency cylinders",
        "flange-share-of-runout": "before after high_spot_turn",
        "force-from-unbalance": "unbalance shaft_frequency",
        "joint-angle": "slope_1 slope_2 heading_1? heading_2?",
        "matching-order": "measured wheel_frequency shaft_frequency? engine_frequency? cylinders? "
        "resolution?",
        "needle-pitch": "circle_diameter needles",
        "permissible-unbalance": "grade mass shaft_frequency",
        "residual-angle": "slope_1 slope_2 slope_3 heading_1? heading_2? heading_3? crossed?",
        "relative-life": "old_angle new_angle old_frequency new_frequency old_torque new_torque",
        "ring-offset": "ring_1 ring_2",
        "ring-stack-end-play": "span width ring_1 ring_2",
        "ring-stack-runout": "ring_1 ring_2 end_play",
        "runout-from-offset": "offset",
        "shaft-frequency": "wheel_frequency axle_ratio",
        "shaft-share-of-runout": "before after high_spot_turn",
        "share-of-critical": "shaft_frequency critical_frequency",
        "torsional-acceleration": "residual_angle shaft_frequency",
        "trunnion-looseness": "unworn_diameter worn_diameter new_clearance?",
        "trunnion-step": "unworn_diameter worn_diameter",
        "turning-effort": "pull lever_arm pull_angle?",
        "tyre-diameter": "size",
        "unbalance-from-mass": "mass radius",
        "unbalance-from-shift": "shaft_mass shift",
        "wheel-frequency": "road_speed tyre_diameter rolling_factor?",
    }
    for name, parameters in relied_on.items():
        shown = [p.name + "?" * p.optional for p in FUNCTIONS[name].parameters]
        assert " ".join(shown) == parameters, name


@pytest.mark.parametrize("function", EVERY)
@pytest.mark.parametrize("value", [0.0, -1.0, 1e200, 1e-200, math.inf, math.nan])
def test_odd_number_gives_a_number_or_a_sentence(function: Function, value: float) -> None:
    """Whatever stands in one input: a finite result, or ValueError that a person can read."""
    for parameter in function.parameters:
        if parameter.dimension not in units.DIMENSIONS:
            continue
        inputs = _sample(function, with_optional=True) | {parameter.name: value}
        told = ""
        result: float | str | bool = 0.0
        try:
            result = function.call(**inputs)
        except ValueError as error:
            told = str(error)
        assert not isinstance(result, float) or math.isfinite(result), parameter.name
        assert not told or re.search(SENTENCES, told), parameter.name


def test_impossible_values_reach_the_caller_as_a_sentence() -> None:
    """Lower case, no full stop, with a unit."""
    with pytest.raises(ValueError, match=r"^the thickness of ring 1 is -1.5 mm; .*0 mm$"):
        FUNCTIONS["ring-offset"].call(ring_1=-1.5e-3, ring_2=1.5e-3)
