"""One closed case: its diagnosis, and what the trouble turned out to be."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.cases import CaseFile, replay
from advisor.cases.fitting import fit
from advisor.cases.reading import ReadCase
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


def closed_if_fitting(read: ReadCase, rulebook: Rulebook) -> ClosedCase | None:
    """The case with its diagnosis; None while it is open. LoadError when it does not fit."""
    case = fit(read, rulebook).case
    return None if case.outcome is None else closed_case(case, replay(case, rulebook))


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
