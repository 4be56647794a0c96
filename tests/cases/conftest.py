"""The small rulebook, loaded once."""

from __future__ import annotations

import pytest

from advisor.rulebook import Rulebook, load
from tests.cases.shop import write_shop


@pytest.fixture(scope="session")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Rulebook:
    return load(write_shop(tmp_path_factory.mktemp("rulebook")))
