"""The trail of one cause as plain values: the one source of its text and its JSON."""

from __future__ import annotations

import math
from dataclasses import asdict, dataclass
from typing import Any

from advisor.cases import CaseFile
from advisor.engine.diagnosis import Diagnosis
from advisor.engine.explain import Basis, FactBasis, TrailLine
from advisor.engine.rules import All, AnyOf, Condition, Is, Known, Not, OneOf
from advisor.report.display import Display
from advisor.report.standing import upset_lines
from advisor.report.wording import cause_name, named, one_line, weighed_outcome
from advisor.rulebook import Rulebook

FORMAT = 1  # of the JSON form; raised when a field changes its meaning or goes
GATES = {All: "all of these:", AnyOf: "one of these:", Not: "not this:"}


@dataclass(frozen=True, slots=True)
class FactView:
    """A fact as it entered a conclusion, with the facts that it was computed from."""

    fact: str
    name: str
    value: str
    origin: str
    inputs: tuple[FactView, ...]


@dataclass(frozen=True, slots=True)
class ConditionView:
    """A condition in words; `truth` is the probability that it is true, None while not known."""

    says: str
    truth: float | None
    items: tuple[ConditionView, ...]
    facts: tuple[FactView, ...]


@dataclass(frozen=True, slots=True)
class FindingView:
    """What one finding adds, in decibans, and either the condition or the fact that it rests on."""

    finding: str
    says: str
    outcome: str
    decibans: float
    why: str | None
    source: str
    condition: ConditionView | None
    fact: FactView | None


@dataclass(frozen=True, slots=True)
class TrailView:
    """Why a cause stands where it does: prior and findings add up to the posterior, in decibans.

    `applies` is what limits on which vehicles the cause can exist, if anything does. A cause that
    cannot exist on this one has neither prior nor posterior, and the probability 0.
    `to_lead` says in sentences what would put it first.
    """

    format: int
    case: str
    rulebook: str
    rulebook_version: str
    cause: str
    name: str
    applies: ConditionView | None
    prior_decibans: float | None
    findings: tuple[FindingView, ...]
    posterior_decibans: float | None
    probability: float
    to_lead: tuple[str, ...]

    def as_data(self) -> dict[str, Any]:
        """The trail as plain data for JSON."""
        return asdict(self)


def trail_of(case: CaseFile, rulebook: Rulebook, diagnosis: Diagnosis, cause: str) -> TrailView:
    """The trail of a cause of the rulebook, from its prior to its posterior."""
    viewer = _Viewer(rulebook, diagnosis, Display(rulebook, case.latest()))
    trail = diagnosis.trail(cause)
    possible = not math.isinf(trail.prior_decibans)
    odds = 10.0 ** (trail.posterior_decibans / 10.0)
    return TrailView(
        format=FORMAT,
        case=case.id,
        rulebook=rulebook.meta.id,
        rulebook_version=rulebook.meta.version,
        cause=cause,
        name=cause_name(rulebook, cause),
        applies=None if trail.applies is None else viewer.condition(trail.applies),
        prior_decibans=trail.prior_decibans if possible else None,
        findings=tuple(map(viewer.finding, trail.lines)),
        posterior_decibans=trail.posterior_decibans if possible else None,
        probability=odds / (1.0 + odds) if possible else 0.0,
        to_lead=tuple(upset_lines(rulebook, diagnosis, cause)) if possible else (),
    )


class _Viewer:
    def __init__(self, rulebook: Rulebook, diagnosis: Diagnosis, display: Display) -> None:
        self._rulebook = rulebook
        self._diagnosis = diagnosis
        self._display = display

    def finding(self, line: TrailLine) -> FindingView:
        model = self._rulebook.findings[line.finding]
        basis = line.basis
        return FindingView(
            finding=line.finding,
            says=model.says,
            outcome=weighed_outcome(self._rulebook, line.finding, line.weights),
            decibans=line.decibans,
            why=model.why,
            source=model.source,
            condition=self.condition(basis) if isinstance(basis, Basis) else None,
            fact=self.fact(basis) if isinstance(basis, FactBasis) else None,
        )

    def condition(self, basis: Basis) -> ConditionView:
        return ConditionView(
            self._says(basis.condition),
            basis.truth,
            tuple(map(self.condition, basis.items)),
            tuple(map(self.fact, basis.facts)),
        )

    def fact(self, basis: FactBasis) -> FactView:
        return FactView(
            basis.fact,
            self._rulebook.name_of(basis.fact),
            one_line(self._display.value(basis.fact, basis.value)),
            basis.origin,
            tuple(map(self.fact, basis.inputs)),
        )

    def _says(self, condition: Condition) -> str:
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
