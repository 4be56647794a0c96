"""The best four rings from a stock, against trying every four pieces, and the remarks."""

from __future__ import annotations

import math
import random
from itertools import combinations
from statistics import NormalDist
from typing import Any

import pytest

from advisor.driveline.ringchoice import (
    JointAxis,
    RingChoice,
    StockEntry,
    choose_rings,
)
from advisor.driveline.ringroom import RingRoom, room_from_sizes

# (joint probability in thousandths, off-centre squared, off the middle, places in the stock)
Key = tuple[int, int, int, tuple[int, int, int, int]]


def entry(thickness_mm: float, count: int = 4, u_mm: float = 0.001, **more: Any) -> StockEntry:
    return StockEntry(thickness_mm / 1e3, u_mm / 1e3, count, **more)


def axis(room_mm: float = 3.05, u_mm: float = 0.005, **more: Any) -> JointAxis:
    return JointAxis(RingRoom(room_mm / 1e3, u_mm / 1e3), **more)


def best_by_trying_all(
    stock: list[StockEntry], axes: tuple[JointAxis, JointAxis], offset_m: float, greatest_m: float
) -> Key | None:
    """Takes four single pieces out of the boxes in every way; no ranking, no counting of boxes."""
    pieces = [index for index, box in enumerate(stock) for _ in range(box.count)]
    scores: list[dict[tuple[int, int], tuple[float, int, int] | None]] = []
    for one_axis in axes:
        scores.append(
            {
                pair: _score(stock, one_axis, pair, offset_m, greatest_m)
                for pair in set(combinations(pieces, 2))
            }
        )
    best: Key | None = None
    slots = range(len(pieces))
    for a, b in combinations(slots, 2):
        one = scores[0][pieces[a], pieces[b]]
        if one is None:
            continue
        for c, d in combinations([slot for slot in slots if slot not in (a, b)], 2):
            other = scores[1][pieces[c], pieces[d]]
            if other is None:
                continue
            key = (
                -round(1000.0 * one[0] * other[0]),
                one[1] ** 2 + other[1] ** 2,
                one[2] + other[2],
                (pieces[a], pieces[b], pieces[c], pieces[d]),
            )
            best = key if best is None else min(best, key)
    return best


def _score(
    stock: list[StockEntry],
    one_axis: JointAxis,
    pair: tuple[int, int],
    offset_m: float,
    greatest_m: float,
) -> tuple[float, int, int] | None:
    rings = [stock[index] for index in pair]
    if any(ring.style != one_axis.style for ring in rings):
        return None
    if one_axis.material == "aluminium" and not all(ring.coated for ring in rings):
        return None
    spread = abs(rings[0].thickness_m - rings[1].thickness_m)
    if spread / 2.0 > offset_m + 1e-10:
        return None
    play = round(one_axis.room.room_m - rings[0].thickness_m - rings[1].thickness_m, 9)
    u = math.sqrt(one_axis.room.u_m**2 + sum(ring.u_m**2 for ring in rings))
    if u == 0.0:
        probability = float(0.0 < play <= greatest_m)
    else:
        probability = _phi((greatest_m - play) / u) - _phi(-play / u)
    return probability, round(spread * 1e9), round(abs(play - greatest_m / 2.0) * 1e9)


def _phi(z: float) -> float:
    return (1.0 + math.erf(z / math.sqrt(2.0))) / 2.0


def key_of(choice: RingChoice) -> Key | None:
    if choice.axes is None:
        return None
    one, other = choice.axes
    return (
        -round(1000.0 * choice.probability),
        round(2e9 * one.offset_m) ** 2 + round(2e9 * other.offset_m) ** 2,
        sum(round(abs(pair.end_play_m - 25e-6) * 1e9) for pair in choice.axes),
        (one.ring_1, one.ring_2, other.ring_1, other.ring_2),
    )


def small_stock(
    draw: random.Random,
) -> tuple[list[StockEntry], tuple[JointAxis, JointAxis], float]:
    """Up to eight pieces in a few boxes, thick near one another so that the axes compete."""
    exact = draw.random() < 0.3
    mixed = draw.random() < 0.3
    stock: list[StockEntry] = []
    left = draw.randint(4, 8)
    while left:
        count = draw.randint(0, min(3, left))
        thickness_mm = 1.5 + 0.005 * draw.randint(-6, 6)
        stock.append(
            entry(
                thickness_mm,
                count,
                0.0 if exact else draw.choice([0.001, 0.003, 0.012]),
                coated=not mixed or draw.random() < 0.6,
                style="inside" if mixed and draw.random() < 0.2 else "outside",
            )
        )
        left -= max(count, 1)
    axes = tuple(
        axis(
            3.025 + 0.005 * draw.randint(-4, 4),
            0.0 if exact else draw.choice([0.002, 0.008, 0.017]),
            material=draw.choice(["steel", "aluminium"]) if mixed else "steel",
            style="inside" if mixed and draw.random() < 0.1 else "outside",
        )
        for _ in range(2)
    )
    return stock, (axes[0], axes[1]), draw.choice([0.0, 5e-6, 12.5e-6, 50e-6])


@pytest.mark.parametrize(
    "stocks", [300, pytest.param(10_000, marks=pytest.mark.slow)], ids=["some", "many"]
)
def test_choice_is_the_best_of_all_ways_to_take_four_pieces(stocks: int) -> None:
    draw = random.Random(8)
    filled = short = contested = 0
    for _ in range(stocks):
        stock, axes, offset_m = small_stock(draw)
        expected = best_by_trying_all(stock, axes, offset_m, 50e-6)
        choice = choose_rings(stock, *axes, offset_m)
        assert key_of(choice) == expected
        if expected is None:
            short += 1
            continue
        filled += 1
        plenty = [StockEntry(b.thickness_m, b.u_m, 4, b.coated, b.style) for b in stock if b.count]
        contested += choose_rings(plenty, *axes, offset_m).probability > choice.probability
    # The comparison means something only when stocks fill, fail and run out.
    assert filled > 0.4 * stocks
    assert short > 0.05 * stocks
    assert contested > 0.05 * stocks


def test_one_axis_gets_the_pair_that_it_would_get_beside_one_that_wants_other_rings() -> None:
    draw = random.Random(9)
    filled = 0
    for _ in range(500):
        stock, (first, _), offset_m = small_stock(draw)
        inside = [entry(1.4, 2, style="inner"), *stock]
        beside = choose_rings(inside, axis(2.825, style="inner"), first, offset_m)
        alone = choose_rings(inside, first, None, offset_m)
        assert (alone.axes is None) is (beside.axes is None)
        if alone.axes is not None and beside.axes is not None:
            filled += 1
            assert alone.axes == beside.axes[1:]
            assert alone.probability == alone.axes[0].probability
    assert filled > 200


def test_one_axis_has_to_reach_the_root_of_the_threshold() -> None:
    probability = choose_rings([entry(1.52)], axis(), None, 25e-6).probability
    for threshold, sufficient in ((probability**2 - 0.002, True), (probability**2 + 0.002, False)):
        choice = choose_rings([entry(1.52)], axis(), None, 25e-6, threshold=threshold)
        assert choice.sufficient is sufficient
        assert len(choice.wanted) == (0 if sufficient else 1)


def test_rings_to_get_are_exact_where_the_stock_has_none_of_their_kind() -> None:
    """The room alone is uncertain then: rings to 0.9 exist, as with a stock of exact ones."""
    for stock in ([], [entry(1.0, 1, u_mm=0.0)]):
        (wanted,) = choose_rings(stock, axis(), None, 25e-6).wanted
        assert wanted.thickness_m == pytest.approx(1.5125e-3, abs=1e-12)
        assert wanted.thickest_m is not None


def test_stock_that_cannot_fill_one_axis_names_no_number() -> None:
    choice = choose_rings([entry(1.51, 1)], axis(), None, 25e-6)
    assert choice.axes is None
    assert (choice.probability, choice.offset_m) == (0.0, 0.0)
    assert "suit this axis" in choice.remarks[0]


def test_rings_to_get_are_taken_to_be_as_uncertain_as_the_worst_in_stock() -> None:
    fine, coarse = entry(1.40, u_mm=0.001), entry(1.41, u_mm=0.008)
    both = choose_rings([fine, coarse], axis(), None, 25e-6).wanted
    assert both == choose_rings([coarse], axis(), None, 25e-6).wanted
    assert both != choose_rings([fine], axis(), None, 25e-6).wanted


def test_single_rings_are_shared_out_between_axes_that_both_want_them() -> None:
    stock = [entry(1.51, 2), entry(1.50, 2)]
    choice = choose_rings(stock, axis(3.045), axis(3.045), 25e-6)
    assert choice.axes is not None
    taken = [ring for pair in choice.axes for ring in (pair.ring_1, pair.ring_2)]
    assert sorted(taken) == [0, 0, 1, 1]


def test_aluminium_takes_coated_rings_only_and_says_who_states_it() -> None:
    stock = [entry(1.5125), entry(1.51, coated=True)]
    choice = choose_rings(stock, axis(material="aluminium"), axis(), 25e-6)
    assert choice.axes is not None
    assert (choice.axes[0].ring_1, choice.axes[0].ring_2) == (1, 1)
    assert (choice.axes[1].ring_1, choice.axes[1].ring_2) == (0, 0)
    assert choice.remarks == ("A fork of aluminium takes coated rings only, as the maker states.",)


def test_style_of_the_groove_must_be_equal() -> None:
    stock = [entry(1.5125), entry(1.51, style="inside")]
    choice = choose_rings(stock, axis(style="inside"), axis(), 25e-6)
    assert choice.axes is not None
    assert choice.axes[0].ring_1 == choice.axes[0].ring_2 == 1


def test_equal_rings_go_before_unequal_ones_of_the_same_probability() -> None:
    stock = [entry(1.505, u_mm=0.0), entry(1.52, u_mm=0.0), entry(1.51, u_mm=0.0)]
    choice = choose_rings(stock, axis(u_mm=0.0), axis(u_mm=0.0), 25e-6)
    assert choice.axes is not None
    assert choice.offset_m == 0.0
    assert choice.axes[0].ring_1 == choice.axes[0].ring_2 == 2


def test_end_play_of_exactly_zero_never_passes() -> None:
    choice = choose_rings([entry(1.525, u_mm=0.0)], axis(u_mm=0.0), axis(u_mm=0.0), 25e-6)
    assert choice.axes is not None
    assert choice.axes[0].end_play_m == 0.0
    assert choice.probability == 0.0
    assert not choice.sufficient


def test_offsets_of_both_forks_add_as_vectors() -> None:
    """EP-06: 0.025 and 0.025 mm give 0.0354 mm (handbook section 8, D; abs 1e-8 m)."""
    stock = [entry(1.50, 2), entry(1.55, 2)]
    choice = choose_rings(stock, axis(3.075), axis(3.075), 25e-6)
    assert choice.axes is not None
    assert [pair.offset_m for pair in choice.axes] == pytest.approx([25e-6, 25e-6], abs=1e-12)
    assert choice.offset_m == pytest.approx(35.355e-6, abs=1e-8)


def test_probability_follows_the_uncertainty_of_the_stack() -> None:
    """UNC-06: calipers for span and width, micrometer for rings, u 0.016916 mm (D; abs 1e-8 m)."""
    caliper, micrometer = (
        0.0119024e-3,
        math.hypot(0.001 / math.sqrt(12), 0.002 / math.sqrt(3)) / 1e3,
    )
    room = room_from_sizes(80e-3, 76.95e-3, u_span_m=caliper, u_width_m=caliper)
    stock = [StockEntry(1.5125e-3, micrometer, 4)]
    choice = choose_rings(stock, JointAxis(room), JointAxis(room), 25e-6)
    assert choice.axes is not None
    pair = choice.axes[0]
    assert pair.u_end_play_m == pytest.approx(0.016916e-3, abs=1e-8)
    law = NormalDist(25e-6, pair.u_end_play_m)
    assert pair.probability == pytest.approx(law.cdf(50e-6) - law.cdf(0.0), abs=1e-9)
    assert choice.sufficient


def test_poor_stock_says_which_rings_to_get_and_those_suffice() -> None:
    room = axis(3.10, 0.005)
    choice = choose_rings([entry(1.50)], room, axis(3.025), 25e-6, threshold=0.9)
    assert not choice.sufficient
    wanted = choice.wanted[0]
    assert wanted.thickness_m == pytest.approx(1.5375e-3, abs=1e-12)
    for thickness_m in (wanted.thinnest_m, wanted.thickest_m):
        assert thickness_m is not None
        bought = [entry(thickness_m * 1e3, 2), entry(1.50)]
        assert choose_rings(bought, room, axis(3.025), 25e-6, threshold=0.9).sufficient


def test_wanted_rings_on_both_axes_reach_the_threshold_together() -> None:
    both = axis(3.10, 0.005), axis(3.20, 0.008)
    choice = choose_rings([entry(1.40)], *both, 25e-6, threshold=0.9)
    bought = [entry((wanted.thickest_m or 0.0) * 1e3, 2, u_mm=0.001) for wanted in choice.wanted]
    with_them = choose_rings(bought, *both, 25e-6, threshold=0.9)
    assert with_them.sufficient
    assert with_them.probability == pytest.approx(0.9, abs=0.001)


def test_threshold_counts_to_a_thousandth() -> None:
    probability = choose_rings([entry(1.52)], axis(), axis(), 25e-6).probability
    for threshold, sufficient in ((probability - 0.001, True), (probability + 0.001, False)):
        choice = choose_rings([entry(1.52)], axis(), axis(), 25e-6, threshold=threshold)
        assert choice.sufficient is sufficient
        assert bool(choice.wanted) is not sufficient


def test_no_ring_reaches_the_threshold_when_the_sizes_are_too_uncertain() -> None:
    choice = choose_rings([entry(1.5125)], axis(u_mm=0.024), axis(u_mm=0.024), 25e-6, threshold=0.9)
    assert not choice.sufficient
    assert choice.wanted[0].thickest_m is None
    assert choice.wanted[0].largest_u_m < 0.024e-3


@pytest.mark.parametrize(
    ("stock", "remark"),
    [
        ([entry(1.51, style="inside")], "no two rings that suit axis 1"),
        ([entry(1.51, 3)], "too few rings that suit for both axes"),
        ([entry(1.51, 1)], "no two rings that suit axis 1"),
        ([], "no two rings that suit axis 2"),
    ],
    ids=["wrong-style", "three-rings", "one-ring", "nothing"],
)
def test_stock_that_cannot_fill_the_joint_says_what_is_lacking(
    stock: list[StockEntry], remark: str
) -> None:
    choice = choose_rings(stock, axis(), axis(), 25e-6)
    assert choice.axes is None
    assert not choice.sufficient
    assert any(remark in text for text in choice.remarks)
    assert len(choice.wanted) == 2


def test_impossible_inputs_are_refused_in_plain_words() -> None:
    with pytest.raises(ValueError, match="there are -1 rings"):
        entry(1.5, -1)
    with pytest.raises(ValueError, match=r"the greatest end play is -0\.01 mm"):
        choose_rings([entry(1.5)], axis(), axis(), 25e-6, greatest_m=-1e-5)
    with pytest.raises(ValueError, match="the threshold is 0; it must be above 0 and below 1"):
        choose_rings([entry(1.5)], axis(), axis(), 25e-6, threshold=0.0)
    with pytest.raises(ValueError, match=r"the uncertainty of a ring in stock is -0\.001 mm"):
        entry(1.5, u_mm=-0.001)
    with pytest.raises(ValueError, match=r"the thickness of a ring in stock is 0 mm"):
        entry(0.0)
    with pytest.raises(ValueError, match='the fork is made of "brass"; expected one of "steel"'):
        axis(material="brass")
    with pytest.raises(ValueError, match="the threshold is 1; it must be above 0 and below 1"):
        choose_rings([entry(1.5)], axis(), axis(), 25e-6, threshold=1.0)
    with pytest.raises(ValueError, match=r"the largest off-centre is -0\.01 mm"):
        choose_rings([entry(1.5)], axis(), axis(), -1e-5)
