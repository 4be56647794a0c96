"""A small rulebook with unsafe vehicles, and its practice vehicles."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.rulebook import Rulebook, load
from advisor.vehicles import Vehicle, Vehicles
from tests.proof.book import folder_of


@pytest.fixture(scope="session")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = folder_of(tmp_path_factory.mktemp("teaching"))
    places = folder / "places.yaml"
    text = places.read_text(encoding="utf-8")
    driven = text.replace("minutes: 15, cautions", "minutes: 15, driving: true, cautions")
    places.write_text(driven, encoding="utf-8")
    return folder


@pytest.fixture(scope="session")
def book(folder: Path) -> Rulebook:
    return load(folder)


@pytest.fixture(scope="session")
def vehicles(book: Rulebook) -> Vehicles:
    return Vehicles(book)


LOOSE = Vehicle(
    ("flange-loose",),
    {
        "last-work": "none-known",
        "vibrates": "yes",
        "felt-in": "floor",
        "note": "dont-know",
        "bolts-loose": "yes",
        "bolts-missing": "no",
        "layout": "one-piece",
        "yoke-span": "80.00 mm",
        "cross-width": "77.00 mm",
        "ring-1": "1.49 mm",
        "ring-2": "1.49 mm",
    },
)
