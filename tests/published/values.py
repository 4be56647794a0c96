"""The published check values, and how a computed value is held against one."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, cast

import pytest
import yaml

Inputs = Mapping[str, Any]
Computations = Mapping[str, Callable[[Inputs], Any]]

FILE = Path(__file__).with_name("check_values.yaml")
DATA: dict[str, Any] = yaml.safe_load(FILE.read_text(encoding="utf-8"))
ENTRIES: dict[str, dict[str, Any]] = {entry["id"]: entry for entry in DATA["check_values"]}


def hertz(rpm: float) -> float:
    """Turns a second from turns a minute."""
    return rpm / 60.0


def rad(*degrees: float) -> list[float]:
    """Radians from degrees."""
    return [math.radians(value) for value in degrees]


def ids_of(*families: str) -> list[str]:
    """Ids of the entries whose family (the part before the hyphen) is one of these."""
    return [name for name in ENTRIES if name.split("-")[0] in families]


def parameters(*families: str) -> list[Any]:
    """A test parameter for each entry of the families; its id says the mark of the value."""
    return [pytest.param(name, id=f"{name}-{ENTRIES[name]['mark']}") for name in ids_of(*families)]


def assert_reproduced(name: str, computations: Computations) -> None:
    """Compute one entry and hold it against what is expected, with the tolerance of the file."""
    entry = ENTRIES[name]
    got = computations[name](entry["inputs"])
    assert_within(got, entry["expected"], entry["tolerance"], f"{name}: {entry['source']}")


def assert_within(got: Any, expected: Any, tolerance: str, what: str) -> None:
    """`abs t`, `rel t` or `exact`, item by item for lists."""
    if isinstance(expected, list):
        assert len(got) == len(expected), what
        for one_got, one_expected in zip(got, expected, strict=True):
            assert_within(one_got, one_expected, tolerance, what)
        return
    if tolerance == "exact":
        assert got == expected, what
        return
    kind, width = tolerance.split()
    allowed = float(width)
    if kind == "rel":
        assert abs(got / expected - 1.0) <= allowed, f"{what}: got {got}, expected {expected}"
    else:
        assert kind == "abs", f"{what}: unknown tolerance {tolerance}"
        assert abs(got - cast(float, expected)) <= allowed, (
            f"{what}: got {got}, expected {expected}"
        )
