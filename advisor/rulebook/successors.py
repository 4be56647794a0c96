"""What stands in the place of an id that was retired."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Successor:
    """What stands in the place of a retired id, over all steps, and why."""

    id: str
    retired_in: str
    reason: str


Retired = Mapping[tuple[str, str], Successor]  # section and old id


def section_of(retired: Retired, sections: Iterable[str], name: str) -> str | None:
    """The first of the sections in which the name is retired; None when it is in none."""
    return next((one for one in sections if (one, name) in retired), None)
