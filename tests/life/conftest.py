"""The small rulebook, loaded once; an open case; a stock of rings."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from advisor.cases import CaseSession, new_case
from advisor.cases import session as session_module
from advisor.rulebook import Rulebook, load
from tests.life.book import write_book, write_stock


@pytest.fixture(scope="session")
def book(tmp_path_factory: pytest.TempPathFactory) -> Rulebook:
    return load(write_book(tmp_path_factory.mktemp("rulebook")))


@pytest.fixture
def van(tmp_path: Path, book: Rulebook, monkeypatch: pytest.MonkeyPatch) -> CaseSession:
    moment = datetime(2024, 5, 1, 9, 30, tzinfo=UTC)
    monkeypatch.setattr(session_module, "utc_now", lambda: moment)
    return new_case(tmp_path / "van.yaml", book, vehicle="A van", complaint="It shudders")


@pytest.fixture
def stock(tmp_path: Path) -> Path:
    return write_stock(tmp_path)
