"""The fixed part of the chain: every condition of a rulebook as a numbered node, worked out once.

Nodes are numbered so that a node's inputs have smaller numbers. Equal conditions share a node.
A condition that reads a finding is rewritten into what the finding itself reads.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import IntEnum
from graphlib import TopologicalSorter

from .rules import (
    All,
    AnyOf,
    ByBand,
    ByChoice,
    ByCondition,
    ComputedFact,
    Condition,
    Finding,
    Is,
    Known,
    Not,
    OneOf,
    Rules,
    Within,
)

Leaf = Is | OneOf | Within | Known


class Op(IntEnum):
    """What a node does with its inputs."""

    LEAF = 0
    ALL = 1
    ANY = 2
    NOT = 3
    KNOWN = 4


@dataclass(frozen=True, slots=True)
class Node:
    """One condition: a leaf reads the fact of `test`, the others read the nodes of `inputs`."""

    op: Op
    inputs: tuple[int, ...] = ()
    test: Leaf | None = None


class Network:
    """The conditions and computed facts of a rulebook in the order in which they are worked out.

    Raises graphlib.CycleError when computed facts or findings depend on their own conclusion.
    """

    def __init__(self, rules: Rules) -> None:
        self.findings: Mapping[str, Finding] = {finding.id: finding for finding in rules.findings}
        self.computed: tuple[ComputedFact, ...] = _in_order(rules.computed)
        self.nodes: list[Node] = []
        self._number_of: dict[Node, int] = {}
        self.finding_root: dict[str, int] = {}
        for finding_id in _findings_in_order(rules.findings):
            source = self.findings[finding_id].source
            if isinstance(source, ByCondition):
                self.finding_root[finding_id] = self.node_of(source.when)
        self.ask_root: Mapping[str, int] = {
            question.id: self.node_of(question.ask_if)
            for question in rules.questions
            if question.ask_if is not None
        }
        self.applies_root: Mapping[str, int] = {
            cause.id: self.node_of(cause.applies_if)
            for cause in rules.causes
            if cause.applies_if is not None
        }
        self._index(rules)

    def _index(self, rules: Rules) -> None:
        """Who has to be worked out again when a fact, a node or a root changes."""
        self.parents: list[list[int]] = [[] for _ in self.nodes]
        leaves: dict[str, list[int]] = {}
        for number, node in enumerate(self.nodes):
            for child in node.inputs:
                self.parents[child].append(number)
            if node.test is not None:
                leaves.setdefault(node.test.fact, []).append(number)
        self.leaves_of: Mapping[str, list[int]] = leaves
        users: dict[str, list[int]] = {}
        for place, computed in enumerate(self.computed):
            for fact in set(computed.inputs.values()):
                users.setdefault(fact, []).append(place)
        self.computed_from: Mapping[str, list[int]] = users
        by_fact: dict[str, list[str]] = {}
        for finding in rules.findings:
            if isinstance(finding.source, ByChoice | ByBand):
                by_fact.setdefault(finding.source.fact, []).append(finding.id)
        self.findings_by_fact: Mapping[str, list[str]] = by_fact
        by_root: dict[int, list[str]] = {}
        for finding_id, root in self.finding_root.items():
            by_root.setdefault(root, []).append(finding_id)
        self.findings_by_root: Mapping[int, list[str]] = by_root

    def node_of(self, condition: Condition) -> int:
        """The number of the node for a condition; adds the nodes that are missing."""
        match condition:
            case All(items) | AnyOf(items):
                op = Op.ALL if isinstance(condition, All) else Op.ANY
                return self._add(Node(op, tuple(self.node_of(item) for item in items)))
            case Not(item):
                return self._add(Node(Op.NOT, (self.node_of(item),)))
            case Known(fact, known) if fact in self.findings:
                inner = self._add(Node(Op.KNOWN, (self._anything(self.findings[fact]),)))
                return inner if known else self._add(Node(Op.NOT, (inner,)))
            case Is(fact, value) if fact in self.findings:
                return self._outcome(self.findings[fact], (value,))
            case OneOf(fact, values) if fact in self.findings:
                return self._outcome(self.findings[fact], values)
            case _:
                return self._add(Node(Op.LEAF, test=condition))

    def _add(self, node: Node) -> int:
        number = self._number_of.setdefault(node, len(self.nodes))
        if number == len(self.nodes):
            self.nodes.append(node)
        return number

    def _outcome(self, finding: Finding, values: Iterable[bool | str]) -> int:
        """The node for "the finding has one of these outcomes"; of a yes/no finding, just one."""
        source = finding.source
        if isinstance(source, ByCondition):
            (value,) = values
            root = self.finding_root[finding.id]
            return root if value else self._add(Node(Op.NOT, (root,)))
        wanted = {finding.outcomes.index(str(value)) for value in values}
        if isinstance(source, ByChoice):
            options = frozenset(o for o, index in source.outcome_of.items() if index in wanted)
            return self.node_of(OneOf(source.fact, options))
        bands = tuple(source.bands[index] for index in sorted(wanted))
        return self.node_of(Within(source.fact, bands))

    def _anything(self, finding: Finding) -> int:
        """A node that is known exactly when the finding is."""
        source = finding.source
        if isinstance(source, ByCondition):
            return self.finding_root[finding.id]
        if isinstance(source, ByChoice):
            return self.node_of(OneOf(source.fact, frozenset(source.outcome_of)))
        return self.node_of(Within(source.fact, source.bands))


def facts_read(condition: Condition) -> frozenset[str]:
    """The ids of all facts and findings that a condition names."""
    match condition:
        case All(items) | AnyOf(items):
            return frozenset().union(*map(facts_read, items))
        case Not(item):
            return facts_read(item)
        case _:
            return frozenset((condition.fact,))


def facts_of(finding: Finding) -> frozenset[str]:
    """The ids of the facts and findings that a finding reads directly."""
    source = finding.source
    return facts_read(source.when) if isinstance(source, ByCondition) else frozenset((source.fact,))


def _in_order(computed: tuple[ComputedFact, ...]) -> tuple[ComputedFact, ...]:
    by_id = {fact.id: fact for fact in computed}
    sorter = TopologicalSorter(
        {
            fact.id: [name for name in sorted(fact.inputs.values()) if name in by_id]
            for fact in computed
        }
    )
    return tuple(by_id[name] for name in sorter.static_order())


def _findings_in_order(findings: tuple[Finding, ...]) -> tuple[str, ...]:
    ids = {finding.id for finding in findings}
    return tuple(
        TopologicalSorter(
            {finding.id: sorted(facts_of(finding) & ids) for finding in findings}
        ).static_order()
    )
