"""Forward chaining: answers in, computed facts and findings out, only what changed worked out.

Truth is three-valued and, for measured numbers, weighted: a node's truth is a probability from
0.0 to 1.0, or UNKNOWN_TRUTH. The result never depends on the order in which answers came.
"""

from __future__ import annotations

import math
from array import array
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from heapq import heapify, heappop, heappush
from typing import Final

from .leaves import TRUE_FROM, UNKNOWN_TRUTH, settled
from .network import Network, Reads, number_of
from .rules import ByBand, ByChoice, ComputationError, Finding, Rules
from .values import UNKNOWN, Number, Value, probability_within

Weights = tuple[float, ...]

# What the inputs of a gate are, counted in one whole number: how many are unknown, make it false,
# or are neither, being too close to call. A gate all of whose inputs are true counts 0.
_UNKNOWN: Final = 1
_FALSE: Final = 1 << 20
_SOFT: Final = 1 << 40
_ANY_UNKNOWN: Final = _FALSE - 1
_ANY_FALSE: Final = _SOFT - _FALSE


# A node's truth in a byte: unknown, false, true, or too close to call, with the probability noted
# apart. Of that there are two, so that another probability is another code.
_TRUTHS: Final = (UNKNOWN_TRUTH, 0.0, 1.0)
_CODE_OF: Final = {truth: code for code, truth in enumerate(_TRUTHS)}
_IS_UNKNOWN, _IS_FALSE, _IS_TRUE, _IS_CLOSE, _IS_CLOSE_ANEW = range(5)

# What an input with the truth of a code counts in a gate, by how the gate reads it (Reads),
_CLOSE_COUNTS: Final = (_SOFT, _SOFT, 0)
_COUNTS: Final = (
    (_UNKNOWN, _UNKNOWN, _FALSE),
    (_FALSE, 0, 0),
    (0, _FALSE, 0),
    _CLOSE_COUNTS,
    _CLOSE_COUNTS,
)
# and what its change from one code to another adds to that count.
_STEPS: Final = [
    [tuple(b - a for a, b in zip(before, now, strict=True)) for now in _COUNTS]
    for before in _COUNTS
]


@dataclass(frozen=True, slots=True)
class Conflict:
    """A fact whose measured and computed values differ beyond their combined uncertainty."""

    fact: str
    measured: Number
    computed: Number


class Chain:
    """The state of one vehicle's facts and conditions."""

    def __init__(self, rules: Rules, network: Network) -> None:
        self._network = network
        self._answers: dict[str, Value] = {}
        self._computed: dict[str, Value] = {}
        self._reasons: dict[str, str] = {}
        self._shares: dict[str, Weights] = {}  # of findings that take over a fact
        self._compute(range(len(network.computed)))
        self._truth = bytearray(len(network.nodes))  # unknown, all of them
        self._close: dict[int, float] = {}
        self._inputs = array(
            "q",
            [sum(_COUNTS[_IS_UNKNOWN][how] for _, how in node.inputs) for node in network.nodes],
        )
        waiting = self._none_waiting()
        for number, node in enumerate(network.nodes):
            if node.test is None:
                waiting[network.levels[number]].append(number)
        self._work_out(waiting, self._read_leaves(network.leaves_of, waiting))
        for finding in rules.findings:
            self._take_over(finding)

    def copy(self) -> Chain:
        """Another chain in the same state, that goes its own way from here."""
        other = Chain.__new__(Chain)
        other._network = self._network
        other._answers = self._answers.copy()
        other._computed = self._computed.copy()
        other._reasons = self._reasons.copy()
        other._shares = self._shares.copy()
        other._truth = self._truth[:]
        other._close = self._close.copy()
        other._inputs = self._inputs[:]
        return other

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
        root = self._network.finding_root.get(finding)
        if root is None:
            return self._shares.get(finding)
        truth = self.truth(root)
        return None if truth == UNKNOWN_TRUTH else (truth, 1.0 - truth)

    def truth(self, reference: int) -> float:
        """The probability that a node, or its negation, is true; or UNKNOWN_TRUTH."""
        truth = self._probability(number_of(reference))
        return truth if reference >= 0 or truth == UNKNOWN_TRUTH else 1.0 - truth

    def _probability(self, number: int) -> float:
        code = self._truth[number]
        return _TRUTHS[code] if code < _IS_CLOSE else self._close[number]

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
        return self.answer_all({question: value})

    def answer_all(self, values: Mapping[str, Value]) -> set[str]:
        """Take answers by question, as one after another would be, but in one go."""
        questions = self._network.questions
        for question in values:
            if question not in questions:
                raise KeyError(question)
        before = [(question, self.value(question)) for question in values]
        self._answers.update(values)
        return self._spread(before)

    def take_back(self, question: str) -> set[str]:
        """Forget an answer, as if it had never been given. Gives the findings that changed."""
        before = [(question, self.value(question))]
        self._answers.pop(question, None)
        return self._spread(before)

    def _spread(self, values_before: Iterable[tuple[str, Value]]) -> set[str]:
        """Work out what hangs on facts that may have changed; gives the findings that have."""
        network = self._network
        facts = [fact for fact, before in values_before if self.value(fact) != before]
        users = [user for fact in facts for user in network.computed_from.get(fact, ())]
        if users:
            facts += self._compute(users)
        by_root = network.findings_by_root
        waiting = self._none_waiting()
        nodes = self._read_leaves(facts, waiting)
        self._work_out(waiting, nodes)
        changed = {name for number in nodes if number in by_root for name in by_root[number]}
        for fact in facts:
            for finding in network.findings_by_fact.get(fact, ()):
                if self._take_over(finding):
                    changed.add(finding.id)
        return changed

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

    def _none_waiting(self) -> list[list[int]]:
        """Room for the gates that wait to be worked out, by level."""
        return [[] for _ in range(self._network.height)]

    def _read_leaves(self, facts: Iterable[str], waiting: list[list[int]]) -> list[int]:
        """Work out the leaves on these facts; gives those whose truth changed."""
        leaves_of, truth = self._network.leaves_of, self._truth
        inputs, readers = self._inputs, self._network.readers
        changed: list[int] = []
        for fact in facts:
            if fact in leaves_of:
                value = self.value(fact)
                for number, truth_of in leaves_of[fact]:
                    before, now = truth[number], self._code(number, truth_of(value))
                    if now != before:
                        truth[number] = now
                        changed.append(number)
                        steps = _STEPS[before][now]
                        for gate, how, level in readers[number]:
                            inputs[gate] += steps[how]
                            waiting[level].append(gate)
        return changed

    def _work_out(self, waiting: list[list[int]], changed: list[int]) -> None:
        """Work out gates and those above them, level by level; adds to `changed` what changes.

        Of all that a program does with a case, nothing takes as many steps as this.
        """
        truth, inputs, readers = self._truth, self._inputs, self._network.readers
        for gates in waiting:  # what a gate changes waits on a later level
            for number in gates:
                counted = inputs[number]
                if counted & _ANY_FALSE:
                    now = _IS_FALSE
                elif counted & _ANY_UNKNOWN:
                    now = _IS_UNKNOWN
                else:
                    now = self._code(number, self._soft(number)) if counted else _IS_TRUE
                before = truth[number]
                if now != before:
                    truth[number] = now
                    changed.append(number)
                    steps = _STEPS[before][now]
                    for gate, how, level in readers[number]:
                        inputs[gate] += steps[how]
                        waiting[level].append(gate)

    def _code(self, number: int, truth: float) -> int:
        """The code of a node's truth; the probability of one too close to call is noted."""
        code = _CODE_OF.get(truth)
        if code is not None:
            return code
        before = self._truth[number]
        if before < _IS_CLOSE:
            code = _IS_CLOSE
        elif truth == self._close[number]:
            return before
        else:
            code = _IS_CLOSE + _IS_CLOSE_ANEW - before
        self._close[number] = truth
        return code

    def _soft(self, number: int) -> float:
        """A gate with inputs too close to call: they multiply as independent."""
        product = 1.0
        for child, how in self._network.nodes[number].inputs:  # one that reads KNOWN is not soft
            truth = self._probability(child)
            product *= truth if how is Reads.PLAIN else 1.0 - truth
        return settled(product)

    def _take_over(self, finding: Finding) -> bool:
        """Set the outcomes of a finding that is read from a fact; says whether they changed."""
        before = self._shares.pop(finding.id, None)
        now = self._shares_of(finding)
        if now is not None:
            self._shares[finding.id] = now
        return now != before

    def _shares_of(self, finding: Finding) -> Weights | None:
        source = finding.source
        if isinstance(source, ByChoice):
            value = self.value(source.fact)
            if not isinstance(value, str):
                return None
            chosen = source.outcome_of[value]
            return tuple(float(index == chosen) for index in range(len(finding.outcomes)))
        if not isinstance(source, ByBand):
            return None
        value = self.value(source.fact)
        if not isinstance(value, Number):
            return None
        shares = [probability_within(value, (band,)) for band in source.bands]
        if max(shares) >= TRUE_FROM:
            return tuple(float(share >= TRUE_FROM) for share in shares)
        return tuple(shares)
