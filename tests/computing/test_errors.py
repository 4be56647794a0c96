"""What a person typed wrong is told in full, with how to write it."""

from __future__ import annotations

from typing import Any

import pytest

from advisor.computing import ComputeError
from advisor.driveline.catalog import FUNCTIONS
from tests.computing.asking import STACK, ask

OFFSET = ("ring_1=1.5 mm", "ring_2=1.5 mm")
USAGE = 'usage: advisor compute ring-offset ring_1="LENGTH" ring_2="LENGTH"'
NO_NAME = "usage: advisor compute NAME INPUT=VALUE ... (advisor compute lists the names)"


def _told(name: str | None, *inputs: str, **options: Any) -> ComputeError:
    with pytest.raises(ComputeError) as caught:
        ask(name, *inputs, **options)
    assert str(caught.value) == "\n".join((*caught.value.problems, caught.value.usage))
    return caught.value


@pytest.mark.parametrize(
    ("inputs", "problems"),
    [
        (("ring_1=1.5", "ring_2=1.5 mm"), ['ring_1: "1.5" has no unit: is it 1.5 in or 1.5 mm?']),
        (
            ("ring_1=1.5 kg", "ring_2=1.5 mm"),
            ["ring_1: 1.5 kg is a mass; a length was asked, such as 1.5 mm"],
        ),
        (
            ("ring_1=1.5 mmm", "ring_2=1.5 mm"),
            ['ring_1: "mmm" is not a known unit of length; did you mean mm?'],
        ),
        (
            ("ring_1=nan mm", "ring_2=1.5 mm"),
            ['ring_1: "nan mm" does not begin with a number; write a value such as 1.5 mm'],
        ),
        (
            ("ring_1=", "ring_2=1.5 mm"),
            ["ring_1: nothing was written; write a value such as 1.5 mm"],
        ),
        (
            ("ring-1=1 mm", *OFFSET),
            ['"ring-1" is no parameter of ring-offset; did you mean one of "ring_1", "ring_2"?'],
        ),
        (
            ("thickness=1 mm", *OFFSET),
            ['"thickness" is no parameter of ring-offset; known here: "ring_1", "ring_2"'],
        ),
        (
            ("ring_1=1.5 mm",),
            ["ring_2 (thickness of the second retaining ring) is missing"],
        ),
        (
            ("ring_1=1.5 mm", "ring_2"),
            ['"ring_2" has no "="; write an input as ring_2="..."'],
        ),
        (
            ("1.5 mm", *OFFSET),
            ['"1.5 mm" has no "="; write an input as ring_1="..."'],
        ),
        (
            (*OFFSET, "ring_1=1.6 mm"),
            ['ring_1 is given twice, as "1.5 mm" and as "1.6 mm"; leave one out'],
        ),
        (
            ("ring_1=0 mm", "ring_2=1.5 mm"),
            ["the thickness of ring 1 is 0 mm; it must be more than 0 mm"],
        ),
        (
            ("ring_1=1.5 mm +/- -0.1 mm", "ring_2=1.5 mm"),
            ["ring_1: the standard uncertainty is -0.1 mm; it must not be below zero"],
        ),
        (
            ("ring_1=1.5 mm +/- 0.1", "ring_2=1.5 mm"),
            ['ring_1: after "+/-": "0.1" has no unit: is it 0.1 in or 0.1 mm?'],
        ),
        (
            ("ring_1=1.5 mm +/- 0.1 mm +/- 0.1 mm", "ring_2=1.5 mm"),
            ['ring_1: "+/-" stands twice; write one standard uncertainty behind the value'],
        ),
        (
            ("ring_1=1.5", "ring_3=1 mm"),
            [
                '"ring_3" is no parameter of ring-offset; did you mean one of "ring_2", "ring_1"?',
                'ring_1: "1.5" has no unit: is it 1.5 in or 1.5 mm?',
                "ring_2 (thickness of the second retaining ring) is missing",
            ],
        ),
        (
            ("\x1b[31m=1 mm", *OFFSET),
            ['"<U+001B>[31m" is no parameter of ring-offset; known here: "ring_1", "ring_2"'],
        ),
    ],
)
def test_wrong_input_is_told_with_the_usage(inputs: tuple[str, ...], problems: list[str]) -> None:
    error = _told("ring-offset", *inputs)
    assert list(error.problems) == problems
    assert error.usage == USAGE


@pytest.mark.parametrize(
    ("name", "inputs", "problem"),
    [
        (
            "tyre-diameter",
            ("size=tall",),
            '"tall" is not a tyre size; write it as on the side wall, like 265/70R17 or '
            "31x10.50R15",
        ),
        (
            "tyre-diameter",
            ("size= ",),
            "size: nothing was written; write size on the side wall, like 265/70R17 or 31x10.50R15",
        ),
        ("tyre-diameter", ("size=?",), 'size: read "?"; what is not known cannot be computed with'),
        (
            "tyre-diameter",
            ("size=265\x1b[31m",),
            'size: read "265<U+001B>[31m", which has characters that cannot be shown',
        ),
        (
            "critical-speed",
            ("length=1 m", "outside_diameter=80 mm", "wall=2 mm", "material=stell"),
            'material: "stell" is none of the options; did you mean "steel"?',
        ),
        (
            "critical-speed",
            ("length=1 m", "outside_diameter=80 mm", "wall=2 mm", "material="),
            'material: nothing was written; write "steel" or "aluminium"',
        ),
        (
            "residual-angle-of-joints",
            ("joint_angle_1=3 deg", "joint_angle_2=3 deg", "crossed=perhaps"),
            'crossed: read "perhaps"; write yes or no',
        ),
        (
            "firing-frequency",
            ("engine_frequency=30 Hz", "cylinders=8 +/- 1"),
            'cylinders: a count is exact; leave out what follows "+/-"',
        ),
        (
            "firing-frequency",
            ("engine_frequency=30 Hz", "cylinders=7.5"),
            "cylinders: 7.5 is not a count; write a whole number",
        ),
    ],
)
def test_wrong_word_is_told(name: str, inputs: tuple[str, ...], problem: str) -> None:
    assert _told(name, *inputs).problems == (problem,)


@pytest.mark.parametrize(
    ("request_words", "problem"),
    [
        (
            {"name": "ring-stack-end-plya"},
            '"ring-stack-end-plya" is no computation; did you mean one of "ring-stack-end-play", '
            '"ring-stack-runout"?',
        ),
        ({"name": "wobble"}, '"wobble" is no computation'),
        (
            {"name": "span=80 mm"},
            'read "span=80 mm"; the name of the computation comes first',
        ),
        (
            {"name": None, "limit": "below 3 deg"},
            "--limit needs the name of a computation before it",
        ),
        ({"name": None, "gauges": ("a=b",)}, "--gauge needs the name of a computation before it"),
    ],
)
def test_missing_or_unknown_computation_is_told(
    request_words: dict[str, Any], problem: str
) -> None:
    error = _told(request_words.pop("name"), **request_words)
    assert (error.problems, error.usage) == ((problem,), NO_NAME)


@pytest.mark.parametrize(
    ("gauges", "problem"),
    [
        (
            ("ring_1=calipers",),
            '--gauge ring_1: "calipers" is no gauge of the rulebook; did you mean "caliper"?',
        ),
        (
            ("ring_1=ruler",),
            '--gauge ring_1: "ruler" is no gauge of the rulebook; '
            'known here: "caliper", "micrometer", "dial-indicator", '
            '"tape-measure", "wrapped-tape", "wall-gauge"',
        ),
        (("caliper",), '--gauge "caliper" has no "="; write it as --gauge ring_1=caliper'),
        (
            ("ring_3=caliper",),
            '--gauge: "ring_3" is no parameter of ring-offset; '
            'did you mean one of "ring_2", "ring_1"?',
        ),
        (
            ("ring_1=inclinometer",),
            "--gauge ring_1: the inclinometer reads an angle, but ring_1 is a length",
        ),
        (
            ("ring_1=caliper", "ring_1=micrometer"),
            "--gauge: ring_1 has two gauges; leave one out",
        ),
        (
            ("ring_2=caliper",),
            '--gauge ring_2: its uncertainty is already given by "+/-"; '
            "leave out that or the caliper",
        ),
    ],
)
def test_wrong_gauge_is_told(gauges: tuple[str, ...], problem: str) -> None:
    inputs = ("ring_1=1.5 mm", "ring_2=1.5 mm +/- 0.01 mm")
    assert _told("ring-offset", *inputs, gauges=gauges).problems == (problem,)


def test_dimension_that_no_gauge_reads_is_told() -> None:
    words = ("wheel_frequency=10 Hz", "axle_ratio=3.73")
    assert _told("shaft-frequency", *words, gauges=("axle_ratio=counter",)).problems == (
        '--gauge axle_ratio: "counter" is no gauge of the rulebook; none of them reads a ratio',
    )


def test_gauge_of_what_is_not_given_or_not_measured_is_told() -> None:
    target = _told("equal-ring-thickness", "span=80 mm", "width=76 mm", gauges=("target=caliper",))
    assert target.problems == ("--gauge target: no value is given for target",)
    size = _told("tyre-diameter", "size=265/70R17", gauges=("size=caliper",))
    assert size.problems == ("--gauge: size is not measured, so it takes no gauge",)


@pytest.mark.parametrize(
    ("limit", "problem"),
    [
        (
            "0 to 0.05 mm",
            '--limit: "0" has no unit: is it 0 in or 0 mm?',
        ),
        ("above 3 deg", "--limit: 3 deg is an angle; a length was asked, such as 1.5 mm"),
        (
            "0.05 mm to 0 mm",
            '--limit: read "0.05 mm to 0 mm"; limits go from the smaller to the greater',
        ),
        (
            "0.05 mm",
            '--limit: read "0.05 mm"; write it like "0 mm to 0.05 mm", "above 0.5 deg" or '
            '"below 3 deg"',
        ),
        ("", '--limit: read ""; write it like "0 mm to 0.05 mm", "above 0.5 deg" or "below 3 deg"'),
    ],
)
def test_wrong_limit_is_told(limit: str, problem: str) -> None:
    assert _told("ring-stack-end-play", *STACK, limit=limit).problems == (problem,)


def test_limit_of_a_choice_is_refused() -> None:
    words = ("measured=14 Hz", "wheel_frequency=7 Hz")
    assert _told("matching-order", *words, limit="below 3 Hz").problems == (
        "--limit: matching-order gives a choice; only a number has limits",
    )


@pytest.mark.parametrize(
    ("sweep", "problem"),
    [
        (
            "ring_1",
            '--sweep: read "ring_1"; write it like road_speed="20 mph..80 mph" or '
            'road_speed="20 mph..80 mph/12"',
        ),
        (
            "ring_1=1 mm",
            '--sweep: read "ring_1=1 mm"; write it like road_speed="20 mph..80 mph" or '
            'road_speed="20 mph..80 mph/12"',
        ),
        (
            "ring_3=1 mm..2 mm",
            '--sweep: "ring_3" is no parameter of ring-offset; '
            'did you mean one of "ring_2", "ring_1"?',
        ),
        (
            "ring_1=1..2 mm",
            '--sweep ring_1: "1" has no unit: is it 1 in or 1 mm?',
        ),
        ("ring_1=1 mm..1 mm", "--sweep ring_1: both ends are 1 mm; write two values"),
        ("ring_1=1 mm..2 mm/0", "--sweep ring_1: read 0 steps; write from 1 to 1000"),
        ("ring_1=1 mm..2 mm/2000", "--sweep ring_1: read 2000 steps; write from 1 to 1000"),
        (
            "ring_2=1 mm..2 mm",
            "ring_2 is given twice: as an input and in --sweep; leave one out",
        ),
        ("ring_1=-2 mm..-1 mm", "the thickness of ring 1 is -2 mm; it must be more than 0 mm"),
    ],
)
def test_wrong_sweep_is_told(sweep: str, problem: str) -> None:
    assert problem in _told("ring-offset", "ring_2=1.5 mm", sweep=sweep).problems


@pytest.mark.parametrize(
    ("name", "inputs", "sweep", "problem"),
    [
        (
            "matching-order",
            ("wheel_frequency=7 Hz",),
            "measured=5 Hz..20 Hz",
            "--sweep: matching-order gives a choice; only a number can be drawn",
        ),
        (
            "tyre-diameter",
            (),
            "size=a..b",
            "--sweep: size is no number, so it cannot be swept",
        ),
        (
            "firing-frequency",
            ("engine_frequency=30 Hz",),
            "cylinders=4..8/3",
            "--sweep cylinders: 3 equal steps do not meet whole numbers only; write other steps",
        ),
    ],
)
def test_what_cannot_be_swept_is_told(
    name: str, inputs: tuple[str, ...], sweep: str, problem: str
) -> None:
    assert _told(name, *inputs, sweep=sweep).problems == (problem,)


def test_limit_and_sweep_together_are_refused() -> None:
    error = _told("ring-offset", *OFFSET, limit="below 1 mm", sweep="ring_1=1 mm..2 mm")
    assert error.problems == ("--limit judges one result, --sweep gives many; leave one out",)


@pytest.mark.parametrize("name", list(FUNCTIONS))
def test_every_computation_names_what_is_missing(name: str) -> None:
    problems = _told(name, "no-such-input=1").problems
    for parameter in FUNCTIONS[name].parameters:
        told = f"{parameter.name} ({parameter.meaning})" in problems[-1]
        assert told != parameter.optional
