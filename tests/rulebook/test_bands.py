"""What is said of bands that do not fill the line, with the amounts in the fact's unit."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.rulebook import LoadError, load
from tests.helpers_rulebook import small_rulebook
from tests.rulebook.examples import bands, value


@pytest.mark.parametrize(
    ("first", "second", "said"),
    [
        (
            "between: [0 mm, 1 mm]",
            "above: 1 mm",
            ["the bands leave out everything below 0 mm; add a band for it"],
        ),
        (
            "below: 1 mm",
            "between: [0.1 cm, 2 mm]",
            ["the bands leave out everything above 2 mm; add a band {above: 2 mm}"],
        ),
        (
            "below: 1 mm",
            "above: 2 mm",
            ['the bands leave out what lies from 1 mm to 2 mm, where "second" begins; '],
        ),
        (
            "below: 2 mm",
            "above: 1 mm",
            ['the band "second" begins at 1 mm, but another one reaches up to 2 mm; '],
        ),
        (
            "above: 1 mm",
            "above: 2 mm",
            [
                "the bands leave out everything below 1 mm; add a band for it",
                'the band "second" begins at 2 mm, but another one reaches up to the highest '
                "number; ",
            ],
        ),
        (
            "below: 1 mm",
            "below: 2 mm",
            [
                "the bands leave out everything above 2 mm; add a band {above: 2 mm}",
                'the band "second" begins at the lowest number, but another one reaches up to '
                "1 mm; ",
            ],
        ),
        (
            "below: 2 mm",
            "between: [0 mm, 1 mm]",
            [
                "the bands leave out everything above 2 mm; add a band {above: 2 mm}",
                'the band "second" begins at 0 mm, but another one reaches up to 2 mm; ',
            ],
        ),
        (
            "between: [3 mm, 1 mm]",
            "above: 3 mm",
            ['the band "first" goes from the smaller to the greater amount; '],
        ),
    ],
)
def test_gap_and_overlap_are_told_with_their_ends(
    tmp_path: Path, first: str, second: str, said: list[str]
) -> None:
    text = bands(value("first", 0.1, first), value("second", 0.9, second))
    with pytest.raises(LoadError) as caught:
        load(small_rulebook(tmp_path, z_extra=text))
    told = [f"{one.message}; {one.hint}".rstrip() for one in caught.value.problems]
    assert [one.removesuffix(";") for one in told] == [one.rstrip("; ") for one in said]


def test_two_spellings_of_one_end_meet(tmp_path: Path) -> None:
    text = bands(value("first", 0.1, "below: 2 thou"), value("second", 0.9, "above: 0.002 in"))
    assert [one.code for one in load(small_rulebook(tmp_path, z_extra=text)).warnings] == []
