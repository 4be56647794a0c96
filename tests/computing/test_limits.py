"""A result against its limits: within, outside, or not to be told with this gauge."""

from __future__ import annotations

from typing import Any

import pytest

from tests.computing.asking import FOUR_CALIPER_READINGS, STACK, data_of, text_of
from tests.published.values import ENTRIES, assert_within

MICROMETERS = tuple(word.replace("caliper", "micrometer") for word in FOUR_CALIPER_READINGS)


def _verdict(*inputs: str, **options: Any) -> dict[str, Any]:
    verdict = data_of("difference", *inputs, **options)["verdict"]
    assert isinstance(verdict, dict)
    return verdict


def test_four_caliper_readings_cannot_settle_the_usual_end_play() -> None:
    text = text_of(
        "ring-stack-end-play", *STACK, gauges=FOUR_CALIPER_READINGS, limit="0 mm to 0.05 mm"
    )
    assert (
        "limit: 0 mm to 0.05 mm\n"
        "verdict: cannot tell with this gauge (Digital caliper)\n"
        "- guard band at each limit: 0.048 mm, twice the standard uncertainty of the result "
        "(ISO 14253-1)\n"
        "- the guard bands fill the room between the limits: no reading can prove it within\n"
        "- probability that the true value is within, by a normal law: 70 %\n"
        "- a standard uncertainty of the result of at most 0.01 mm would prove it within at this "
        "reading; now it is 0.024 mm\n"
        "- with the gauge micrometer (Micrometer) for span, width, ring_1 and ring_2 it would be "
        "0.0024 mm: within the limit at this reading\n"
    ) in text


def test_four_micrometer_readings_settle_it() -> None:
    text = text_of("ring-stack-end-play", *STACK, gauges=MICROMETERS, limit="0 mm to 0.05 mm")
    assert "verdict: within the limit\n" in text
    assert "would prove" not in text


def test_verdict_names_the_inputs_that_it_takes_as_exact() -> None:
    text = text_of("ring-stack-end-play", *STACK, gauges=MICROMETERS[:2], limit="0 mm to 0.05 mm")
    assert "verdict: within the limit, if ring_1 and ring_2 are exact\n" in text


@pytest.mark.parametrize(
    ("limit", "lower", "upper"),
    [
        ("0 mm to 0.05 mm", 0.0, 0.05),
        ("between 0 mm and 0.05 mm", 0.0, 0.05),
        ("-0.01 mm..0.05 mm", -0.01, 0.05),
        (">0.5 mm", 0.5, None),
        ("above 20 thou", 0.508, None),
        ("At least 1 mm", 1.0, None),
        ("below 3 mm", None, 3.0),
        ("<= 3mm", None, 3.0),
    ],
)
def test_limit_is_read_as_people_write_it(
    limit: str, lower: float | None, upper: float | None
) -> None:
    found = _verdict("first=2 mm", "second=1 mm", limit=limit)
    assert found["lower"] == (lower if lower is None else pytest.approx(lower, rel=1e-12))
    assert found["upper"] == (upper if upper is None else pytest.approx(upper, rel=1e-12))
    assert found["unit"] == "mm"


@pytest.mark.parametrize(
    ("first", "decision", "said"),
    [
        ("1.02 mm", "within", "within the limit, if the inputs are exact"),
        ("1.06 mm", "outside", "outside the limit, if the inputs are exact"),
        ("1.02 mm +/- 0.005 mm", "within", "within the limit, if second is exact"),
        ("1.02 mm +/- 0.02 mm", "cannot-tell", "cannot tell with this uncertainty"),
        ("1.07 mm +/- 0.005 mm", "outside", "outside the limit, if second is exact"),
        ("1.06 mm +/- 0.02 mm", "cannot-tell", "cannot tell with this uncertainty"),
    ],
)
def test_verdict_needs_twice_the_standard_uncertainty_to_spare(
    first: str, decision: str, said: str
) -> None:
    """ISO 14253-1; handbook section 12, UNC-07 (M)."""
    words, limit = (f"first={first}", "second=1 mm"), "0 mm to 0.05 mm"
    assert _verdict(*words, limit=limit)["decision"] == decision
    assert f"verdict: {said}\n" in text_of("difference", *words, limit=limit)


def test_uncertainty_that_would_tell_is_half_the_distance_to_the_limit() -> None:
    within = _verdict("first=1.02 mm +/- 0.02 mm", "second=1 mm", limit="0 mm to 0.05 mm")
    assert within["largest_u_within"] == pytest.approx(0.01, rel=1e-9)
    outside = _verdict("first=1.06 mm +/- 0.02 mm", "second=1 mm", limit="0 mm to 0.05 mm")
    assert outside["largest_u_outside"] == pytest.approx(0.005, rel=1e-9)
    text = text_of("difference", "first=1.06 mm +/- 0.02 mm", "second=1 mm", limit="below 0.05 mm")
    assert "of at most 0.005 mm would prove it outside at this reading; now it is 0.02 mm" in text


def test_result_at_the_limit_itself_can_never_be_told() -> None:
    words = ("torque_factor=1", "old_angle=4 deg", "new_angle=2 deg +/- 0.1 deg")
    text = text_of("life-after-change", *words, limit="above 2")
    assert "- the result lies at the limit itself: no uncertainty would tell" in text


def test_probability_within_is_that_of_the_handbook() -> None:
    """UNC-09 (D): 0.04 mm read with u = 0.023805 mm against 0 mm to 0.05 mm."""
    found = _verdict("first=1.04 mm +/- 0.023805 mm", "second=1 mm", limit="0 mm to 0.05 mm")
    assert_within(found["probability"], ENTRIES["UNC-09"]["expected"][0], "abs 0.005", "UNC-09")


def test_better_gauge_is_the_finest_that_would_tell() -> None:
    words = ("first=2.000 mm", "second=1.965 mm")
    gauges = ("first=caliper", "second=caliper")
    found = _verdict(*words, gauges=gauges, limit="0 mm to 0.05 mm")
    assert found["better_gauge"] == {
        "gauge": "micrometer",
        "inputs": ["first", "second"],
        "u": pytest.approx(1.68325e-3, rel=1e-4),
        "decision": "within",
    }


def test_no_gauge_is_named_when_none_would_tell() -> None:
    words = ("first=2.000 mm", "second=1.9501 mm")
    gauges = ("first=caliper", "second=caliper")
    text = text_of("difference", *words, gauges=gauges, limit="0 mm to 0.05 mm")
    assert "- no gauge of the rulebook would tell at this reading" in text


def test_several_gauges_are_named_in_the_verdict() -> None:
    words = ("first=2.00 mm", "second=1.96 mm")
    gauges = ("first=caliper", "second=dial-indicator")
    text = text_of("difference", *words, gauges=gauges, limit="0 mm to 0.05 mm")
    assert "cannot tell with these gauges (Digital caliper and Dial indicator)\n" in text
