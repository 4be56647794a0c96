"""Whole numbers side by side add up as they would one by one."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from advisor.engine.lanes import packed, unpacked

NUMBERS = st.lists(st.integers(-(2**60), 2**60), max_size=10)
COUNT = 10


@given(st.lists(NUMBERS, max_size=4))
def test_lanes_add_up_as_their_numbers_do(parts: list[list[int]]) -> None:
    whole = sum(map(packed, parts))
    padded = [part + [0] * (COUNT - len(part)) for part in parts]
    expected = tuple(map(sum, zip(*padded, strict=True))) or (0,) * COUNT
    assert unpacked(whole, COUNT) == expected


@given(NUMBERS, NUMBERS)
def test_what_was_added_can_be_taken_off(kept: list[int], other: list[int]) -> None:
    assert packed(kept) + packed(other) - packed(other) == packed(kept)


def test_no_lanes_hold_nothing() -> None:
    assert packed(()) == 0
    assert unpacked(0, 0) == ()
