"""The small rulebook, loaded once, and a case begun."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.cases import new_case
from advisor.rulebook import Rulebook, load
from tests.cases.shop import write_shop


@pytest.fixture(scope="session")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Rulebook:
    return load(write_shop(tmp_path_factory.mktemp("rulebook")))


@pytest.fixture
def path(tmp_path: Path, shop: Rulebook) -> Path:
    path = tmp_path / "van.yaml"
    new_case(path, shop, vehicle="A van", complaint="It shudders")
    return path
