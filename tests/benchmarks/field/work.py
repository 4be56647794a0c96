"""The work: made-up rules, vehicles with some questions answered, and what must be derived.

A rule is a yes/no finding over answers and over findings one layer deeper, five layers in all.
Findings are true, false or unknown (Kleene); those that are not unknown are what is derived.
"""

from __future__ import annotations

import random
from collections.abc import Mapping

from advisor.engine.rules import (
    All,
    AnyOf,
    ByCondition,
    Condition,
    Finding,
    Is,
    Not,
    Question,
    Rules,
    Within,
)
from advisor.engine.values import Interval, Kind, Number, Value
from tests import helpers

DEPTH = 5
OPTIONS = ("p", "q", "r", "s")
QUESTIONS_PER_RULE = 0.5
Derived = dict[str, bool]


def rulebook(count: int, seed: int = 1) -> Rules:
    """A rulebook of `count` findings over half as many questions, the same for the same seed."""
    source = random.Random(f"{count} {seed}")
    questions = [_question(source, f"q{place}") for place in range(int(count * QUESTIONS_PER_RULE))]
    layers: list[list[str]] = [[] for _ in range(DEPTH)]
    findings: list[Finding] = []
    for place in range(count):
        layer = place * DEPTH // count
        deeper = layers[layer - 1] if layer else []
        name = f"f{place}"
        findings.append(
            helpers.finding(name, {"cause": 0.9}, when=_condition(source, questions, deeper))
        )
        layers[layer].append(name)
    return helpers.rules(
        questions=questions,
        findings=findings,
        causes=[helpers.cause("cause")],
        tests=[helpers.work(f"test-{q.id}", [q.id], place="desk") for q in questions],
    )


def _question(source: random.Random, name: str) -> Question:
    kind = source.choice((Kind.YES_NO, Kind.YES_NO, Kind.CHOICE, Kind.NUMBER))
    return Question(name, kind, OPTIONS if kind is Kind.CHOICE else ())


def _condition(source: random.Random, questions: list[Question], deeper: list[str]) -> Condition:
    items: list[Condition] = [_leaf(source, source.choice(questions))]
    for _ in range(source.choice((0, 1, 1, 2))):
        items.append(_leaf(source, source.choice(questions)))
    if deeper:
        items.append(Is(source.choice(deeper), True))
    items = [Not(item) if source.random() < 0.25 else item for item in dict.fromkeys(items)]
    if len(items) == 1:
        return items[0]
    return All(tuple(items)) if source.random() < 0.5 else AnyOf(tuple(items))


def _leaf(source: random.Random, question: Question) -> Condition:
    if question.kind is Kind.YES_NO:
        return Is(question.id, True)
    if question.kind is Kind.CHOICE:
        return Is(question.id, source.choice(OPTIONS))
    return Within(question.id, (Interval(float(source.randrange(1, 10)), low_closed=False),))


def answers(book: Rules, seed: int, share: float) -> dict[str, Value]:
    """The answers of one vehicle: this share of the questions, chosen and answered by chance."""
    source = random.Random(f"answers {seed}")
    asked = source.sample(book.questions, max(1, round(share * len(book.questions))))
    return {question.id: answer(source, question) for question in asked}


def answer(source: random.Random, question: Question) -> Value:
    """One answer by chance."""
    if question.kind is Kind.YES_NO:
        return source.random() < 0.5
    if question.kind is Kind.CHOICE:
        return source.choice(OPTIONS)
    return Number(source.randrange(0, 100) / 10.0)


def expected(book: Rules, known: Mapping[str, Value]) -> Derived:
    """What is derived from these answers, each finding worked out by itself, plainly."""
    derived: Derived = {}
    for finding in book.findings:  # one layer after the other
        assert isinstance(finding.source, ByCondition)
        truth = _truth(finding.source.when, known, derived)
        if truth is not None:
            derived[finding.id] = truth
    return derived


def _truth(condition: Condition, known: Mapping[str, Value], derived: Derived) -> bool | None:
    match condition:
        case All(items):
            parts = [_truth(item, known, derived) for item in items]
            return False if False in parts else None if None in parts else True
        case AnyOf(items):
            parts = [_truth(item, known, derived) for item in items]
            return True if True in parts else None if None in parts else False
        case Not(item):
            inner = _truth(item, known, derived)
            return None if inner is None else not inner
        case Is(fact, value):
            return known[fact] == value if fact in known else derived.get(fact)
        case Within(fact, (interval,)):
            number = known.get(fact)
            return number.value > interval.low if isinstance(number, Number) else None
        case _:
            raise TypeError(condition)
