"""A place where the vehicle is driven needs a caution before going there."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.rulebook import Problem, Rulebook

from .places import Spot

CODE = "drive-without-caution"


def check(rulebook: Rulebook) -> Iterator[Problem]:
    """Places with `driving: true` and no caution."""
    for name, place in rulebook.places.items():
        if place.driving and not place.cautions:
            message = f'the vehicle is driven at the place "{name}", but no caution is shown before'
            hint = 'add "cautions: [...]" with what to check before driving'
            yield Spot(rulebook, "places", name).problem(CODE, message, hint)
