"""Where the shipped rulebook lies."""

from __future__ import annotations

from pathlib import Path


def shipped() -> Path:
    """The shipped rulebook's folder: beside the code in a wheel, else that of a source checkout."""
    package = Path(__file__).resolve().parent
    in_wheel = package / "rulebooks" / "driveline"
    return in_wheel if in_wheel.is_dir() else package.parent / "rulebooks" / "driveline"
