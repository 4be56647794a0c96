"""A result held against every published limit of its quantity: `--limit published`."""

from __future__ import annotations

import pytest

from advisor.computing import ComputeError
from advisor.computing.shims import LIMITS
from advisor.driveline.catalog import FUNCTIONS
from advisor.driveline.published_limits import DIMENSION_OF, PUBLISHED_LIMITS, QUANTITIES_OF
from tests.computing.asking import ask, data_of, text_of

ACCELERATION = ("residual_angle=3 deg +/- 0.1 deg", "shaft_frequency=3500 rpm")


def test_acceleration_is_judged_against_each_limit_with_its_name() -> None:
    """368 rad/s^2 with u = 24.6: outside 300 (M), not to be told from 400 (F), within 500 (M)."""
    assert (
        "published limits of the torsional acceleration\n"
        "- at most 300 rad/s^2, SAE AE-7 and trade use, light vehicles (M, from memory): outside\n"
        "- at most 400 rad/s^2, an engineering reference page that cites SAE AE-7, section 3.1.1 "
        "(F, by decoding): cannot tell\n"
        "- at most 500 rad/s^2, trade use, heavy vehicles (M, from memory): within\n"
        "guard band at each limit: 49 rad/s^2, twice the standard uncertainty of the result "
        "(ISO 14253-1)\n"
        "these verdicts hold if shaft_frequency is exact\n"
        "published limits differ; the maker's service information comes first\n"
    ) in text_of("torsional-acceleration", *ACCELERATION, limit="published")


def test_verdicts_are_data_in_the_unit_of_the_result() -> None:
    data = data_of(
        "ring-stack-end-play",
        *("span=3.15 in", "width=3.03 in", "ring_1=0.059 in", "ring_2=0.060 in"),
        limit="published",
    )
    assert data["verdict"] is None
    assert [one["decision"] for one in data["published"]] == [
        "outside",  # 0.001 in, 0.0254 mm: some play that can be measured
        "outside",  # above 0.02 mm
        "within",
        "within",
        "within",
    ]
    assert {one["unit"] for one in data["published"]} == {"in"}
    third = data["published"][2]
    assert (third["quantity"], third["mark"]) == ("end-play", "F")
    assert third["lower"] == 0.0
    assert third["upper"] == pytest.approx(0.05 / 25.4, rel=1e-12)


def test_joint_angle_is_held_against_the_largest_and_the_smallest() -> None:
    text = text_of("joint-angle", "slope_1=2 deg", "slope_2=1.3 deg", limit="published")
    assert "published limits of the largest angle\n" in text
    assert "published limits of the smallest angle\n" in text
    for line in (
        "- at least 0.5 deg, a van body-builder manual, 2015, so that needles roll (F): within\n",
        "- at least 1 deg, a troubleshooting list, so that needles roll (F): outside\n",
    ):
        assert line in text


@pytest.mark.parametrize("name", QUANTITIES_OF)
def test_every_limit_of_a_quantity_is_told_where_one_asks_what_is_needed(name: str) -> None:
    limits = [one for quantity in QUANTITIES_OF[name] for one in PUBLISHED_LIMITS[quantity]]
    text = text_of(name)
    for one in limits:
        assert f"{one.name}\n" in text
    assert data_of(name)["published"] == list(QUANTITIES_OF[name])


def test_quantity_can_be_named_where_the_computation_has_none_of_its_own() -> None:
    """Play at a spline as the difference of two dial readings: within 0.3 (F), outside 0.18 (F)."""
    words = ("first=0.25 mm", "second=0.01 mm")
    text = text_of("difference", *words, limit="Published spline-play")
    assert "0.18 mm, a US Army fire-truck manual: slip joint, by dial gauge (F): outside\n" in text
    assert "0.3 mm, a pick-up manual, 2021; 0.073 mm to 0.156 mm when new (F): within\n" in text


@pytest.mark.parametrize(
    ("name", "words", "limit", "told"),
    [
        (
            "difference",
            ("first=2 mm", "second=1 mm"),
            "published",
            "--limit: difference has no quantity of its own with published limits; write "
            '"published tube-runout", or published with one of tube-runout, flange-runout, '
            "end-play or spline-play",
        ),
        (
            "difference",
            ("first=2 mm", "second=1 mm"),
            "published spline-plai",
            '--limit: read "published spline-plai"; that is no quantity of difference; '
            'did you mean "spline-play"?',
        ),
        (
            "joint-angle",
            ("slope_1=2 deg", "slope_2=1 deg"),
            "published end-play",
            '--limit: read "published end-play"; that is no quantity of joint-angle; '
            'known here: "residual-angle", "angle-difference", "largest-angle", "smallest-angle"',
        ),
        (
            "record-length",
            ("resolution=0.5 Hz",),
            "published",
            "--limit: no published limit is a time; write limits with units instead",
        ),
        (
            "tyre-diameter",
            ("size=265/70R17",),
            "published turning-effort",
            '--limit: read "published turning-effort"; that is no quantity of tyre-diameter; '
            'known here: "tube-runout", "flange-runout", "end-play", "spline-play"',
        ),
        (
            "dents-fit-needles",
            ("dent_spacing=2.5 mm", "spacing_u=0.1 mm", "circle_diameter=16 mm", "needles=20"),
            "published",
            "--limit: no published limit is a choice; write limits with units instead",
        ),
    ],
)
def test_limit_that_is_not_published_is_told(
    name: str, words: tuple[str, ...], limit: str, told: str
) -> None:
    with pytest.raises(ComputeError) as error:
        ask(name, *words, limit=limit)
    assert error.value.problems == (told,)


def test_shims_are_held_against_the_same_table() -> None:
    table = PUBLISHED_LIMITS["torsional-acceleration"]
    assert [(one.rad_per_s2, one.whose) for one in LIMITS] == [
        (one.upper, one.name) for one in table
    ]


def test_every_quantity_can_be_reached_from_the_command_line() -> None:
    results = {function.result for function in FUNCTIONS.values()}
    assert set(DIMENSION_OF.values()) <= results
