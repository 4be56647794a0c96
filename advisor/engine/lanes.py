"""Many whole numbers side by side in one, so that adding all of them is a single addition.

Each has a lane of 64 bits. Python adds such a number faster than its parts by far, and exactly:
sums don't depend on the order, and what was added can be taken off again.
"""

from __future__ import annotations

import struct
from collections.abc import Sequence
from functools import cache
from typing import Final

_BITS: Final = 64


def packed(numbers: Sequence[int]) -> int:
    """The numbers, each in the lane of its place.

    A number, and every sum of it, must lie within -2**63 and 2**63, both left out.
    """
    lift = _lift(len(numbers))
    return (int.from_bytes(struct.pack(f"<{len(numbers)}q", *numbers), "little") ^ lift) - lift


def unpacked(whole: int, count: int) -> tuple[int, ...]:
    """The numbers in the first `count` lanes; those beyond must hold 0."""
    lift = _lift(count)
    data = ((whole + lift) ^ lift).to_bytes(count * _BITS // 8, "little")
    return struct.unpack(f"<{count}q", data)


@cache
def _lift(count: int) -> int:
    """Half the range in each lane: lifted by it no lane is negative and borrows from the next."""
    return int.from_bytes((bytes(_BITS // 8 - 1) + b"\x80") * count, "little")
