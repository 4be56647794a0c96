"""The small rulebook with two measured and computed joints, loaded once, and its vehicles."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.engine.values import Number, Value
from advisor.rulebook import Rulebook, load
from advisor.vehicles import Vehicles
from tests.proof.book import folder_of


@pytest.fixture(scope="session")
def book(tmp_path_factory: pytest.TempPathFactory) -> Rulebook:
    return load(folder_of(tmp_path_factory.mktemp("rulebook")))


@pytest.fixture(scope="session")
def vehicles(book: Rulebook) -> Vehicles:
    return Vehicles(book, (STACK, LOOSE_STACK, TIGHT_STACK))


@pytest.fixture(scope="session")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return folder_of(tmp_path_factory.mktemp("folder"))


def _stack(ring_mm: float) -> dict[str, Value]:
    widths = {"yoke-span": 80.0, "cross-width": 77.0, "ring-1": ring_mm, "ring-2": ring_mm}
    return {name: Number(value / 1000.0) for name, value in widths.items()}


STACK, LOOSE_STACK, TIGHT_STACK = _stack(1.49), _stack(1.4), _stack(1.53)
