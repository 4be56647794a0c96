"""The customer's own data: apart from the case file, readable by its owner alone, and optional."""

from __future__ import annotations

import contextlib
from pathlib import Path
from typing import Final

from pydantic import Field

from advisor.cases import record_text, write_whole
from advisor.cases.records import Model, Words
from advisor.cases.store import remove_leftovers
from advisor.rulebook import read_record

FORMAT: Final = 1
FOLDER: Final = "private"
FIELDS: Final = {
    "customer": "the customer's name",
    "phone": "a telephone number",
    "plate": "the number plate",
    "vehicle_number": "the number stamped into the vehicle",
}


class Private(Model):
    """The whole file `private/<id of the case>.yaml` beside a case."""

    format: int = Field(description="number of the format that the program must understand: 1")
    customer: Words | None = Field(default=None, description="the customer's name")
    phone: Words | None = Field(default=None, description="a telephone number")
    plate: Words | None = Field(default=None, description="the number plate")
    vehicle_number: Words | None = Field(
        default=None, description="the number stamped into the vehicle"
    )

    def as_data(self) -> dict[str, str]:
        """What is known, by field."""
        return {name: value for name in FIELDS if (value := getattr(self, name)) is not None}


def private_path(case: Path) -> Path:
    """Where the private data of the case at this path lie."""
    return case.parent / FOLDER / case.name


def read_private(case: Path) -> Private | None:
    """The private data of the case at this path, or None. Raises LoadError."""
    path = private_path(case)
    if not path.exists():
        return None
    return read_record(path, Private, "the private data", FORMAT)[1]


def keep_private(case: Path, **fields: str) -> None:
    """Add to the private data of a case; the file and its folder are for their owner alone.

    Raises WriteError when the system refuses, LoadError when the file can't be understood.
    """
    old = read_private(case) or Private(format=FORMAT)
    text = record_text(old.model_copy(update=fields))
    path = private_path(case)
    with contextlib.suppress(OSError):
        path.parent.mkdir(mode=0o700, exist_ok=True)
    remove_leftovers(path)  # under the lock of the case; they hold what a customer said
    write_whole(path, text.encode("utf-8"), mode=0o600)
