"""Small random rulebooks, with what each test settles told beside them. A seed gives one book."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations
from random import Random
from typing import Final

from advisor.engine import rules as engine_rules
from advisor.engine.rules import All, Cause, ComputedFact, Finding, Is, Place, Question, Rules
from advisor.engine.values import Kind, Value
from tests import helpers

OPTIONS: Final = ("p", "q", "r")
USUAL_SIZES: Final = {"causes": (2, 3, 3, 4, 4, 5), "tests": (1, 2, 3, 3, 4)}
LARGE_SIZES: Final = {"causes": (2, 3, 4, 5, 6), "tests": (2, 3, 4, 5, 6)}


@dataclass(frozen=True)
class Reading:
    """How a finding is read: its questions, and the sets of tests that settle it.

    With `shared`, its two questions settle it only together; otherwise each alone does.
    """

    finding: str
    questions: Mapping[str, str]  # question -> its test
    shared: bool
    yes_no: bool

    @property
    def ways(self) -> tuple[frozenset[str], ...]:
        """The alternative sets of tests that settle the finding."""
        tests = self.questions.values()
        return (frozenset(tests),) if self.shared else tuple(frozenset((test,)) for test in tests)

    def answers(self, done: frozenset[str], outcome: int | None) -> dict[str, Value]:
        """Answers, once these tests are done, that give the outcome (None: not settled yet)."""
        asked = [question for question, test in self.questions.items() if test in done]
        open_value, value = self._value(0), self._value(outcome or 0)
        if not self.shared:
            return dict.fromkeys(asked, value)
        return {question: value if question == asked[-1] else open_value for question in asked}

    def _value(self, outcome: int) -> Value:
        return outcome == 0 if self.yes_no else OPTIONS[outcome]


@dataclass(frozen=True)
class SmallBook:
    """A random rulebook and how each of its findings is read."""

    rules: Rules
    readings: Mapping[str, Reading]


def small_book(seed: int, sizes: Mapping[str, tuple[int, ...]] = USUAL_SIZES) -> SmallBook:
    """A rulebook with a few causes, tests and places; minutes and rates as in a workshop."""
    rng = Random(seed)
    causes = _causes(rng, rng.choice(sizes["causes"]))
    places = _places(rng)
    tests = [f"test-{place}" for place in range(rng.choice(sizes["tests"]))]
    readings = _readings(rng, tests)
    questions: list[Question] = []
    computed: list[ComputedFact] = []
    findings: list[Finding] = []
    for reading in readings:
        _add_reading(reading, questions, computed)
        findings.append(_finding(rng, reading, [cause.id for cause in causes]))
    book = helpers.rules(
        questions=questions,
        computed=computed,
        findings=findings,
        causes=causes,
        places=places,
        tests=[_test(rng, name, places, readings) for name in tests],
        none_share=rng.uniform(0.02, 0.15),
        pair_factor=rng.choice((0.0, 0.1, 0.2, 0.3)),
        escalation_minutes=rng.choice((240.0, 480.0, 720.0, 960.0)),
    )
    return SmallBook(book, {reading.finding: reading for reading in readings})


def _causes(rng: Random, count: int) -> list[Cause]:
    return [
        helpers.cause(
            f"cause-{place}",
            commonness=rng.uniform(0.5, 4.0),
            repair_minutes=rng.choice((20.0, 30.0, 45.0, 60.0, 90.0, 150.0, 240.0)),
            verify_minutes=rng.choice((10.0, 20.0)),
        )
        for place in range(count)
    ]


def _places(rng: Random) -> list[Place]:
    others = ("road", "lift")[: rng.randint(1, 2)]
    ways = (0.0, 5.0, 10.0, 15.0, 35.0)
    return [helpers.DESK, *(Place(name, rng.choice(ways)) for name in others)]


def _test(
    rng: Random, name: str, places: list[Place], readings: list[Reading]
) -> engine_rules.Test:
    minutes = rng.choice((0.5, 1.0, 2.0, 5.0, 10.0, 20.0))
    asked = [q for reading in readings for q, test in reading.questions.items() if test == name]
    return helpers.work(name, asked, place=rng.choice(places).id, minutes=minutes)


def _readings(rng: Random, tests: list[str]) -> list[Reading]:
    """A finding on each test alone, sometimes one more, and some on two tests."""
    on = [(test,) for test in tests for _ in range(rng.choice((1, 1, 1, 2)))]
    pairs: list[tuple[str, ...]] = [pair for pair in combinations(tests, 2) if rng.random() < 0.15]
    made = []
    for place, names in enumerate([*on, *pairs]):
        questions = {f"q-{place}-{k}": test for k, test in enumerate(names)}
        yes_no = rng.random() < 0.7
        shared = len(names) > 1 and rng.random() < 0.5
        made.append(Reading(f"finding-{place}", questions, shared, yes_no))
    return made


def _add_reading(reading: Reading, questions: list[Question], computed: list[ComputedFact]) -> None:
    """Questions of a finding; where either of two will do, the first is also computed."""
    kind = Kind.YES_NO if reading.yes_no else Kind.CHOICE
    options = () if reading.yes_no else OPTIONS
    questions.extend(Question(name, kind, options) for name in reading.questions)
    names = tuple(reading.questions)
    if len(names) > 1 and not reading.shared:
        computed.append(ComputedFact(names[0], kind, {"other": names[1]}, lambda v: v["other"]))
    elif len(names) > 1 and not reading.yes_no:
        inputs = dict(zip(("first", "second"), names, strict=True))
        computed.append(ComputedFact(_joined(reading), kind, inputs, _both_options))


def _joined(reading: Reading) -> str:
    return f"{reading.finding}-fact"


def _both_options(values: Mapping[str, Value]) -> Value:
    return OPTIONS[sum(OPTIONS.index(str(value)) for value in values.values()) % len(OPTIONS)]


def _finding(rng: Random, reading: Reading, causes: list[str]) -> Finding:
    speaks = [name for name in causes if rng.random() < 0.45] or [rng.choice(causes)]
    names = tuple(reading.questions)
    if reading.yes_no:
        rates = {}
        for name in speaks:
            often, seldom = rng.uniform(0.6, 0.99), rng.uniform(0.01, 0.1)
            rates[name] = often if rng.random() < 0.7 else seldom
        wanted = names if reading.shared else names[:1]
        return helpers.finding(
            reading.finding,
            rates,
            usual=rng.uniform(0.02, 0.25),
            when=All(tuple(Is(question, True) for question in wanted)),
        )
    fact = _joined(reading) if reading.shared else names[0]
    usual = dict(zip(OPTIONS, _shares(rng, None), strict=True))
    by_cause = {name: _shares(rng, rng.randrange(len(OPTIONS))) for name in speaks}
    return helpers.choice_finding(reading.finding, fact, usual, by_cause)


def _shares(rng: Random, favoured: int | None) -> tuple[float, ...]:
    weights = [rng.uniform(0.1, 1.0) for _ in OPTIONS]
    if favoured is not None:
        weights[favoured] += rng.uniform(2.0, 12.0)
    whole = sum(weights)
    return tuple(weight / whole for weight in weights)
