"""Who sits before the program, and what that changes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from advisor.engine.rules import Rules


@dataclass(frozen=True, slots=True)
class Role:
    """`stays` is true for who cannot leave the first place of the rulebook, the desk."""

    id: str
    stays: bool = False
    asks_customer: bool = False

    def places(self, rules: Rules) -> frozenset[str]:
        """The places where this role can do tests."""
        ids = [place.id for place in rules.places]
        return frozenset(ids[:1] if self.stays else ids)


ROLES: Mapping[str, Role] = {
    role.id: role
    for role in (
        Role("service-advisor", stays=True, asks_customer=True),
        Role("technician"),
        Role("trainer"),
    )
}
