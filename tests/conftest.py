"""What holds for all tests."""

from __future__ import annotations

from pathlib import Path

import pytest


@pytest.fixture(autouse=True)
def empty_config(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """No test may depend on the settings of whoever runs it; gives the empty folder of settings."""
    folder = tmp_path_factory.mktemp("config")
    monkeypatch.setenv("XDG_CONFIG_HOME", str(folder))
    monkeypatch.delenv("ADVISOR_SETTINGS", raising=False)
    return folder
