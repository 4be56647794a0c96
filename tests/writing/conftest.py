"""Sittings save a draft after each answer; what a disk does with it is tested with the cases."""

from __future__ import annotations

import os

import pytest


@pytest.fixture(autouse=True)
def _no_waiting_for_the_disk(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "fsync", lambda _handle: None)
