"""A check of the cure that drives needs the cautions of the place where it is driven."""

from __future__ import annotations

import re
from collections.abc import Iterator

from advisor.rulebook import Problem, Rulebook

from .places import Spot

CODE = "verify-without-place"
_DRIVES = re.compile(r"(?:^|[.;:] )(?:then )?(?:drive|road-test|test-drive)\b", re.IGNORECASE)


def check(rulebook: Rulebook) -> Iterator[Problem]:
    """Checks with a sentence that begins with "Drive" and no place, where there is one to name."""
    driven = [name for name, place in rulebook.places.items() if place.driving]
    for name, cause in rulebook.causes.items():
        if driven and cause.verify.place is None:
            for place, step in enumerate(cause.verify.steps):
                if _DRIVES.search(step):
                    message = f'the check of "{name}" drives the vehicle, but names no place'
                    hint = f'add "place: {driven[0]}" to it, and its cautions are shown before'
                    steps = ("verify", "steps", place)
                    yield Spot(rulebook, "causes", name, steps).problem(CODE, message, hint)
                    break
