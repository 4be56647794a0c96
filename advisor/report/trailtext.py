"""The trail of one cause as an indented text: cause, finding, condition, fact, answer."""

from __future__ import annotations

import math
from collections.abc import Iterator

from advisor.cases import CaseFile
from advisor.engine.diagnosis import Diagnosis
from advisor.engine.explain import Basis, FactBasis
from advisor.engine.rules import All, AnyOf, Condition, Is, Known, Not, OneOf
from advisor.report.display import Display
from advisor.report.standing import upset_lines
from advisor.report.wording import (
    cause_name,
    decibans,
    named,
    one_line,
    percent,
    weighed_outcome,
)
from advisor.rulebook import Rulebook

INDENT = "   "
GATES = {All: "all of these:", AnyOf: "one of these:", Not: "not this:"}


def trail_text(case: CaseFile, rulebook: Rulebook, diagnosis: Diagnosis, cause: str) -> str:
    """Why a cause stands where it does: its decibans from the prior to the posterior."""
    writer = _Writer(rulebook, diagnosis, Display(rulebook, case.latest()))
    return "\n".join(writer.trail(cause))


class _Writer:
    def __init__(self, rulebook: Rulebook, diagnosis: Diagnosis, display: Display) -> None:
        self._rulebook = rulebook
        self._diagnosis = diagnosis
        self._display = display

    def trail(self, cause: str) -> Iterator[str]:
        trail = self._diagnosis.trail(cause)
        yield f"WHY {cause_name(self._rulebook, cause)}"
        if trail.applies is not None:
            yield f"{INDENT}can exist on this vehicle: {_truth(trail.applies)}"
            yield from self._basis(trail.applies, 2)
        if math.isinf(trail.prior_decibans):
            yield f"{INDENT}it cannot exist on this vehicle, so no evidence is weighed"
            return
        yield f"{INDENT}{decibans(trail.prior_decibans)}: how common it is (the author's judgement)"
        for line in trail.lines:
            model = self._rulebook.findings[line.finding]
            outcome = weighed_outcome(self._rulebook, line.finding, line.weights)
            yield f"{INDENT}{decibans(line.decibans)}: {model.says}: {outcome} [{line.finding}]"
            if model.why:
                yield f"{INDENT * 2}because: {model.why}"
            yield f"{INDENT * 2}source: {model.source}"
            if isinstance(line.basis, FactBasis):
                yield from self._fact(line.basis, 2)
            else:
                yield from self._basis(line.basis, 2)
        odds = 10.0 ** (trail.posterior_decibans / 10.0)
        yield (
            f"{INDENT}{decibans(trail.posterior_decibans)} in all: odds {odds:.2g} to 1, "
            f"probability {percent(odds / (1.0 + odds))}"
        )
        lines = upset_lines(self._rulebook, self._diagnosis, cause)
        yield from (f"{INDENT}{line}" for line in lines)

    def _basis(self, basis: Basis, depth: int) -> Iterator[str]:
        yield f"{INDENT * depth}{self._condition(basis.condition)} {_truth(basis)}"
        for item in basis.items:
            yield from self._basis(item, depth + 1)
        for fact in basis.facts:
            yield from self._fact(fact, depth + 1)

    def _condition(self, condition: Condition) -> str:
        match condition:
            case All() | AnyOf() | Not():
                return GATES[type(condition)]
            case Is(fact, value):
                return self._wanted(fact, self._option(fact, value))
            case OneOf(fact, values):
                options = (self._option(fact, value) for value in sorted(values))
                return self._wanted(fact, " or ".join(options))
            case Known(fact, known):
                return self._wanted(fact, "known" if known else "not known")
            case within:
                shown = self._rulebook.show_intervals(within.fact, within.intervals)
                return self._wanted(within.fact, shown)

    def _option(self, fact: str, value: bool | str) -> str:
        return self._rulebook.show_value(fact, value).lower()

    def _wanted(self, fact: str, wanted: str) -> str:
        return f"{named(self._rulebook.name_of(fact), wanted)}:"

    def _fact(self, basis: FactBasis, depth: int) -> Iterator[str]:
        shown = one_line(self._display.value(basis.fact, basis.value))
        line = named(self._rulebook.name_of(basis.fact), shown)
        yield f"{INDENT * depth}{line} ({basis.origin})"
        for item in basis.inputs:
            yield from self._fact(item, depth + 1)


def _truth(basis: Basis) -> str:
    if basis.truth is None:
        return "not known"
    if basis.truth in (0.0, 1.0):
        return "yes" if basis.truth else "no"
    return f"too close to call, {percent(basis.truth)}"
