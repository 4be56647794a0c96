"""The fixed part of the chain: every condition of a rulebook as a numbered node, worked out once.

There are leaves, which read a fact, and gates that are true when all their inputs are. A
reference to a node is its number, or the complement of it (~number) for its negation; so `any`
is the negation of a gate over negated inputs (De Morgan), and equal conditions share a node
however they are written. Nodes are numbered so that a gate's inputs have smaller numbers.
A condition that reads a finding is rewritten into what the finding itself reads.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import IntEnum
from graphlib import TopologicalSorter

from .leaves import Leaf, TruthOf, truth_by_value
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


class Reads(IntEnum):
    """How a gate reads an input: as it is, negated, or whether it is known."""

    PLAIN = 0
    NEGATED = 1
    KNOWN = 2


@dataclass(frozen=True, slots=True)
class Node:
    """One condition: a leaf has a `test` on a fact, a gate has `inputs` with how each is read."""

    inputs: tuple[tuple[int, Reads], ...] = ()
    test: Leaf | None = None


def number_of(reference: int) -> int:
    """The number of the node that a reference is to, negated or not."""
    return reference if reference >= 0 else ~reference


class Network:
    """The conditions and computed facts of a rulebook in the order in which they are worked out.

    Raises graphlib.CycleError when computed facts or findings depend on their own conclusion.
    """

    def __init__(self, rules: Rules) -> None:
        self.findings: Mapping[str, Finding] = {finding.id: finding for finding in rules.findings}
        self.computed: tuple[ComputedFact, ...] = _in_order(rules.computed)
        self.nodes: list[Node] = []
        self._number_of: dict[Node, int] = {}
        self.finding_root: dict[str, int] = {}  # references, as those below
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
        self.questions = frozenset(question.id for question in rules.questions)
        self._index(rules)

    def _index(self, rules: Rules) -> None:
        """Who has to be worked out again when a fact, a node or a root changes."""
        readers: list[list[tuple[int, int, int]]] = [[] for _ in self.nodes]
        self.levels: list[int] = []  # of each node: a leaf's is 0, a gate's above its inputs'
        leaves: dict[str, list[tuple[int, TruthOf]]] = {}
        for number, node in enumerate(self.nodes):
            level = 0
            if node.test is None:
                level = 1 + max((self.levels[child] for child, _ in node.inputs), default=0)
            self.levels.append(level)
            for child, how in node.inputs:
                # a plain whole number for how: an IntEnum costs more to index with
                readers[child].append((number, int(how), level))
            if node.test is not None:
                read = (number, truth_by_value(node.test))
                leaves.setdefault(node.test.fact, []).append(read)
        self.readers = [tuple(gates) for gates in readers]
        self.height = 1 + max(self.levels, default=0)
        self.leaves_of: Mapping[str, list[tuple[int, TruthOf]]] = leaves
        users: dict[str, list[int]] = {}
        for place, computed in enumerate(self.computed):
            for fact in set(computed.inputs.values()):
                users.setdefault(fact, []).append(place)
        self.computed_from: Mapping[str, list[int]] = users
        by_fact: dict[str, list[Finding]] = {}
        for finding in rules.findings:
            if isinstance(finding.source, ByChoice | ByBand):
                by_fact.setdefault(finding.source.fact, []).append(finding)
        self.findings_by_fact: Mapping[str, list[Finding]] = by_fact
        by_root: dict[int, list[str]] = {}
        for finding_id, root in self.finding_root.items():
            by_root.setdefault(number_of(root), []).append(finding_id)
        self.findings_by_root: Mapping[int, list[str]] = by_root

    def node_of(self, condition: Condition) -> int:
        """The reference to the node of a condition; adds the nodes that are missing."""
        match condition:
            case All(items):
                return self._all([self.node_of(item) for item in items])
            case AnyOf(items):
                return ~self._all([~self.node_of(item) for item in items])
            case Not(item):
                return ~self.node_of(item)
            case _ if condition.fact in self.findings:
                return self._on_finding(self.findings[condition.fact], condition)
            case _:
                return self._add(Node(test=condition))

    def _on_finding(self, finding: Finding, condition: Leaf) -> int:
        match condition:
            case Known(_, known):
                read = number_of(self._anything(finding))
                inner = self._add(Node(((read, Reads.KNOWN),)))
                return inner if known else ~inner
            case Is(_, value):
                return self._outcome(finding, (value,))
            case OneOf(_, values):
                return self._outcome(finding, values)
            case Within():
                raise TypeError(f"finding {finding.id!r} is compared as a number and is none")

    def _all(self, references: list[int]) -> int:
        if len(references) == 1:
            return references[0]
        return self._add(
            Node(
                tuple(
                    (number_of(one), Reads.PLAIN if one >= 0 else Reads.NEGATED)
                    for one in references
                )
            )
        )

    def _add(self, node: Node) -> int:
        number = self._number_of.setdefault(node, len(self.nodes))
        if number == len(self.nodes):
            self.nodes.append(node)
        return number

    def _outcome(self, finding: Finding, values: Iterable[bool | str]) -> int:
        """What "the finding has one of these outcomes" is; of a yes/no finding, just one."""
        source = finding.source
        if isinstance(source, ByCondition):
            (value,) = values
            root = self.finding_root[finding.id]
            return root if value else ~root
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
