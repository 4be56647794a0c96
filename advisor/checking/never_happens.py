"""An outcome that cannot come about makes the finding say the same on every vehicle."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.engine.rules import ByCondition, Finding
from advisor.rulebook import Problem, Rulebook

from .places import Spot
from .possible import Possibilities

CODE = "never-happens"


def check(rulebook: Rulebook) -> Iterator[Problem]:
    """Outcomes that no answers can bring about, of findings that have others."""
    possible = Possibilities(rulebook)
    for finding in rulebook.rules.findings:
        happens = [bool(possible.outcome(finding, k)) for k in range(len(finding.outcomes))]
        if any(happens):
            for outcome, can_be in zip(finding.outcomes, happens, strict=True):
                if not can_be:
                    yield _problem(rulebook, finding, outcome)


def _problem(rulebook: Rulebook, finding: Finding, outcome: str) -> Problem:
    hint = "compare the limits with the ranges of the questions, and the parts with one another"
    if isinstance(finding.source, ByCondition):
        message = f'the finding "{finding.id}" can never be {outcome}, whatever is answered'
        return Spot(rulebook, "findings", finding.id, ("when",)).problem(CODE, message, hint)
    message = f'the finding "{finding.id}" can never be "{outcome}", whatever is answered'
    steps = ("values", outcome)
    return Spot(rulebook, "findings", finding.id, steps).problem(CODE, message, hint)
