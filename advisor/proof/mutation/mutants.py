"""All small changes of a rulebook's rules that its examples ought to notice."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from advisor.engine.effects import Weights
from advisor.engine.rules import ByBand, ByCondition, Condition, Finding
from advisor.rulebook import Related, Rulebook

from ..locating import Steps, steps_to
from .conditions import changed_conditions, moved_bands, step_of
from .strengths import changed_rates

KINDS: Mapping[str, str] = MappingProxyType(
    {
        "threshold-moved": "a limit moved by 10 % or by two uncertainties of its gauge",
        "comparison-flipped": "above became below, or yes became no",
        "gate-swapped": "all became any, or any became all",
        "item-dropped": "a part of an all or any left out",
        "stop-dropped": "a finding no longer stops driving",
        "observation-dropped": "a finding counts beside others of its observation",
        "applies-if-dropped": "a cause can exist on every vehicle",
        "commonness-doubled": "a cause twice as common",
        "rate-mirrored": "a rate speaks as strongly the other way",
        "rate-removed": "a cause's rate left out",
        "rate-towards-usual": "a rate moved 3 decibans towards usual",
        "rate-away-from-usual": "a rate moved 3 decibans away from usual",
    }
)
RATE_KINDS = frozenset(kind for kind in KINDS if kind.startswith("rate-"))


@dataclass(frozen=True, slots=True)
class NewRates:
    """The finding has other rates for one cause."""

    finding: Finding
    cause: str
    rates: Weights


def with_rates(change: NewRates) -> Finding:
    """The finding with its new rates."""
    finding = change.finding
    return replace(finding, rates={**finding.rates, change.cause: change.rates})


@dataclass(frozen=True, slots=True)
class NewFinding:
    """The finding is true, or has its values, otherwise than it had."""

    finding: Finding


@dataclass(frozen=True, slots=True)
class NewApplies:
    """The cause can exist on other vehicles than before; None: on every one."""

    cause: str
    condition: Condition | None


@dataclass(frozen=True, slots=True)
class NewCommonness:
    """The cause has another commonness."""

    cause: str
    commonness: float


@dataclass(frozen=True, slots=True)
class NoStop:
    """The finding no longer stops driving."""

    finding: str


@dataclass(frozen=True, slots=True)
class NoObservation:
    """The finding counts whatever else restates its observation."""

    finding: str


Change = NewRates | NewFinding | NewApplies | NewCommonness | NoStop | NoObservation


@dataclass(frozen=True, slots=True, eq=False)
class Mutant:
    """One small change of one record; `steps` lead to the part of the record that it changes.

    Each is equal to itself only.
    """

    kind: str
    section: str
    id: str
    says: str
    steps: Steps
    change: Change

    def place(self, rulebook: Rulebook) -> Related:
        """Where the changed part stands in the files."""
        return rulebook.place_of(self.section, self.id, *self.steps)


def mutants(rulebook: Rulebook) -> Iterator[Mutant]:
    """Every mutant, in the order of the files."""
    for finding in rulebook.rules.findings:
        yield from _of_source(rulebook, finding)
        yield from _of_flags(finding)
        yield from _of_rates(finding)
    for cause in rulebook.rules.causes:
        times = NewCommonness(cause.id, 2.0 * cause.commonness)
        says = f"{cause.commonness:g} became {times.commonness:g}"
        steps = ("commonness",)
        yield Mutant("commonness-doubled", "causes", cause.id, says, steps, times)
        yield from _of_applies(rulebook, cause.id, cause.applies_if)


def _of_source(rulebook: Rulebook, finding: Finding) -> Iterator[Mutant]:
    source = finding.source
    if isinstance(source, ByCondition):
        written = rulebook.items["findings", finding.id].model.when
        for one in changed_conditions(rulebook, source.when):
            change = NewFinding(replace(finding, source=ByCondition(one.condition)))
            steps = ("when", *steps_to(written, one.part))
            yield Mutant(one.kind, "findings", finding.id, one.says, steps, change)
    elif isinstance(source, ByBand):
        step = step_of(rulebook, source.bands)
        for old, new, bands in moved_bands(source.bands, source.fact, step):
            change = NewFinding(replace(finding, source=ByBand(source.fact, bands)))
            names = zip(finding.outcomes, source.bands, strict=True)
            below = next(name for name, band in names if band.high == old)
            band = bands[finding.outcomes.index(below)]
            assert band.high == new
            says = f"{below} became {rulebook.show_intervals(source.fact, (band,))}"
            steps = ("values", below)
            yield Mutant("threshold-moved", "findings", finding.id, says, steps, change)


def _of_flags(finding: Finding) -> Iterator[Mutant]:
    if finding.stop_driving:
        change = NoStop(finding.id)
        steps = ("stop_driving",)
        yield Mutant("stop-dropped", "findings", finding.id, "no stop", steps, change)
    if finding.observation is not None:
        counts = NoObservation(finding.id)
        says = f'without "{finding.observation}"'
        steps = ("observation",)
        yield Mutant("observation-dropped", "findings", finding.id, says, steps, counts)


def _of_rates(finding: Finding) -> Iterator[Mutant]:
    is_yes_no = isinstance(finding.source, ByCondition)
    where: Steps = () if is_yes_no else ("values", finding.outcomes[0])
    for cause, rates in finding.rates.items():
        for kind, changed in changed_rates(finding.usual, rates):
            shown = 1 if is_yes_no else len(rates)
            says = f"{cause}: {_shown(rates[:shown])} became {_shown(changed[:shown])}"
            change = NewRates(finding, cause, changed)
            yield Mutant(kind, "findings", finding.id, says, (*where, "with", cause), change)


def _shown(rates: Weights) -> str:
    return ", ".join(f"{rate:.3g}" for rate in rates)


def _of_applies(rulebook: Rulebook, cause: str, applies: Condition | None) -> Iterator[Mutant]:
    if applies is not None:
        written = rulebook.items["causes", cause].model.applies_if
        for one in changed_conditions(rulebook, applies):
            steps = ("applies_if", *steps_to(written, one.part))
            change = NewApplies(cause, one.condition)
            yield Mutant(one.kind, "causes", cause, one.says, steps, change)
        always = NewApplies(cause, None)
        steps = ("applies_if",)
        yield Mutant("applies-if-dropped", "causes", cause, "on every vehicle", steps, always)
