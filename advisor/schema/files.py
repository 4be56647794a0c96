"""The schemas as text, and as files in a folder."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final

from advisor.cases import replace_file

from .kinds import KINDS
from .outputs import OUTPUTS, output_schema

_OUTPUT: Final = "-output"  # "shims" is a kind of file, "shims-output" what the verb prints
# every schema by its name: what it is of
SCHEMAS: Final[Mapping[str, str]] = MappingProxyType(
    {
        **{name: kind.meaning for name, kind in KINDS.items()},
        **{f"{verb}{_OUTPUT}": f"what advisor {verb} --json prints" for verb in OUTPUTS},
    }
)


def schema_text(name: str) -> str:
    """The JSON Schema of this name; the same text on every machine.

    That of a file is of draft-07, which editors know best; that of an output of 2020-12.
    """
    return json.dumps(_schema(name), indent=2, allow_nan=False) + "\n"


def _schema(name: str) -> dict[str, Any]:
    return KINDS[name].make() if name in KINDS else output_schema(name.removesuffix(_OUTPUT))


def schema_path(name: str) -> Path:
    """Where the schema stands in a folder: those of outputs in a folder of their own."""
    if name in KINDS:
        return Path(f"{name}.schema.json")
    return Path("output", f"{name.removesuffix(_OUTPUT)}.schema.json")


def write_schemas(folder: Path, names: Iterable[str] = tuple(SCHEMAS)) -> tuple[Path, ...]:
    """Write the schemas into the folder, which is made, each whole. Raises OSError."""
    written = []
    for name in names:
        path = folder / schema_path(name)
        path.parent.mkdir(parents=True, exist_ok=True)
        replace_file(path, schema_text(name).encode("utf-8"))
        written.append(path)
    return tuple(written)
