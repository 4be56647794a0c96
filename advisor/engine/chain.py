"""Forward chaining: answers in, computed facts and findings out, only what changed worked out.

Truth is three-valued and, for measured numbers, weighted: a node's truth is a probability from
0.0 to 1.0, or UNKNOWN_TRUTH. The result never depends on the order in which answers came.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from heapq import heapify, heappop, heappush
from typing import Final

from .network import Leaf, Network, Op
from .rules import ByBand, ByChoice, ByCondition, ComputationError, Finding, Is, Known, OneOf, Rules
from .values import UNKNOWN, Number, Value, probability_within

UNKNOWN_TRUTH: Final = -1.0
TRUE_FROM: Final = 0.95  # a comparison is true from this probability on
FALSE_TO: Final = 0.05  # and false up to this one; between them it is too close to call
Weights = tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Conflict:
    """A fact whose measured and computed values differ beyond their combined uncertainty."""

    fact: str
    measured: Number
    computed: Number


def _settled(probability: float) -> float:
    if probability >= TRUE_FROM:
        return 1.0
    return 0.0 if probability <= FALSE_TO else probability


class Chain:
    """The state of one vehicle's facts and conditions."""

    def __init__(self, rules: Rules, network: Network) -> None:
        self._network = network
        self._question_ids = frozenset(question.id for question in rules.questions)
        self._answers: dict[str, Value] = {}
        self._computed: dict[str, Value] = {}
        self._reasons: dict[str, str] = {}
        self._weights: dict[str, Weights] = {}
        nodes = network.nodes
        self._truth = [UNKNOWN_TRUTH] * len(nodes)
        self._unknown_inputs = [len(node.inputs) for node in nodes]
        self._deciding_inputs = [0] * len(nodes)
        self._soft_inputs = [0] * len(nodes)
        self._compute(range(len(network.computed)))
        self._work_out(range(len(nodes)))
        for finding in rules.findings:
            self._weigh(finding)

    # -- reading --

    @property
    def answers(self) -> dict[str, Value]:
        """The answers so far, "don't know" as UNKNOWN."""
        return dict(self._answers)

    def value(self, fact: str) -> Value:
        """The value of a question's fact or a computed fact; a measured value wins."""
        answered = self._answers.get(fact, UNKNOWN)
        return self._computed.get(fact, UNKNOWN) if answered is UNKNOWN else answered

    def computed_value(self, fact: str) -> Value:
        """The computed value, whether or not the fact was also measured."""
        return self._computed.get(fact, UNKNOWN)

    def reason_unknown(self, fact: str) -> str | None:
        """Why a computation had no answer, in words; None when it had one or lacks inputs."""
        return self._reasons.get(fact)

    def weights(self, finding: str) -> Weights | None:
        """The probability of each outcome of a finding, or None while it is unknown."""
        return self._weights.get(finding)

    def truth(self, node: int) -> float:
        """The probability that a node is true, or UNKNOWN_TRUTH."""
        return self._truth[node]

    def conflicts(self) -> tuple[Conflict, ...]:
        """Facts whose measured and computed values differ by more than twice their combined u."""
        found = []
        for fact, computed in self._computed.items():
            measured = self._answers.get(fact, UNKNOWN)
            if isinstance(measured, Number) and isinstance(computed, Number):
                allowed = 2.0 * math.hypot(measured.u, computed.u)
                if abs(measured.value - computed.value) > allowed:
                    found.append(Conflict(fact, measured, computed))
        return tuple(sorted(found, key=lambda conflict: conflict.fact))

    # -- changing --

    def answer(self, question: str, value: Value) -> set[str]:
        """Take an answer, new or changed. Gives the findings whose outcome changed."""
        if question not in self._question_ids:
            raise KeyError(question)
        before = self.value(question)
        self._answers[question] = value
        return self._spread(question, before)

    def take_back(self, question: str) -> set[str]:
        """Forget an answer, as if it had never been given. Gives the findings that changed."""
        before = self.value(question)
        self._answers.pop(question, None)
        return self._spread(question, before)

    def _spread(self, fact: str, before: Value) -> set[str]:
        if self.value(fact) == before:
            return set()
        changed = {fact} | self._compute(self._network.computed_from.get(fact, ()))
        leaves = {leaf for name in changed for leaf in self._network.leaves_of.get(name, ())}
        touched = {
            finding for name in changed for finding in self._network.findings_by_fact.get(name, ())
        }
        for node in self._work_out(leaves):
            touched.update(self._network.findings_by_root.get(node, ()))
        return {finding for finding in touched if self._weigh(self._network.findings[finding])}

    def _compute(self, places: range | list[int] | tuple[int, ...]) -> set[str]:
        """Work out computed facts, in order; gives the facts whose value changed."""
        waiting = list(places)
        heapify(waiting)
        changed: set[str] = set()
        last = -1
        while waiting:
            place = heappop(waiting)
            if place == last:
                continue
            last = place
            fact = self._network.computed[place].id
            before = self.value(fact)
            self._compute_one(place)
            if self.value(fact) != before:
                changed.add(fact)
                for user in self._network.computed_from.get(fact, ()):
                    heappush(waiting, user)
        return changed

    def _compute_one(self, place: int) -> None:
        computed = self._network.computed[place]
        self._computed.pop(computed.id, None)
        self._reasons.pop(computed.id, None)
        inputs = {name: self.value(fact) for name, fact in computed.inputs.items()}
        known = {name: value for name, value in inputs.items() if value is not UNKNOWN}
        if any(name not in known and name not in computed.optional for name in inputs):
            return
        try:
            self._computed[computed.id] = computed.compute(known)
        except ComputationError as error:
            self._reasons[computed.id] = error.reason

    def _work_out(self, numbers: range | set[int]) -> list[int]:
        """Work out nodes, inputs first; gives those whose truth changed."""
        waiting = list(numbers)
        heapify(waiting)
        changed: list[int] = []
        last = -1
        while waiting:
            number = heappop(waiting)
            if number == last:
                continue
            last = number
            before, now = self._truth[number], self._evaluate(number)
            if now == before:
                continue
            self._truth[number] = now
            changed.append(number)
            for parent in self._network.parents[number]:
                self._recount(parent, before, now)
                heappush(waiting, parent)
        return changed

    def _recount(self, parent: int, before: float, now: float) -> None:
        deciding = 0.0 if self._network.nodes[parent].op is Op.ALL else 1.0
        for truth, step in ((before, -1), (now, 1)):
            if truth == UNKNOWN_TRUTH:
                self._unknown_inputs[parent] += step
            elif truth == deciding:
                self._deciding_inputs[parent] += step
            elif 0.0 < truth < 1.0:
                self._soft_inputs[parent] += step

    def _evaluate(self, number: int) -> float:
        node = self._network.nodes[number]
        if node.test is not None:
            return self._leaf(node.test)
        if node.op is Op.ALL or node.op is Op.ANY:
            return self._gate(number)
        inner = self._truth[node.inputs[0]]
        if node.op is Op.KNOWN:
            return 0.0 if inner == UNKNOWN_TRUTH else 1.0
        return UNKNOWN_TRUTH if inner == UNKNOWN_TRUTH else 1.0 - inner

    def _gate(self, number: int) -> float:
        """Kleene's `all` and `any`; comparisons too close to call multiply as independent."""
        node = self._network.nodes[number]
        is_all = node.op is Op.ALL
        if self._deciding_inputs[number]:
            return 0.0 if is_all else 1.0
        if self._unknown_inputs[number]:
            return UNKNOWN_TRUTH
        if not self._soft_inputs[number]:
            return 1.0 if is_all else 0.0
        inputs = [self._truth[child] for child in node.inputs]
        if is_all:
            return _settled(math.prod(inputs))
        return _settled(1.0 - math.prod(1.0 - truth for truth in inputs))

    def _leaf(self, test: Leaf) -> float:
        value = self.value(test.fact)
        if isinstance(test, Known):
            return 1.0 if (value is not UNKNOWN) == test.known else 0.0
        if value is UNKNOWN:
            return UNKNOWN_TRUTH
        if isinstance(test, Is):
            included = isinstance(value, frozenset) and test.value in value
            return 1.0 if included or value == test.value else 0.0
        if isinstance(test, OneOf):
            chosen = value if isinstance(value, frozenset) else frozenset((value,))
            return 1.0 if chosen & test.values else 0.0
        if not isinstance(value, Number):
            raise TypeError(f"fact {test.fact!r} is compared as a number and is none")
        return _settled(probability_within(value, test.intervals))

    def _weigh(self, finding: Finding) -> bool:
        """Set the outcome weights of a finding; says whether they changed."""
        before = self._weights.pop(finding.id, None)
        now = self._outcome_weights(finding)
        if now is not None:
            self._weights[finding.id] = now
        return now != before

    def _outcome_weights(self, finding: Finding) -> Weights | None:
        source = finding.source
        if isinstance(source, ByCondition):
            truth = self._truth[self._network.finding_root[finding.id]]
            return None if truth == UNKNOWN_TRUTH else (truth, 1.0 - truth)
        value = self.value(source.fact)
        if isinstance(source, ByChoice):
            if not isinstance(value, str):
                return None
            chosen = source.outcome_of[value]
            return tuple(float(index == chosen) for index in range(len(finding.outcomes)))
        assert isinstance(source, ByBand)
        if not isinstance(value, Number):
            return None
        shares = [probability_within(value, (band,)) for band in source.bands]
        if max(shares) >= TRUE_FROM:
            return tuple(float(share >= TRUE_FROM) for share in shares)
        return tuple(shares)
