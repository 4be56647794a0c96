"""The trail of a value that came out otherwise than expected, in lines to print."""

from __future__ import annotations

import math
from collections.abc import Iterator

from advisor.engine.diagnosis import Diagnosis
from advisor.engine.explain import Basis, FactBasis
from advisor.rulebook import Rulebook

from .wording import condition_text, decibans, outcome_of, share

MOST_LINES = 6  # of a cause's trail; what is left is summed up in one of them
INDENT = "   "


def cause_trail(rulebook: Rulebook, diagnosis: Diagnosis, cause: str) -> Iterator[str]:
    """What speaks for and against a cause: its prior, its weightiest findings, the rest."""
    trail = diagnosis.trail(cause)
    if math.isinf(trail.prior_decibans):
        yield f"{cause}: cannot exist on this vehicle, by its applies_if"
        return
    odds = 10.0 ** (trail.posterior_decibans / 10.0)
    total = decibans(trail.posterior_decibans)
    yield f"{cause}: {total}, probability {share(odds / (1.0 + odds))}"
    yield f"{INDENT}{decibans(trail.prior_decibans):>9}  commonness"
    findings = rulebook.engine.effects.findings
    shown = MOST_LINES if len(trail.lines) <= MOST_LINES else MOST_LINES - 1
    for line in trail.lines[:shown]:
        outcome = outcome_of(findings[line.finding].outcomes, line.weights)
        yield f"{INDENT}{decibans(line.decibans):>9}  {line.finding}: {outcome}"
    if rest := trail.lines[shown:]:
        weight = decibans(sum(line.decibans for line in rest))
        yield f"{INDENT}{weight:>9}  the other {len(rest)} findings together"


def finding_trail(rulebook: Rulebook, diagnosis: Diagnosis, finding: str) -> Iterator[str]:
    """What a finding rests on, down to the answers."""
    basis = diagnosis.basis(finding)
    if isinstance(basis, Basis):
        yield from _basis(rulebook, diagnosis, basis, 0)
    else:
        yield from _fact(rulebook, diagnosis, basis, 0)


def _basis(rulebook: Rulebook, diagnosis: Diagnosis, basis: Basis, depth: int) -> Iterator[str]:
    text = condition_text(rulebook, basis.condition)
    yield f"{INDENT * depth}{text}  -> {_truth(basis.truth)}"
    for item in basis.items:
        yield from _basis(rulebook, diagnosis, item, depth + 1)
    for fact in basis.facts:
        yield from _fact(rulebook, diagnosis, fact, depth + 1)


def _fact(rulebook: Rulebook, diagnosis: Diagnosis, basis: FactBasis, depth: int) -> Iterator[str]:
    reason = diagnosis.reason_unknown(basis.fact)
    why = f": {reason}" if basis.origin == "unknown" and reason else ""
    shown = rulebook.show_value(basis.fact, basis.value)
    yield f"{INDENT * depth}{basis.fact} is {shown} ({basis.origin}{why})"
    for item in basis.inputs:
        yield from _fact(rulebook, diagnosis, item, depth + 1)


def _truth(truth: float | None) -> str:
    if truth is None:
        return "unknown"
    if truth in (0.0, 1.0):
        return "true" if truth else "false"
    return f"too close, {share(truth)}"
