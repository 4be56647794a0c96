"""How sure the advice is: what leads too closely, what conflicts, what would change it."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from advisor.engine.diagnosis import Diagnosis
from advisor.engine.explain import Basis, FactBasis
from advisor.engine.ranking import Ranking
from advisor.engine.rules import ByBand, Finding, Within
from advisor.engine.values import Interval, Number
from advisor.report.display import Display
from advisor.report.wording import cause_name, named, outcome_name, weighed_outcome
from advisor.rulebook import Rulebook

SHOWN_TURNS = 5
TURN_FROM = 0.02  # an outcome less likely than this is no reason to wait for it
CERTAIN_AT = 1.645  # standard uncertainties from a limit at which a comparison is 0.95 certain
LIKELY_PAIR = 0.3  # probability from which two causes at once are named first
CLOSE_RACE = 2.0  # odds between the first two below which neither is called the cause


@dataclass(frozen=True, slots=True)
class CloseCall:
    """A finding that the measurement can't settle, and what would."""

    finding: str
    says: str
    outcome: str
    reading: str
    settled_by: str


@dataclass(frozen=True, slots=True)
class Disagreement:
    """A fact whose measured and computed values don't agree."""

    fact: str
    name: str
    measured: str
    computed: str


@dataclass(frozen=True, slots=True)
class Unlikely:
    """An outcome that all the rest makes unlikely: worth a second look."""

    finding: str
    says: str
    outcome: str
    probability: float


@dataclass(frozen=True, slots=True)
class Change:
    """An outcome that alone would put another cause first."""

    finding: str
    says: str
    outcome: str
    leading: str
    probability: float
    is_known: bool


@dataclass(frozen=True, slots=True)
class Doubts:
    """All that speaks against taking the ranking as settled; `verdict` says it in a sentence."""

    verdict: str
    none_leads: bool
    close_calls: tuple[CloseCall, ...]
    disagreements: tuple[Disagreement, ...]
    second_looks: tuple[Unlikely, ...]
    would_change: tuple[Change, ...]


def doubts_about(rulebook: Rulebook, diagnosis: Diagnosis, display: Display) -> Doubts:
    """Work out the doubts about the present ranking."""
    findings = rulebook.engine.effects.findings
    ranking = diagnosis.ranking()
    return Doubts(
        _verdict(rulebook, ranking),
        ranking.none_leads,
        tuple(
            _close_call(rulebook, diagnosis, display, findings[name])
            for name in diagnosis.close_calls()
        ),
        tuple(
            Disagreement(
                conflict.fact,
                rulebook.name_of(conflict.fact),
                display.value(conflict.fact, conflict.measured),
                display.value(conflict.fact, conflict.computed),
            )
            for conflict in diagnosis.conflicts()
        ),
        tuple(
            Unlikely(
                look.finding,
                rulebook.findings[look.finding].says,
                weighed_outcome(rulebook, look.finding, diagnosis.weights(look.finding) or ()),
                look.probability,
            )
            for look in diagnosis.second_looks()
        ),
        tuple(
            Change(
                turn.finding,
                rulebook.findings[turn.finding].says,
                outcome_name(rulebook, turn.finding, turn.outcome),
                cause_name(rulebook, turn.leading),
                turn.probability,
                turn.is_known,
            )
            for turn in diagnosis.turns()
            if turn.probability >= TURN_FROM
        )[:SHOWN_TURNS],
    )


def _verdict(rulebook: Rulebook, ranking: Ranking) -> str:
    if ranking.none_leads:
        return (
            "none of the listed causes fits best: do not repair on this ranking; "
            "look outside it, or check the answers"
        )
    if ranking.pairs and ranking.pairs[0].probability >= LIKELY_PAIR:
        one, other = (cause_name(rulebook, cause) for cause in ranking.pairs[0].causes)
        return f'two causes at once are likely: "{one}" with "{other}"; prove each by itself'
    first, *others = ranking.causes
    rival = max([ranking.none_probability, *(other.probability for other in others[:1])])
    if first.probability < CLOSE_RACE * rival:
        return "no cause stands out yet: treat the first ones as open"
    if first.probability < 0.5:
        return f"{cause_name(rulebook, first.cause)} leads, but is less likely than not"
    if first.probability < 0.9:
        return f"{cause_name(rulebook, first.cause)} is likely, not proved: confirm it"
    return f"{cause_name(rulebook, first.cause)} is very likely; still prove the cure"


def _close_call(
    rulebook: Rulebook, diagnosis: Diagnosis, display: Display, finding: Finding
) -> CloseCall:
    weights = diagnosis.weights(finding.id) or ()
    basis = diagnosis.basis(finding.id)
    readings, wanted = [], []
    for fact, number, edges in _comparisons(finding, basis):
        readings.append(named(rulebook.name_of(fact), display.value(fact, number)))
        wanted.append(_settled_by(rulebook, display, fact, number, edges))
    return CloseCall(
        finding.id,
        rulebook.findings[finding.id].says,
        weighed_outcome(rulebook, finding.id, weights),
        "; ".join(readings),
        "; ".join(dict.fromkeys(wanted)),
    )


def _comparisons(
    finding: Finding, basis: Basis | FactBasis
) -> Iterable[tuple[str, Number, tuple[float, ...]]]:
    """The numbers that lie too close to a finding's limits, with those limits (SI)."""
    if isinstance(basis, FactBasis):
        if isinstance(finding.source, ByBand) and isinstance(basis.value, Number):
            yield basis.fact, basis.value, _edges(finding.source.bands)
        return
    if isinstance(basis.condition, Within) and basis.truth not in (None, 0.0, 1.0):
        fact = basis.facts[0] if basis.facts else None
        if fact is not None and isinstance(fact.value, Number):
            yield fact.fact, fact.value, _edges(basis.condition.intervals)
    for item in basis.items:
        yield from _comparisons(finding, item)


def _edges(intervals: Iterable[Interval]) -> tuple[float, ...]:
    ends = {end for interval in intervals for end in (interval.low, interval.high)}
    return tuple(sorted(end for end in ends if math.isfinite(end)))


def _settled_by(
    rulebook: Rulebook, display: Display, fact: str, number: Number, edges: tuple[float, ...]
) -> str:
    """The test whose gauge reads the number well enough; else how fine a reading has to be."""
    wanted = min(abs(number.value - edge) for edge in edges) / CERTAIN_AT
    measure = rulebook.measures.get(fact)
    if fact in rulebook.computed and measure is not None and measure.u < number.u:
        test = next(model.name for model in rulebook.tests.values() if fact in model.answers)
        finer = display.uncertainty(fact, measure.u)
        surely = "" if measure.u <= wanted else ", unless it reads as near the limit"
        return f"{test} (standard uncertainty {finer}){surely}"
    if wanted < 1e-3 * number.u:
        return "nothing: the reading lies on the limit"
    finer = display.uncertainty(fact, wanted)
    return f"a reading with a standard uncertainty of at most {finer}"
