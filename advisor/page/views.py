"""What the page lays out otherwise than the text: indented lines as lists, facts as tables."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import groupby

from advisor.engine.diagnosis import Diagnosis
from advisor.engine.values import UNKNOWN
from advisor.report import Assessment
from advisor.report.cure import Shown
from advisor.report.sentences import Side, evidence_sides, ranked_lines
from advisor.rulebook import NumberQuestion, Rulebook

BETWEEN = " +/- "  # between a number and its uncertainty


@dataclass(slots=True)
class Node:
    """A line of text with those that are indented under it."""

    text: str
    children: list[Node] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class NumberRow:
    """A number in the user's own unit, its standard uncertainty, and what it was read with."""

    name: str
    value: str
    uncertainty: str
    how: str


@dataclass(frozen=True, slots=True)
class Facts:
    """All that is known, each fact in one of three groups."""

    measured: tuple[NumberRow, ...]
    computed: tuple[NumberRow, ...]
    answers: tuple[Shown, ...]


@dataclass(frozen=True, slots=True)
class RankedView:
    """A line of the ranking with the evidence that is told of it; `name` None stands for none."""

    place: int | None
    name: str | None
    probability: float
    sides: tuple[Side, ...]


def outline(lines: Iterable[str]) -> list[Node]:
    """Indented lines as a tree; the marks "- " before items go, since lists bring their own."""
    top: list[Node] = []
    open_nodes: list[tuple[int, Node]] = []
    for line in lines:
        body = line.lstrip(" ")
        indent = len(line) - len(body)
        node = Node(body.removeprefix("- "))
        while open_nodes and open_nodes[-1][0] >= indent:
            open_nodes.pop()
        (open_nodes[-1][1].children if open_nodes else top).append(node)
        open_nodes.append((indent, node))
    return top


@dataclass(frozen=True, slots=True)
class Passage:
    """Lines that follow one another: items of a list, or a paragraph each."""

    is_list: bool
    lines: tuple[str, ...]


def passages(lines: Iterable[str]) -> list[Passage]:
    """Lines of which some begin with "- ", in paragraphs and lists."""
    return [
        Passage(is_list, tuple(line.removeprefix("- ") for line in group))
        for is_list, group in groupby(lines, key=lambda line: line.startswith("- "))
    ]


def ranked_views(assessment: Assessment) -> tuple[RankedView, ...]:
    """The ranking as the text has it."""
    return tuple(
        RankedView(
            line.place,
            line.cause.name if line.cause else None,
            line.probability,
            evidence_sides(line.cause) if line.cause and line.with_evidence else (),
        )
        for line in ranked_lines(assessment)
    )


def greatest_weight(ranking: Iterable[RankedView]) -> float:
    """The weight in decibans that the longest bar stands for; above 0."""
    weights = [
        abs(weight)
        for cause in ranking
        for side in cause.sides
        for weight in (*(line.decibans for line in side.lines), side.more_decibans)
    ]
    return max(weights, default=0.0) or 1.0


def facts_by_kind(assessment: Assessment, rulebook: Rulebook, diagnosis: Diagnosis) -> Facts:
    """The known facts of the assessment: measured and computed numbers, and the other answers."""
    answered = diagnosis.answers
    measured, computed, answers = [], [], []
    for fact in assessment.facts:
        if answered.get(fact.id, UNKNOWN) is UNKNOWN:
            computed.append(_number_row(fact, ""))
        elif isinstance(question := rulebook.questions[fact.id], NumberQuestion):
            gauge = rulebook.gauges[question.gauge].name if question.gauge else ""
            measured.append(_number_row(fact, gauge))
        else:
            answers.append(fact)
    return Facts(tuple(measured), tuple(computed), tuple(answers))


def _number_row(fact: Shown, how: str) -> NumberRow:
    value, _, uncertainty = fact.value.partition(BETWEEN)
    return NumberRow(fact.name, value, uncertainty, how)
