"""What closed cases say of rates and commonness, as counts.

Only known findings are counted. A finding that was never asked, or asked and not known, says
nothing here; and one that is asked mostly when it is suspected is counted mostly then.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field

from advisor.engine.rules import Finding
from advisor.proof.naming import NONE
from advisor.rulebook import Rulebook

from .closed import MOST_CAUSES, ClosedCase
from .exact import steps

USUAL = ""  # the column of vehicles whose trouble is something else


@dataclass(slots=True)
class ColumnCount:
    """Cases in which a finding was known, and how often each outcome was so, in steps."""

    cases: int
    outcomes: list[int]

    def merge(self, other: ColumnCount) -> None:
        """Take in other cases."""
        self.cases += other.cases
        self.outcomes = [a + b for a, b in zip(self.outcomes, other.outcomes, strict=True)]


@dataclass(slots=True)
class CountTally:
    """The counts over closed cases.

    `columns` are by finding and cause (or USUAL). `confirmed` counts a confirmed cause by its
    index, and by the causes that could exist on that vehicle (a number, one bit for each).
    `listed` and `none` are the cases with one or two listed causes, and with none of them.
    """

    columns: dict[tuple[str, str], ColumnCount] = field(default_factory=dict)
    confirmed: Counter[tuple[int, int]] = field(default_factory=Counter)
    listed: int = 0
    none: int = 0
    two_causes: int = 0
    more_causes: int = 0

    def add(self, closed: ClosedCase, rulebook: Rulebook) -> None:
        """Count one case."""
        if len(closed.right) > MOST_CAUSES:
            self.more_causes += 1
            return
        self.two_causes += len(closed.right) > 1
        if closed.right == {NONE}:
            self.none += 1
        else:
            self.listed += 1
            possible = _possible(closed)
            for cause in closed.right:
                self.confirmed[rulebook.engine.effects.index_of[cause], possible] += 1
        for finding in rulebook.rules.findings:
            column = column_of(finding, closed.right)
            weights = closed.diagnosis.weights(finding.id)
            if column is not None and weights is not None:
                one = ColumnCount(1, [steps(weight) for weight in weights])
                key = (finding.id, column)
                if key in self.columns:
                    self.columns[key].merge(one)
                else:
                    self.columns[key] = one

    def merge(self, other: CountTally) -> None:
        """Take in the counts of other cases."""
        for key, column in other.columns.items():
            if key in self.columns:
                self.columns[key].merge(column)
            else:
                self.columns[key] = column
        self.confirmed.update(other.confirmed)
        self.listed += other.listed
        self.none += other.none
        self.two_causes += other.two_causes
        self.more_causes += other.more_causes


def column_of(finding: Finding, right: frozenset[str]) -> str | None:
    """Whose rate a known finding counts for; None when it cannot be told.

    With two causes at once, a finding that speaks to one of them may come from either, so it
    counts for no rate; one that speaks to neither has its usual rate.
    """
    spoken_to = [cause for cause in right if cause in finding.rates]
    if not spoken_to:
        return USUAL
    return spoken_to[0] if len(right) == 1 else None


def _possible(closed: ClosedCase) -> int:
    """The causes that could exist on the vehicle, as the bits of a number."""
    prior = closed.diagnosis.prior().marginals()
    return sum(1 << i for i, mass in enumerate(prior) if mass > 0.0)
