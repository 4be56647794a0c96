"""Choosing a vehicle: what was asked for, the same for everybody with the seed."""

from __future__ import annotations

import pytest

from advisor.rulebook import Rulebook
from advisor.teaching.choosing import Wanted, choose, drawn, seed_or_any
from advisor.teaching.errors import NoSuchVehicleError, SeedError
from advisor.vehicles import Vehicles


def test_seed_gives_the_same_vehicle_again(book: Rulebook, vehicles: Vehicles) -> None:
    chosen = choose(vehicles, 7, Wanted())
    assert choose(Vehicles(book), 7, Wanted()) == chosen
    assert drawn(vehicles, 7, chosen.number) == chosen.vehicle


def test_wanted_cause_is_a_fault(vehicles: Vehicles) -> None:
    for seed in range(3):
        assert "flange-loose" in choose(vehicles, seed, Wanted("flange-loose")).vehicle.faults


def test_two_faults_when_wanted(vehicles: Vehicles) -> None:
    assert len(choose(vehicles, 1, Wanted(two=True)).vehicle.faults) == 2


def test_easy_vehicle_has_one_fault(vehicles: Vehicles) -> None:
    for seed in range(5):
        assert len(choose(vehicles, seed, Wanted(level="easy")).vehicle.faults) == 1


def test_what_can_not_be_is_said(vehicles: Vehicles) -> None:
    with pytest.raises(NoSuchVehicleError, match="seed 1"):
        choose(vehicles, 1, Wanted(two=True, level="easy"))


@pytest.mark.parametrize("seed", [-1, 2**53])
def test_seed_that_no_file_holds_is_refused(seed: int) -> None:
    with pytest.raises(SeedError, match="expected 0 to"):
        seed_or_any(seed)
