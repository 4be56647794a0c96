"""The schemas as text, and as files in a folder."""

from __future__ import annotations

import json
from collections.abc import Iterable
from pathlib import Path

from .kinds import KINDS


def schema_text(kind: str) -> str:
    """The JSON Schema (draft-07) of a kind of file; the same text on every machine."""
    return json.dumps(KINDS[kind].make(), indent=2, allow_nan=False) + "\n"


def write_schemas(folder: Path, kinds: Iterable[str] = tuple(KINDS)) -> tuple[Path, ...]:
    """Write `KIND.schema.json` for each kind into the folder, which is made. Raises OSError."""
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for kind in kinds:
        path = folder / f"{kind}.schema.json"
        path.write_text(schema_text(kind), encoding="utf-8", newline="\n")
        written.append(path)
    return tuple(written)
