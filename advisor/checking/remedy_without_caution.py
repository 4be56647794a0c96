"""A remedy that presses, hammers, heats, welds, lifts or grinds needs a caution."""

from __future__ import annotations

import re
from collections.abc import Iterator

from advisor.rulebook import Problem, Rulebook

from .places import Spot

CODE = "remedy-without-caution"
DANGEROUS = (
    "drill", "drilling", "grind", "grinding", "hammer", "hammering", "heat", "heating",
    "jack", "jacking", "lift", "lifting", "press", "pressing", "strike", "striking",
    "weld", "welding",
)  # fmt: skip
_DONE = re.compile(rf"\b(?:{'|'.join(DANGEROUS)})\b", re.IGNORECASE)
_FORBIDDEN = re.compile(r"\b(?:do not|don't|never|without|no)\b[^.;:]*", re.IGNORECASE)


def check(rulebook: Rulebook) -> Iterator[Problem]:
    """Remedies without any caution, at their first step with one of the words above.

    Words after "never", "do not" or "without" up to the end of the sentence do not count.
    """
    for name, cause in rulebook.causes.items():
        if not cause.remedy.cautions:
            for place, step in enumerate(cause.remedy.steps):
                if found := _DONE.search(_FORBIDDEN.sub("", step)):
                    message = f'the remedy of "{name}" says "{found[0]}", but shows no caution'
                    hint = 'add "cautions: [...]" to the remedy'
                    steps = ("remedy", "steps", place)
                    yield Spot(rulebook, "causes", name, steps).problem(CODE, message, hint)
                    break
