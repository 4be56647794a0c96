"""What stands in the place of an id that was retired."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Successor:
    """What stands in the place of a retired id, over all steps, and why; nothing if `id` is None.

    `retired_in` and `reason` are those of the last step where nothing does, else of the first.
    """

    id: str | None
    retired_in: str
    reason: str

    @property
    def told(self) -> str:
        """When it was retired, and why."""
        return f"was retired in {self.retired_in}: {self.reason.rstrip('.')}"


Retired = Mapping[tuple[str, str], Successor]  # section and old id


def section_of(retired: Retired, sections: Iterable[str], name: str) -> str | None:
    """The first of the sections in which the name is retired; None when it is in none."""
    return next((one for one in sections if (one, name) in retired), None)


def taken_out(gone: Successor) -> str:
    """What to do with an id that nothing took the place of."""
    return f"it {gone.told}; nothing took its place, so take it out"
