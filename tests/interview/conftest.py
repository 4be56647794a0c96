"""The small rulebook, loaded once; a case begun; and each conversation through both ports."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.cases import new_case
from advisor.rulebook import Rulebook, load
from tests.cases.shop import write_shop
from tests.interview.talk import TALKS, Talker


@pytest.fixture(scope="session")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Rulebook:
    return load(write_shop(tmp_path_factory.mktemp("rulebook")))


@pytest.fixture
def van(tmp_path: Path, shop: Rulebook) -> Path:
    path = tmp_path / "van.yaml"
    new_case(path, shop, vehicle="A van", complaint="It shudders")
    return path


@pytest.fixture(params=sorted(TALKS))
def talk(request: pytest.FixtureRequest) -> Talker:
    return TALKS[request.param]
