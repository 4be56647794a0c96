"""Whole numbers side by side add up as they would one by one."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from advisor.engine.lanes import in_lane, packed, raw, unpacked

NUMBERS = st.dictionaries(st.integers(0, 9), st.integers(-(2**60), 2**60))
COUNT = 10


@given(st.lists(NUMBERS, max_size=4))
def test_lanes_add_up_as_their_numbers_do(parts: list[dict[int, int]]) -> None:
    whole = sum(map(packed, parts))
    expected = tuple(sum(part.get(place, 0) for part in parts) for place in range(COUNT))
    assert unpacked(whole, COUNT) == expected
    data = raw(whole, COUNT)
    assert tuple(in_lane(data, place) for place in range(COUNT)) == expected


@given(NUMBERS, NUMBERS)
def test_what_was_added_can_be_taken_off(kept: dict[int, int], other: dict[int, int]) -> None:
    assert packed(kept) + packed(other) - packed(other) == packed(kept)


def test_no_lanes_hold_nothing() -> None:
    assert packed({}) == 0
    assert unpacked(0, 0) == ()
