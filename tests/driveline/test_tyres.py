"""Tyre sizes as people write them."""

from __future__ import annotations

import pytest

from advisor.driveline import tyres


@pytest.mark.parametrize(
    "size",
    [
        "265/70R17",
        "265/70r17",
        " 265/70 R 17 ",
        "P265/70R17",
        "LT265/70R17",
        "265/70ZR17",
        "265/70-17",
        "265/70R17 115T",
        "LT265/70R17/E",
        "LT 265/70R17 121/118S",
        "265/70R17C",
        "265/70R17 115T XL",
    ],
)
def test_metric_size_is_read_however_it_is_written(size: str) -> None:
    """ROT-01: 802.8 mm. abs 1e-9 m."""
    assert tyres.tyre_diameter(size) == pytest.approx(0.8028, abs=1e-9)


@pytest.mark.parametrize(
    "size", ["31x10.50R15", "31X10.5R15", "31×10.50-15", "31 x 10,50 R15 LT", "31x10.50R15LT 109Q"]
)
def test_inch_size_gives_its_own_diameter(size: str) -> None:
    """31 in are 787.4 mm. abs 1e-9 m."""
    assert tyres.tyre_diameter(size) == pytest.approx(0.7874, abs=1e-9)


@pytest.mark.parametrize(
    ("size", "diameter_in"),
    [
        ("100/100R8", 8 + 200 / 25.4),
        ("500/20R30", 30 + 200 / 25.4),
        ("31x3R8", 31),
        ("30x30R30", 30),
    ],
)
def test_sizes_at_the_ends_of_what_is_made_are_read(size: str, diameter_in: float) -> None:
    assert tyres.tyre_diameter(size) == pytest.approx(diameter_in * 0.0254, abs=1e-9)


@pytest.mark.parametrize(
    "size", ["", "265/70", "265-70-17 or so", "R17", "big", "265/70R17 31x10.50R15", "31x10.50"]
)
def test_unreadable_size_is_refused_with_an_example(size: str) -> None:
    """What to write instead stands in the sentence."""
    with pytest.raises(ValueError, match=r"is not a tyre size; write it as .* 265/70R17") as raised:
        tyres.tyre_diameter(size)
    assert f'"{size}"' in str(raised.value)


@pytest.mark.parametrize(
    ("size", "told"),
    [
        ("265/70R0", "a rim of 0 in; expected 8 in to 30 in"),
        ("0/70R17", "a width of 0 mm; expected 100 mm to 500 mm"),
        ("265/0R17", "an? aspect of 0 %; expected 20 % to 100 %"),
        ("265/70R99", "a rim of 99 in"),
        ("2650/70R17", "a width of 2650 mm"),
        ("0x10.50R15", "a diameter of 0 in"),
        ("31x10.50R35", "a rim of 35 in; expected 8 in to 31 in"),
        ("31x35R15", "a width of 35 in"),
        ("31x2.5R15", "a width of 2.5 in; expected 3 in to 31 in"),
    ],
)
def test_impossible_size_is_refused_with_what_was_expected(size: str, told: str) -> None:
    """A zero-inch rim must not become a diameter."""
    with pytest.raises(ValueError, match=told):
        tyres.tyre_diameter(size)
