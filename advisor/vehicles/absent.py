"""Questions that are about nothing on a vehicle: all that they tell of cannot exist there."""

from __future__ import annotations

from collections.abc import Collection

from advisor.rulebook import Rulebook

from .groups import Reading


class Purposes:
    """Which causes each question of a rulebook tells of, by its findings or for their cure."""

    def __init__(self, rulebook: Rulebook) -> None:
        reading = Reading(rulebook.rules)
        self._causes_of: dict[str, set[str]] = {}
        for finding in rulebook.rules.findings:
            for question in reading.questions((finding.id,)):
                self._causes_of.setdefault(question, set()).update(finding.rates)
        for cause in rulebook.causes:
            for question in reading.questions(rulebook.facts_of_cure(cause)):
                self._causes_of.setdefault(question, set()).add(cause)

    def without(self, impossible: Collection[str]) -> frozenset[str]:
        """The questions that tell of causes, but of none beside these."""
        return frozenset(
            question
            for question, causes in self._causes_of.items()
            if causes and causes.issubset(impossible)
        )
