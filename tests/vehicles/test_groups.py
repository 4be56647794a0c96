"""Groups: what has to be answered together, and in which order."""

from __future__ import annotations

from advisor.engine.rules import AnyOf, Is, Rules
from advisor.vehicles.groups import Reading, groups_of
from tests.helpers import BENCH, DESK, finding, yes_no


def rules(questions: tuple[object, ...], findings: tuple[object, ...] = ()) -> Rules:
    return Rules(
        questions=questions,  # type: ignore[arg-type]
        computed=(),
        findings=findings,  # type: ignore[arg-type]
        causes=(),
        places=(DESK, BENCH),
        tests=(),
        none_share=0.1,
        pair_factor=0.1,
        escalation_minutes=60.0,
    )


def names(book: Rules, *alike: list[str]) -> list[tuple[str, ...]]:
    return [tuple(q.id for q in group.questions) for group in groups_of(book, alike)]


def test_questions_that_one_finding_reads_are_one_group() -> None:
    both = finding("f", when=AnyOf((Is("a", True), Is("c", True))))
    assert names(rules((yes_no("a"), yes_no("b"), yes_no("c")), (both,))) == [("a", "c"), ("b",)]


def test_finding_that_reads_a_finding_reads_its_questions() -> None:
    first = finding("first", when=Is("a", True))
    second = finding("second", when=AnyOf((Is("first", True), Is("b", True))))
    book = rules((yes_no("a"), yes_no("b")), (first, second))
    assert Reading(book).questions(["second"]) == {"a", "b"}
    assert names(book) == [("a", "b")]


def test_group_that_decides_on_asking_comes_first() -> None:
    assert names(rules((yes_no("late", ask_if=Is("early", True)), yes_no("early")))) == [
        ("early",),
        ("late",),
    ]


def test_groups_that_decide_on_each_other_are_one() -> None:
    one = finding("one", when=AnyOf((Is("a", True), Is("b", True))))
    other = finding("other", when=AnyOf((Is("c", True), Is("d", True))))
    questions = (yes_no("a"), yes_no("b", ask_if=Is("c", True)), yes_no("c"), yes_no("d"))
    crossed = (*questions[:3], yes_no("d", ask_if=Is("a", True)))
    assert names(rules(questions, (one, other))) == [("c", "d"), ("a", "b")]
    (group,) = groups_of(rules(crossed, (one, other)))
    order = [question.id for question in group.questions]
    assert order.index("c") < order.index("b")
    assert order.index("a") < order.index("d")


def test_questions_said_to_be_alike_are_one_group() -> None:
    assert names(rules((yes_no("a"), yes_no("b"))), ["a", "b"]) == [("a", "b")]
