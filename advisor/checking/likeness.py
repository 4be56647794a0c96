"""How far apart the findings can drive two causes, in decibans."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from advisor.engine.rules import Cause
from advisor.rulebook import Rulebook

from .weights import weights

ALIKE = 1e-6  # decibans; rates written as "1 in 3" and 0.3333333 differ by less
A_DECIBAN = 1.0  # about the smallest change of belief that people notice: I. J. Good, 1985

Profile = dict[tuple[str, int], float]  # finding and outcome -> weight, where there is one


def like_causes(rulebook: Rulebook) -> Iterator[tuple[str, str, float]]:
    """Pairs of causes less than a deciban apart in every finding, with the largest difference.

    Causes that no finding speaks of are left out, and so are pairs that apply to different
    vehicles, since that tells them apart.
    """
    profiles = {cause.id: _profile(rulebook, cause) for cause in rulebook.rules.causes}
    for first, second in combinations(rulebook.rules.causes, 2):
        if first.applies_if == second.applies_if:
            apart = _apart(profiles[first.id], profiles[second.id])
            if apart < A_DECIBAN and profiles[first.id]:
                yield first.id, second.id, apart


def _profile(rulebook: Rulebook, cause: Cause) -> Profile:
    return {
        (finding.id, outcome): weight
        for finding in rulebook.rules.findings
        for outcome, weight in enumerate(weights(finding, cause.id))
        if weight != 0.0
    }


def _apart(first: Profile, second: Profile) -> float:
    """The largest difference; beyond a deciban it is not worked out to the end."""
    largest = 0.0
    for key in first.keys() | second.keys():
        largest = max(largest, abs(first.get(key, 0.0) - second.get(key, 0.0)))
        if largest >= A_DECIBAN:
            break
    return largest
