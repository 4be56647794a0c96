"""Everything that can be said of a case now, as plain values: the one source of text and JSON."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import asdict, dataclass
from typing import Any

from advisor.cases import CaseFile
from advisor.engine.diagnosis import Diagnosis
from advisor.engine.explain import Trail, TrailLine
from advisor.engine.plan import Plan, TestOption, pays
from advisor.engine.values import UNKNOWN
from advisor.report.choiceviews import ChoiceView, choice_views
from advisor.report.cure import Cure, Shown, cure_of
from advisor.report.display import Display
from advisor.report.doubts import Doubts, doubts_about
from advisor.report.wording import cause_name, outcome_name, weighed_outcome
from advisor.rulebook import Rulebook
from advisor.stock import Stock

FORMAT = 1  # of the JSON form; raised when a field changes its meaning or goes
SHOWN_OPTIONS = 4
SHOWN_CAUSES = 5  # of these the evidence is written out


@dataclass(frozen=True, slots=True)
class Stop:
    """A reason to stop driving now; `certain` is false when it is too close to call."""

    finding: str
    says: str
    caution: str
    certain: bool


@dataclass(frozen=True, slots=True)
class EvidenceLine:
    """What one finding adds for (above 0) or against (below 0) a cause, in decibans."""

    finding: str
    says: str
    outcome: str
    decibans: float


@dataclass(frozen=True, slots=True)
class CauseView:
    """A ranked cause; prior and evidence add up to the posterior, in decibans."""

    id: str
    name: str
    probability: float
    prior_decibans: float
    evidence: tuple[EvidenceLine, ...]
    posterior_decibans: float


@dataclass(frozen=True, slots=True)
class PairView:
    """Two causes at once."""

    causes: tuple[str, str]
    names: tuple[str, str]
    probability: float


@dataclass(frozen=True, slots=True)
class OutcomeView:
    """What one outcome of a test would mean."""

    finding: str
    says: str
    outcome: str
    probability: float
    leading: str
    leading_probability: float


@dataclass(frozen=True, slots=True)
class TestView:
    """A test that could come next, with the cautions to heed before it."""

    __test__ = False

    id: str
    name: str
    place: str
    cautions: tuple[str, ...]
    how: str | None
    minutes: float
    saves_minutes: float
    together_with: tuple[str, ...]
    outcomes: tuple[OutcomeView, ...]


@dataclass(frozen=True, slots=True)
class MissedTest:
    """A test that would pay if its missing gauge were there."""

    id: str
    name: str
    gauges: tuple[str, ...]
    saves_minutes: float


@dataclass(frozen=True, slots=True)
class RepairView:
    """A repair in the order in which to try them; minutes include its verification."""

    cause: str
    name: str
    probability: float
    minutes: float


@dataclass(frozen=True, slots=True)
class Assessment:
    """A case as it stands. Probabilities are 0 to 1, times are minutes.

    `next_test` is None when no test pays: then repair, in the order of `repairs`. `choices` are
    the ways to go on, side by side, the advised one first. `confirmed` are the names of what the
    trouble turned out to be, empty while the case is open; once it is closed, all else is as it
    stood before.
    """

    format: int
    case: str
    vehicle: str
    complaint: str
    rulebook: str
    rulebook_version: str
    minutes_spent: float
    confirmed: tuple[str, ...]
    stop_driving: tuple[Stop, ...]
    causes: tuple[CauseView, ...]
    none_of_the_listed: float
    two_at_once: float
    pairs: tuple[PairView, ...]
    doubts: Doubts
    next_test: TestView | None
    other_tests: tuple[TestView, ...]
    missed_tests: tuple[MissedTest, ...]
    repairs: tuple[RepairView, ...]
    expected_minutes: float
    expected_minutes_without_tests: float
    choices: tuple[ChoiceView, ...]
    cure: Cure | None
    facts: tuple[Shown, ...]

    def as_data(self) -> dict[str, Any]:
        """The assessment as plain data for JSON."""
        return asdict(self)


def assess(  # noqa: PLR0913 - one call for the whole assessment
    case: CaseFile,
    rulebook: Rulebook,
    diagnosis: Diagnosis,
    *,
    places: Collection[str] | None = None,
    closed: Collection[str] = (),
    stock: Stock | None = None,
) -> Assessment:
    """Assess a case; `places` limits where the next test may be (a service advisor: the desk).

    `closed` are questions that can't be answered, such as those whose gauge is missing; `stock`
    are the shop's own rings, for a cure that wants some.
    """
    ranking = diagnosis.ranking()
    display = Display(rulebook, case.latest())
    at = case.place or next(iter(rulebook.places))
    plan = diagnosis.plan(at=at, places=places, put_off=case.put_off, closed=closed)
    choices = diagnosis.choices(plan, at=at, places=places, put_off=case.put_off, closed=closed)
    options = [_test_view(rulebook, option) for option in plan.options[:SHOWN_OPTIONS]]
    return Assessment(
        format=FORMAT,
        case=case.id,
        vehicle=case.vehicle,
        complaint=case.complaint,
        rulebook=rulebook.meta.id,
        rulebook_version=rulebook.meta.version,
        minutes_spent=case.minutes_spent,
        confirmed=confirmed_names(case, rulebook),
        stop_driving=tuple(stop_of(rulebook, diagnosis, name) for name in diagnosis.stops()),
        causes=tuple(
            cause_view(rulebook, one.probability, diagnosis.trail(one.cause))
            for one in ranking.causes
        ),
        none_of_the_listed=ranking.none_probability,
        two_at_once=ranking.two_probability,
        pairs=tuple(
            PairView(
                pair.causes,
                (cause_name(rulebook, pair.causes[0]), cause_name(rulebook, pair.causes[1])),
                pair.probability,
            )
            for pair in ranking.pairs
        ),
        doubts=doubts_about(rulebook, diagnosis, display),
        next_test=options[0] if plan.test is not None else None,
        other_tests=tuple(options[1:] if plan.test is not None else options),
        missed_tests=tuple(_missed(case, rulebook, diagnosis, closed, at)),
        repairs=_repairs(rulebook, plan),
        expected_minutes=plan.expected_minutes,
        expected_minutes_without_tests=plan.repair.expected_minutes,
        choices=choice_views(rulebook, choices),
        cure=None
        if ranking.none_leads
        else cure_of(rulebook, diagnosis, display, ranking.causes[0].cause, stock),
        facts=tuple(_facts(rulebook, diagnosis, display)),
    )


def confirmed_names(case: CaseFile, rulebook: Rulebook) -> tuple[str, ...]:
    """What the trouble turned out to be, in words; empty while the case is open."""
    if case.outcome is None:
        return ()
    return tuple(cause_name(rulebook, cause) for cause in case.outcome.causes or (None,))


def stop_of(rulebook: Rulebook, diagnosis: Diagnosis, finding: str) -> Stop:
    """A finding that makes driving unsafe, with its caution."""
    model = rulebook.findings[finding]
    caution = rulebook.cautions[model.stop_driving].text if model.stop_driving else ""
    weights = diagnosis.weights(finding)
    return Stop(finding, model.says, caution, weights is not None and weights[0] == 1.0)


def cause_view(rulebook: Rulebook, probability: float, trail: Trail) -> CauseView:
    """A cause with its evidence in words."""
    return CauseView(
        trail.cause,
        cause_name(rulebook, trail.cause),
        probability,
        trail.prior_decibans,
        tuple(_evidence_line(rulebook, line) for line in trail.lines),
        trail.posterior_decibans,
    )


def _evidence_line(rulebook: Rulebook, line: TrailLine) -> EvidenceLine:
    return EvidenceLine(
        line.finding,
        rulebook.findings[line.finding].says,
        weighed_outcome(rulebook, line.finding, line.weights),
        line.decibans,
    )


def _test_view(rulebook: Rulebook, option: TestOption) -> TestView:
    tests = [rulebook.tests[name] for name in option.tests]
    test = tests[0]
    return TestView(
        id=option.tests[0],
        name=test.name,
        place=rulebook.places[test.place].name,
        cautions=rulebook.cautions_before(option.tests),
        how=test.how,
        minutes=option.minutes,
        saves_minutes=option.saves,
        together_with=tuple(other.name for other in tests[1:]),
        outcomes=tuple(
            OutcomeView(
                outcome.finding,
                rulebook.findings[outcome.finding].says,
                outcome_name(rulebook, outcome.finding, outcome.outcome),
                outcome.probability,
                cause_name(rulebook, outcome.leading),
                outcome.leading_probability,
            )
            for outcome in option.outlook
        ),
    )


def _missed(
    case: CaseFile,
    rulebook: Rulebook,
    diagnosis: Diagnosis,
    closed: Collection[str],
    at: str,
) -> Iterable[MissedTest]:
    """What the gauges that are missing would settle."""
    if not closed:
        return
    for option in diagnosis.plan(at=at, put_off=case.put_off).options:
        test = rulebook.tests[option.tests[0]]
        gauges = rulebook.gauges_of(set(test.answers) & set(closed))
        if gauges and pays(option):
            names = tuple(rulebook.gauges[gauge].name for gauge in gauges)
            yield MissedTest(option.tests[0], test.name, names, option.saves)


def _repairs(rulebook: Rulebook, plan: Plan) -> tuple[RepairView, ...]:
    return tuple(
        RepairView(step.cause, cause_name(rulebook, step.cause), step.probability, step.minutes)
        for step in plan.repair.steps
    )


def _facts(rulebook: Rulebook, diagnosis: Diagnosis, display: Display) -> Iterable[Shown]:
    """All that is known, measured before computed, in the order of the files."""
    for fact in dict.fromkeys((*rulebook.questions, *rulebook.computed)):
        value = diagnosis.value(fact)
        if value is not UNKNOWN:
            yield Shown(fact, rulebook.name_of(fact), display.value(fact, value))
