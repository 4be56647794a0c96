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
    """The case at `path`, also as a closed one when it has an outcome. LoadError if unreadable."""
    session = open_case(path, rulebook)
    return session.case, closed_case(session.case, session.diagnosis)


def closed_case(case: CaseFile, diagnosis: Diagnosis) -> ClosedCase | None:
    """The case as a closed one, `diagnosis` being its own; None while it is open.

    A failed repair of what was later confirmed as the whole trouble is no longer taken as
    evidence: it was the right cause, mended badly.
    """
    if case.outcome is None:
        return None
    right = frozenset((NONE,) if case.outcome.none_of_the_listed else case.outcome.causes)
    if right <= diagnosis.mended:
        for cause in right:
            diagnosis.unmend(cause)
    return ClosedCase(case, diagnosis, right)
