"""A folder of cases with the small rulebook."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.library import light_of
from advisor.rulebook import Rulebook, load
from tests.cases.shop import write_shop
from tests.library.making import Shelf


@pytest.fixture(scope="session")
def shop_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_shop(tmp_path_factory.mktemp("rulebook"))


@pytest.fixture(scope="session")
def shop(shop_folder: Path) -> Rulebook:
    return load(shop_folder)


@pytest.fixture
def shelf(tmp_path: Path, shop_folder: Path, shop: Rulebook) -> Shelf:
    folder = tmp_path / "cases"
    folder.mkdir()
    return Shelf(folder, tmp_path / "index.sqlite", light_of(shop_folder, (), None, lambda: shop))
