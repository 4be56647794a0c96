"""One closed case: its diagnosis, and what the trouble turned out to be."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from advisor.cases import CaseFile, open_case
from advisor.engine.diagnosis import Diagnosis
from advisor.proof.naming import NONE
from advisor.rulebook import Rulebook

MOST_CAUSES = 2  # at once; the rulebook has no rates for more


@dataclass(frozen=True, slots=True)
class ClosedCase:
    """A case with its outcome; `right` are the confirmed causes, or none-of-the-listed alone."""

    case: CaseFile
    diagnosis: Diagnosis
    right: frozenset[str]

    @property
    def kind(self) -> str:
        """What was confirmed, in words: none of the listed, one cause, two causes, or more."""
        if self.right == {NONE}:
            return NONE
        return {1: "one-cause", 2: "two-causes"}.get(len(self.right), "more-causes")

    @property
    def left(self) -> frozenset[str]:
        """What was left to find once the failed repairs had been made."""
        return self.right - self.diagnosis.mended


def read_case(path: Path, rulebook: Rulebook) -> tuple[CaseFile, ClosedCase | None]:
    """The case at `path`, also as a closed one when it has an outcome. LoadError if unreadable.

    A failed repair of what was later confirmed as the whole trouble is not taken as evidence:
    it was the right cause, mended badly.
    """
    session = open_case(path, rulebook)
    outcome = session.case.outcome
    if outcome is None:
        return session.case, None
    right = frozenset((NONE,) if outcome.none_of_the_listed else outcome.causes)
    if right <= session.diagnosis.mended:
        for cause in right:
            session.diagnosis.unmend(cause)
    return session.case, ClosedCase(session.case, session.diagnosis, right)
