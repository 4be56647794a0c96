"""The made rulebook and the shipped one, loaded once."""

from __future__ import annotations

import pytest

from advisor.rulebook import Rulebook, load, shipped
from tests.report.making import made_rulebook


@pytest.fixture(scope="session")
def small(tmp_path_factory: pytest.TempPathFactory) -> Rulebook:
    return made_rulebook(tmp_path_factory.mktemp("rulebook"))


@pytest.fixture(scope="session")
def driveline() -> Rulebook:
    return load(shipped())
