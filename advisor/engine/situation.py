"""What is known of a case when the next step is weighed."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass

from .belief import Belief
from .evidence import Evidence
from .ways import Way


@dataclass(frozen=True, slots=True)
class Situation:
    """What the planner needs to know of a case."""

    belief: Belief  # what is left to be mended
    at_first: Belief  # what was wrong before any repair, mended causes included
    mended: Collection[int]
    evidence: Evidence
    weights: Callable[[str], Sequence[float]]  # outcome weights of a known finding
    unknown: Collection[str]  # findings without an outcome
    unclear: Collection[str]  # findings too close to call, which a better reading may settle
    missing: Callable[[Way], Way | None]  # what a way still lacks; None when it is closed
    unread: Callable[[Way], Way | None]  # the same, also for what is only computed so far
    open_questions: Collection[str]  # not answered, and asked now or perhaps later
    askable: Collection[str]  # not answered, and asked now
    at: str
    places: Collection[str]
    put_off: Collection[str]
