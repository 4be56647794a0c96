"""Chains of one to four joints with any forks and planes, through the catalog, held against forks
carried as vectors (tests/driveline/fork_model.py).

The phasor drops terms of fourth order: abs 0.01 times the sum of the squared bends, on the
acceleration over omega squared (handbook 2.3: 0.5 % when the sum nearly cancels, D).
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest

from advisor.driveline.angles import direction_vector
from advisor.driveline.catalog import FUNCTIONS
from tests.driveline.fork_model import bent_chain, peak_acceleration
from tests.published.values import ENTRIES, assert_within


def _residual(name: str, degrees: dict[str, float]) -> float:
    result = FUNCTIONS[name].call(**{key: math.radians(value) for key, value in degrees.items()})
    assert isinstance(result, float)
    return result


def _chain(bends: list[float], planes: list[float], turns: list[float]) -> dict[str, float]:
    return (
        {f"joint_angle_{n}": bend for n, bend in enumerate(bends, start=1)}
        | {f"plane_{n}": plane for n, plane in enumerate(planes, start=2)}
        | {f"fork_turn_{n}": turn for n, turn in enumerate(turns, start=1)}
    )


@pytest.mark.parametrize("joints", [1, 2, 3, 4])
def test_bends_planes_and_forks_agree_with_fork_vectors(joints: int) -> None:
    """40 chains, seed 11: bends to 5 deg, planes and forks anywhere."""
    chance = np.random.default_rng(11)
    for _ in range(40):
        bends = [float(bend) for bend in chance.uniform(0.3, 5.0, joints)]
        planes, turns = chance.uniform(-180.0, 180.0, (2, joints - 1)).tolist()
        radians = [math.radians(bend) for bend in bends]
        directions = bent_chain(radians, [0.0, *map(math.radians, planes)])
        exact = peak_acceleration(directions, [math.radians(turn) for turn in turns])
        residual = _residual("residual-angle-of-chain", _chain(bends, planes, turns))
        assert residual**2 == pytest.approx(exact, abs=0.01 * sum(b**2 for b in radians))


@pytest.mark.parametrize("joints", [1, 2, 3, 4])
def test_slopes_headings_and_forks_agree_with_fork_vectors(joints: int) -> None:
    """40 layouts, seed 12: slopes to 3 deg, headings to 2 deg, forks anywhere."""
    chance = np.random.default_rng(12)
    for _ in range(40):
        slopes = chance.uniform(-3.0, 3.0, joints + 1).tolist()
        headings = chance.uniform(-2.0, 2.0, joints + 1).tolist()
        turns = chance.uniform(-180.0, 180.0, joints - 1).tolist()
        directions = [
            np.array(direction_vector(math.radians(slope), math.radians(heading)))
            for slope, heading in zip(slopes, headings, strict=True)
        ]
        exact = peak_acceleration(directions, [math.radians(turn) for turn in turns])
        scale = sum(math.acos(min(1.0, float(a @ b))) ** 2 for a, b in pairwise(directions))
        readings = (
            {f"slope_{n}": slope for n, slope in enumerate(slopes, start=1)}
            | {f"heading_{n}": heading for n, heading in enumerate(headings, start=1)}
            | {f"fork_turn_{n}": turn for n, turn in enumerate(turns, start=1)}
        )
        residual = _residual("residual-angle-of-members", readings)
        assert residual**2 == pytest.approx(exact, abs=0.01 * scale)


def test_sense_of_a_fork_turn_matters_where_the_planes_differ() -> None:
    """Turning the fork with the plane restores cancelling; the other way doubles the fault."""
    together = _residual("residual-angle-of-chain", _chain([4, 4], [30], [30]))
    against = _residual("residual-angle-of-chain", _chain([4, 4], [30], [-30]))
    assert math.degrees(together) == pytest.approx(0.0, abs=1e-6)
    assert math.degrees(against) == pytest.approx(4.0 * math.sqrt(2.0 * math.sin(math.pi / 3)))


@pytest.mark.parametrize(
    ("check", "bends", "planes", "turns"),
    [
        ("DL-01", [5, 4], [], []),
        ("DL-03", [3, 4], [], [90]),
        ("DL-05", [2, 4, 3], [], []),
        ("DL-07", [1, 2, 2.2360680], [], [90, 0]),
        ("DL-08", [3, 3], [], [10]),
        ("DL-10", [3, 4], [30], []),
    ],
)
def test_published_chains_are_reproduced(
    check: str, bends: list[float], planes: list[float], turns: list[float]
) -> None:
    """DL-01 to DL-10 (M for the signs, D); DL-07 asks for the third joint that cancels: its
    residual is nil, abs 0.001 deg."""
    residual = math.degrees(_residual("residual-angle-of-chain", _chain(bends, planes, turns)))
    if check == "DL-07":
        assert bends[2] == pytest.approx(ENTRIES[check]["expected"], abs=1e-4)
        assert residual == pytest.approx(0.0, abs=1e-3)
        return
    assert_within(residual, ENTRIES[check]["expected"], "abs 1e-4", check)


def test_slopes_give_what_the_functions_for_two_and_three_joints_give() -> None:
    """Crossed is a turn of 90 deg. rel 1e-9."""
    slopes = {"slope_1": -3.0, "slope_2": -6.5, "slope_3": -2.5, "heading_2": 2.0}
    two = FUNCTIONS["residual-angle"].call(
        **{key: math.radians(value) for key, value in slopes.items()}, crossed=True
    )
    ours = _residual("residual-angle-of-members", slopes | {"fork_turn_1": 90.0})
    assert ours == pytest.approx(two, rel=1e-9)
    slopes |= {"slope_4": -4.0, "heading_4": 1.0}
    three = FUNCTIONS["residual-angle-two-piece"].call(
        **{key: math.radians(value) for key, value in slopes.items()}, second_crossed=True
    )
    ours = _residual("residual-angle-of-members", slopes | {"fork_turn_2": 90.0})
    assert ours == pytest.approx(three, rel=1e-9)


@pytest.mark.parametrize(
    ("name", "readings", "told"),
    [
        (
            "residual-angle-of-chain",
            {"joint_angle_1": 3.0, "joint_angle_3": 3.0},
            "joint angle 3 is given without joint angle 2; the number must not be skipped",
        ),
        (
            "residual-angle-of-chain",
            {"joint_angle_1": 3.0, "joint_angle_2": 3.0, "plane_3": 10.0},
            "the plane of joint 3 is given, but the chain ends before it; ",
        ),
        (
            "residual-angle-of-chain",
            {"joint_angle_1": 3.0, "fork_turn_1": 10.0},
            "the fork turn of shaft 1 is given, but the chain ends before it; ",
        ),
        (
            "residual-angle-of-chain",
            {"joint_angle_1": 3.0, "joint_angle_2": 3.0, "plane_2": 400.0},
            "the plane of joint 2 is 400 deg; it must lie between -360 deg and 360 deg",
        ),
        (
            "residual-angle-of-members",
            {"slope_1": 3.0, "slope_2": 3.0, "slope_4": 3.0},
            "slope 4 is given without slope 3; ",
        ),
        (
            "residual-angle-of-members",
            {"slope_1": 3.0, "slope_2": 1.0, "slope_3": 3.0, "heading_4": 1.0},
            "the heading of member 4 is given, but the chain ends before it; ",
        ),
        (
            "residual-angle-of-members",
            {"slope_1": 3.0, "slope_2": 1.0, "slope_3": 3.0, "fork_turn_2": 1.0},
            "the fork turn of shaft 2 is given, but the chain ends before it; ",
        ),
    ],
)
def test_chain_with_a_gap_is_refused(name: str, readings: dict[str, float], told: str) -> None:
    with pytest.raises(ValueError, match=told):
        _residual(name, readings)
