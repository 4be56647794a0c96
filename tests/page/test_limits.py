"""The picture of a reading draws the normal law and the limits where they are."""

from __future__ import annotations

import math

import pytest
from scipy.stats import norm  # type: ignore[import-untyped]

from advisor.engine.values import Interval, Number
from advisor.page.limits import Band, Reading, density, guard_bands, reading_picture, span_shown
from advisor.units import unit_named
from tests.page.drawn import extent, line, paths, texts

BANDS = (
    Band("preload", Interval(high=0.0)),
    Band("good", Interval(0.0, 5e-5, low_closed=True, high_closed=True)),
    Band("too much", Interval(low=5e-5)),
)


def reading(value: float = 5.5e-5, u: float = 1.7e-5, unit: str = "mm") -> Reading:
    return Reading("reading-play", "End play", Number(value, u), BANDS, unit_named(unit))


def test_density_is_that_of_the_normal_law() -> None:
    """scipy.stats.norm, scaled to 1 at the reading."""
    law = norm(5.5e-5, 1.7e-5)
    for x in (0.0, 2e-5, 5.5e-5, 9e-5):
        wanted = float(law.pdf(x) / law.pdf(5.5e-5))
        assert density(reading().number, x) == pytest.approx(wanted, rel=1e-9)


def test_limits_stand_where_they_are_under_the_curve() -> None:
    shown = reading()
    svg = reading_picture(shown).svg
    curve = line(svg, "density")
    peak = min(curve, key=lambda point: point[1])
    low, high = span_shown(shown)
    left, right = extent(curve)
    units_per_m = (right - left) / (high - low)
    zero, limit = (corners[0][0] for corners in paths(svg, "limit"))
    assert limit - zero == pytest.approx(5e-5 * units_per_m, abs=0.01)
    assert limit == pytest.approx(left + (5e-5 - low) * units_per_m, abs=0.01)
    assert peak[0] == pytest.approx(left + (5.5e-5 - low) * units_per_m, abs=(right - left) / 120)


def test_guard_bands_are_as_wide_as_one_sided_certainty_asks() -> None:
    """0.95 one-sided: scipy.stats.norm; 1.645 to three decimals."""
    half = float(norm.ppf(0.95)) * 1.7e-5
    for (low, high), edge in zip(guard_bands(reading()), (0.0, 5e-5), strict=True):
        assert (edge - low, high - edge) == pytest.approx((half, half), rel=1e-3)
    svg = reading_picture(reading()).svg
    strips = [extent(corners) for corners in paths(svg, "guard")]
    lines = [corners[0][0] for corners in paths(svg, "limit")]
    for (left, right), limit in zip(strips, lines, strict=True):
        assert (left + right) / 2.0 == pytest.approx(limit, abs=0.01)


def test_probabilities_are_those_of_the_normal_law_and_are_said() -> None:
    law = norm(5.5e-5, 1.7e-5)
    wanted = [law.cdf(0.0), law.cdf(5e-5) - law.cdf(0.0), law.sf(5e-5)]
    found = [reading().probability(band) for band in BANDS]
    assert found == pytest.approx([float(one) for one in wanted], rel=1e-9)
    assert reading_picture(reading()).says == (
        "The reading is 0.055 mm +/- 0.017 mm, against 0 mm and 0.05 mm: "
        "preload under 1\u00a0%, good 38\u00a0%, too much 62\u00a0%."
    )


def test_unit_is_that_of_the_user() -> None:
    picture = reading_picture(reading(unit="thou"))
    assert "in thou" in texts(picture.svg)
    assert "2.17 thou +/- 0.67 thou" in picture.says


def test_far_limits_are_shown_all_the_same() -> None:
    low, high = span_shown(reading(value=9e-5, u=1e-6))
    assert low < 5e-5
    assert high > 9e-5
    assert math.isfinite(low)
    assert len(paths(reading_picture(reading(value=9e-5, u=1e-6)).svg, "limit")) == 2


def test_many_limits_are_listed_and_one_is_named() -> None:
    inner = Band("fair", Interval(1e-5, 2e-5)), Band("much", Interval(2e-5, 3e-5))
    bands = (Band("low", Interval(high=1e-5)), *inner, Band("high", Interval(low=3e-5)))
    shown = Reading("reading-made", "Made", Number(2e-5, 5e-6), bands, unit_named("um"))
    assert "against 10 um, 20 um and 30 um: low 2" in reading_picture(shown).says
    two = (Band("low", Interval(high=1e-5)), Band("high", Interval(low=1e-5)))
    one = Reading("reading-made", "Made", Number(2e-5, 5e-6), two, unit_named("um"))
    assert "against 10 um: low 2" in reading_picture(one).says
