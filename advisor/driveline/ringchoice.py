"""Retaining rings from the shop's own stock: the best four for the two axes of a joint.

The choice is the exact optimum. Pairs are ranked for each axis; the two rankings are then searched
together, best first, since both axes draw on one stock.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations_with_replacement
from typing import Final, NamedTuple

from advisor.driveline import _limits
from advisor.driveline.normal import probability_between
from advisor.driveline.ringroom import RingRoom, RingsWanted, wanted_rings

GREATEST_END_PLAY_M: Final = 50e-6
"""Maker manuals, handbook section 8 (F)."""

THRESHOLD: Final = 0.5
"""More likely than not. The stack only chooses the rings: the play is then measured by indicator,
handbook section 12 (D); the figure is a judgement."""

PROBABILITY_STEP: Final = 0.001
"""Probabilities are compared in such steps: finer differences mean nothing beside the uncertainty
of an uncertainty, and must not outweigh the centring of the shaft. Judgement."""

MATERIALS: Final = ("steel", "aluminium")


@dataclass(frozen=True, slots=True)
class StockEntry:
    """One box of rings: thickness and its standard uncertainty in m, and how many there are.

    `style` is the kind of groove that they suit, such as "outside" or "inside". Two rings of a box
    are taken to differ independently of one another.
    """

    thickness_m: float
    u_m: float
    count: int
    coated: bool = False
    style: str = "outside"

    def __post_init__(self) -> None:
        _limits.length("the thickness of a ring in stock", self.thickness_m)
        _limits.clearance("the uncertainty of a ring in stock", self.u_m)
        if self.count < 0:
            raise ValueError(f"there are {self.count} rings of one kind; it must not be below 0")


@dataclass(frozen=True, slots=True)
class JointAxis:
    """One axis of a joint: the room for its rings, their style, and what its fork is made of.

    `material` is "steel" or "aluminium", else ValueError; aluminium takes coated rings only.
    """

    room: RingRoom
    style: str = "outside"
    material: str = "steel"

    def __post_init__(self) -> None:
        if self.material not in MATERIALS:
            known = ", ".join(f'"{name}"' for name in MATERIALS)
            raise ValueError(f'the fork is made of "{self.material}"; expected one of {known}')


@dataclass(frozen=True, slots=True)
class AxisChoice:
    """Two rings for one axis, as places in the stock from 0, the earlier first; lengths in m.

    `probability` is that of an end play within its limits, `offset_m` how far the rings set the
    cross off the middle of the fork, 0 or more.
    """

    ring_1: int
    ring_2: int
    end_play_m: float
    u_end_play_m: float
    probability: float
    offset_m: float


@dataclass(frozen=True, slots=True)
class RingChoice:
    """The best two rings in stock for each axis, or None for `axes` when the stock can't fill them.

    `probability` is that of all end plays within limits, `offset_m` the off-centre of the axes
    together. `sufficient` says that the threshold is reached; when not, `wanted` holds the rings to
    get for each axis. `remarks` are sentences for the technician.
    """

    axes: tuple[AxisChoice, ...] | None
    probability: float
    offset_m: float
    sufficient: bool
    wanted: tuple[RingsWanted, ...]
    remarks: tuple[str, ...]


class _Pair(NamedTuple):
    """Sorts as the choice prefers among equal probabilities; whole nanometres, hence exact."""

    spread_nm: int
    off_middle_nm: int
    first: int
    second: int
    probability: float
    end_play_m: float
    u_m: float


def choose_rings(  # noqa: PLR0913 - the joint, the stock and the three limits
    stock: Sequence[StockEntry],
    axis_1: JointAxis,
    axis_2: JointAxis | None,
    largest_offset_m: float,
    *,
    greatest_m: float = GREATEST_END_PLAY_M,
    threshold: float = THRESHOLD,
) -> RingChoice:
    """The four rings from one stock that suit both axes best; two when `axis_2` is None.

    First the probability that both end plays lie above 0 and up to `greatest_m`, in steps of
    PROBABILITY_STEP; then the smallest off-centre of both axes; then the end plays nearest the
    middle of the limits, added up; then the order of the stock. The rings of a pair may set the
    cross off the middle by `largest_offset_m` at most (0 or more). `threshold` above 0, below 1;
    one axis alone has to reach its root, so that both together can reach it.
    Raises ValueError for impossible values.
    Source: e = S - W - t1 - t2, offset |t1 - t2| / 2, vector sum over both forks; handbook section
    8, EP-01, EP-02, EP-06 (P, D); coated rings for aluminium: section 11 (F, M).
    """
    _limits.clearance("the largest off-centre", largest_offset_m)
    _limits.length("the greatest end play", greatest_m)
    if not 0.0 < threshold < 1.0:
        raise ValueError(f"the threshold is {threshold:g}; it must be above 0 and below 1")
    joint = (axis_1,) if axis_2 is None else (axis_1, axis_2)
    ranked = [_pairs(stock, axis, largest_offset_m, greatest_m) for axis in joint]
    remarks = _remarks(joint)
    best = _best(stock, *ranked)
    # Each axis to the root of the threshold brings both together to it.
    each = math.sqrt(threshold)
    enough = each ** len(joint) / PROBABILITY_STEP - 1e-6
    sufficient = best is not None and _steps(best) >= enough
    wanted: tuple[RingsWanted, ...] = ()
    if not sufficient:
        wanted = tuple(
            wanted_rings(axis.room, greatest_m, each, _u_of_new(stock, axis)) for axis in joint
        )
    if best is None:
        return RingChoice(None, 0.0, 0.0, False, wanted, (*remarks, *_lacking(ranked)))
    axes = tuple(_axis_choice(pair) for pair in best)
    return RingChoice(
        axes,
        math.prod(axis.probability for axis in axes),
        math.hypot(*(axis.offset_m for axis in axes)),
        sufficient,
        wanted,
        remarks,
    )


def _pairs(
    stock: Sequence[StockEntry], axis: JointAxis, largest_offset_m: float, greatest_m: float
) -> list[_Pair]:
    widest_nm = round(2e9 * largest_offset_m)
    found = []
    usable = [index for index, entry in enumerate(stock) if _suits(entry, axis)]
    for first, second in combinations_with_replacement(usable, 2):
        one, other = stock[first], stock[second]
        spread_nm = abs(round(1e9 * (one.thickness_m - other.thickness_m)))
        if spread_nm > widest_nm or (first == second and one.count == 1):
            continue
        # Rounded to a nanometre: below that a stack of decimal sizes is binary noise.
        play = round(axis.room.room_m - one.thickness_m - other.thickness_m, 9)
        u = math.hypot(axis.room.u_m, one.u_m, other.u_m)
        probability = probability_between(play, u, 0.0, greatest_m)
        off_middle_nm = round(1e9 * abs(play - greatest_m / 2.0))
        found.append(_Pair(spread_nm, off_middle_nm, first, second, probability, play, u))
    return found


def _suits(entry: StockEntry, axis: JointAxis) -> bool:
    allowed = entry.coated or axis.material != "aluminium"
    return entry.count > 0 and entry.style == axis.style and allowed


def _best(
    stock: Sequence[StockEntry], pairs_1: list[_Pair], pairs_2: list[_Pair] | None = None
) -> tuple[_Pair, ...] | None:
    if pairs_2 is None:
        return min(((pair,) for pair in pairs_1), key=lambda one: (-_steps(one), one), default=None)
    counts = [entry.count for entry in stock]
    steps = _best_steps(counts, pairs_1, pairs_2)
    return None if steps is None else _most_central(counts, pairs_1, pairs_2, steps)


def _best_steps(counts: Sequence[int], pairs_1: list[_Pair], pairs_2: list[_Pair]) -> int | None:
    """Greatest joint probability, in steps, that the stock can supply on both axes at once."""
    best = None
    seconds = sorted(pairs_2, key=lambda pair: -pair.probability)
    for one in sorted(pairs_1, key=lambda pair: -pair.probability):
        for other in seconds:
            # Both lists fall, so nothing after this can be more; the stock only forbids.
            steps = _steps((one, other))
            if best is not None and steps <= best:
                break
            if _in_stock(counts, one, other):
                best = steps
                break
        if best is not None and _steps((one, seconds[0])) <= best:
            break
    return best


def _most_central(
    counts: Sequence[int], pairs_1: list[_Pair], pairs_2: list[_Pair], steps: int
) -> tuple[_Pair, _Pair] | None:
    """The most preferred two pairs among those that reach `steps`."""
    top_1 = max(pairs_1, key=lambda pair: pair.probability)
    top_2 = max(pairs_2, key=lambda pair: pair.probability)
    firsts = sorted(pair for pair in pairs_1 if _steps((pair, top_2)) >= steps)
    seconds = sorted(pair for pair in pairs_2 if _steps((top_1, pair)) >= steps)
    best: tuple[_Pair, _Pair] | None = None
    best_key: tuple[int, ...] = ()
    for one in firsts:
        # With the first second pair the key is least, and it grows along the first ones.
        if best is not None and _key(one, seconds[0]) >= best_key:
            break
        for other in seconds:
            key = _key(one, other)
            if best is not None and key >= best_key:
                break
            if _steps((one, other)) == steps and _in_stock(counts, one, other):
                best, best_key = (one, other), key
                break
    return best


def _key(one: _Pair, other: _Pair) -> tuple[int, ...]:
    squares = one.spread_nm**2 + other.spread_nm**2
    off_middle = one.off_middle_nm + other.off_middle_nm
    return squares, off_middle, one.first, one.second, other.first, other.second


def _steps(pairs: tuple[_Pair, ...]) -> int:
    return round(math.prod(pair.probability for pair in pairs) / PROBABILITY_STEP)


def _in_stock(counts: Sequence[int], one: _Pair, other: _Pair) -> bool:
    taken = (one.first, one.second, other.first, other.second)
    return all(taken.count(index) <= counts[index] for index in taken)


def _axis_choice(pair: _Pair) -> AxisChoice:
    return AxisChoice(
        pair.first, pair.second, pair.end_play_m, pair.u_m, pair.probability, pair.spread_nm / 2e9
    )


def _u_of_new(stock: Sequence[StockEntry], axis: JointAxis) -> float:
    """A ring to be bought is taken to be known as well as the worst of its kind in stock."""
    return max((entry.u_m for entry in stock if entry.style == axis.style), default=0.0)


def _remarks(joint: Sequence[JointAxis]) -> tuple[str, ...]:
    if any(axis.material == "aluminium" for axis in joint):
        return ("A fork of aluminium takes coated rings only, as the maker states.",)
    return ()


def _lacking(ranked: Sequence[Sequence[_Pair]]) -> tuple[str, ...]:
    called = ["this axis"] if len(ranked) == 1 else ["axis 1", "axis 2"]
    empty = [
        f"The stock has no two rings that suit {name} and keep the cross near its middle."
        for name, pairs in zip(called, ranked, strict=True)
        if not pairs
    ]
    return tuple(empty) or ("The stock has too few rings that suit for both axes at once.",)
