"""Small builders for engine rules, with defaults that make sense.

Ids: a yes/no finding "f" reads the question "q-f" unless it is told otherwise.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from itertools import pairwise

from advisor.engine import rules as engine_rules
from advisor.engine.chain import Chain
from advisor.engine.diagnosis import Diagnosis
from advisor.engine.network import Network
from advisor.engine.rules import (
    ByBand,
    ByChoice,
    ByCondition,
    Cause,
    ComputedFact,
    Condition,
    Finding,
    Is,
    Place,
    Question,
    Rules,
)
from advisor.engine.values import Interval, Kind, Number, Value

DESK = Place("desk", 0.0)
BENCH = Place("bench", 10.0)


def yes_no(question: str, ask_if: Condition | None = None) -> Question:
    """A yes/no question."""
    return Question(question, Kind.YES_NO, ask_if=ask_if)


def number(question: str, ask_if: Condition | None = None) -> Question:
    """A question for a number."""
    return Question(question, Kind.NUMBER, ask_if=ask_if)


def choice(question: str, *options: str, ask_if: Condition | None = None) -> Question:
    """A question with one choice of several options."""
    return Question(question, Kind.CHOICE, options, ask_if)


def choices(question: str, *options: str) -> Question:
    """A question where several options may be chosen."""
    return Question(question, Kind.CHOICES, options)


def finding(
    name: str,
    rates: Mapping[str, float] | None = None,
    *,
    usual: float = 0.1,
    when: Condition | None = None,
    observation: str | None = None,
    stop_driving: bool = False,
) -> Finding:
    """A yes/no finding; `usual` and `rates` are the rates of "true"."""
    return Finding(
        name,
        ("true", "false"),
        ByCondition(Is(f"q-{name}", True) if when is None else when),
        (usual, 1.0 - usual),
        {cause: (rate, 1.0 - rate) for cause, rate in (rates or {}).items()},
        observation,
        stop_driving,
    )


def choice_finding(
    name: str,
    fact: str,
    usual: Mapping[str, float],
    rates: Mapping[str, Sequence[float]],
    *,
    observation: str | None = None,
) -> Finding:
    """A finding with an outcome for each option of a choice, in the order of `usual`."""
    return Finding(
        name,
        tuple(usual),
        ByChoice(fact, {option: place for place, option in enumerate(usual)}),
        tuple(usual.values()),
        {cause: tuple(column) for cause, column in rates.items()},
        observation,
    )


def band_finding(
    name: str,
    fact: str,
    edges: Sequence[float],
    usual: Sequence[float],
    rates: Mapping[str, Sequence[float]],
    *,
    observation: str | None = None,
) -> Finding:
    """A finding with outcomes "band-0", "band-1", ...: bands of a number between the edges."""
    return Finding(
        name,
        tuple(f"band-{place}" for place in range(len(edges) + 1)),
        ByBand(fact, bands_between(edges)),
        tuple(usual),
        {cause: tuple(column) for cause, column in rates.items()},
        observation,
    )


def bands_between(edges: Sequence[float]) -> tuple[Interval, ...]:
    """Bands that fill the whole line; an edge belongs to the band above it."""
    ends = [float("-inf"), *edges, float("inf")]
    return tuple(Interval(low, high, low_closed=True) for low, high in pairwise(ends))


def computed(
    name: str,
    inputs: Mapping[str, str],
    compute: Callable[[Mapping[str, Value]], Value],
    *,
    optional: Iterable[str] = (),
    kind: Kind = Kind.NUMBER,
) -> ComputedFact:
    """A computed fact; `inputs` maps parameters to facts."""
    return ComputedFact(name, kind, inputs, compute, frozenset(optional))


def total(inputs: Mapping[str, Value]) -> Value:
    """The sum of all known inputs; uncertainties add up as squares."""
    values = [value for value in inputs.values() if isinstance(value, Number)]
    return Number(sum(value.value for value in values), sum(value.u**2 for value in values) ** 0.5)


def cause(
    name: str,
    *,
    commonness: float = 1.0,
    repair_minutes: float = 45.0,
    verify_minutes: float = 15.0,
    applies_if: Condition | None = None,
) -> Cause:
    """A cause whose repair and check take an hour."""
    return Cause(name, commonness, repair_minutes, verify_minutes, applies_if)


def work(
    name: str, questions: Sequence[str], *, place: str = "desk", minutes: float = 1.0
) -> engine_rules.Test:
    """A test that answers the questions."""
    return engine_rules.Test(name, place, minutes, tuple(questions))


def rules(
    *,
    questions: Sequence[Question] | None = None,
    computed: Sequence[ComputedFact] = (),
    findings: Sequence[Finding] = (),
    causes: Sequence[Cause | str] = ("a", "b"),
    places: Sequence[Place] = (DESK, BENCH),
    tests: Sequence[engine_rules.Test] | None = None,
    none_share: float = 0.1,
    pair_factor: float = 0.1,
    escalation_minutes: float = 240.0,
) -> Rules:
    """A rulebook. Without `questions`, each finding has its own yes/no question; without
    `tests`, each question is a test of one minute at the desk."""
    if questions is None:
        questions = [yes_no(f"q-{item.id}") for item in findings]
    if tests is None:
        tests = [work(f"test-{item.id}", [item.id]) for item in questions]
    return Rules(
        tuple(questions),
        tuple(computed),
        tuple(findings),
        tuple(cause(item) if isinstance(item, str) else item for item in causes),
        tuple(places),
        tuple(tests),
        none_share,
        pair_factor,
        escalation_minutes,
    )


def chain_of(book: Rules, answers: Mapping[str, Value] | None = None) -> Chain:
    """A chain with answers taken in the order given."""
    chain = Chain(book, Network(book))
    for question, value in (answers or {}).items():
        chain.answer(question, value)
    return chain


def diagnosis(book: Rules, answers: Mapping[str, Value] | None = None) -> Diagnosis:
    """A diagnosis with answers taken in the order given."""
    made = Diagnosis(book)
    for question, value in (answers or {}).items():
        made.answer(question, value)
    return made
