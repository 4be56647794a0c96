"""Many whole numbers side by side in one, so that adding all of them is a single addition.

Each has a lane of 64 bits. Python adds such a number faster than its parts by far, and exactly:
sums don't depend on the order, and what was added can be taken off again.
"""

from __future__ import annotations

import struct
from collections.abc import Mapping
from functools import lru_cache
from typing import Final

_BITS: Final = 64


def packed(numbers: Mapping[int, int]) -> int:
    """The numbers, each in the lane of its place from 0; the other lanes hold 0.

    A number, and every sum of it, must lie within -2**63 and 2**63, both left out.
    """
    count = max(numbers, default=-1) + 1
    lanes = [0] * count
    for place, number in numbers.items():
        lanes[place] = number
    lift, format_ = _lift(count), _format(count)
    return (int.from_bytes(format_.pack(*lanes), "little") ^ lift) - lift


def unpacked(whole: int, count: int) -> tuple[int, ...]:
    """The numbers in the first `count` lanes; those beyond must hold 0."""
    return _format(count).unpack(raw(whole, count))


def raw(whole: int, count: int) -> bytes:
    """The same as bytes, for reading single lanes by `in_lane`."""
    lift = _lift(count)
    return ((whole + lift) ^ lift).to_bytes(count * _BITS // 8, "little")


def in_lane(data: bytes, place: int) -> int:
    """The number in one lane of what `raw` gave."""
    number: int = _ONE.unpack_from(data, place * _BITS // 8)[0]
    return number


_ONE: Final = struct.Struct("<q")


@lru_cache(maxsize=256)
def _format(count: int) -> struct.Struct:
    return struct.Struct(f"<{count}q")


@lru_cache(maxsize=256)
def _lift(count: int) -> int:
    """Half the range in each lane: lifted by it no lane is negative and borrows from the next."""
    return int.from_bytes((bytes(_BITS // 8 - 1) + b"\x80") * count, "little")
