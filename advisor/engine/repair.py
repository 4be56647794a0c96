"""The repair plan: which cause to mend first, and the minutes to expect until the vehicle is cured.

Repairs are tried by probability over cost, each verified, until the complaint is gone or handing
the vehicle on is cheaper. For one fault and no hand-over this order is optimal.
Source: Heckerman, Breese, Rommelse, "Decision-theoretic troubleshooting", CACM 38(3), 1995.
For two faults it is a good order, not proved the best.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from operator import truediv

from .hypotheses import Hypotheses, Masses
from .rules import Rules


@dataclass(frozen=True, slots=True)
class RepairStep:
    """One repair to try.

    `probability` that this cause is there, its `minutes` with the verification, and `reached`,
    the chance of getting so far without a cure.
    """

    cause: str
    probability: float
    minutes: float
    reached: float


@dataclass(frozen=True, slots=True)
class RepairPlan:
    """Repairs in the order in which to try them; with chance `hand_on` the vehicle goes on then."""

    steps: tuple[RepairStep, ...]
    hand_on: float
    expected_minutes: float


@dataclass(frozen=True, slots=True)
class _Sequence:
    """Repairs in the `order` in which to try them; all else by cause.

    `cured` is the mass that a repair brings to an end: a pair ends with the later of its two.
    """

    order: list[int]
    minutes: Sequence[float]
    marginals: list[float]
    cured: list[float]


class Repairs:
    """The repair plan that follows from a belief, and what it takes to hand the vehicle on."""

    def __init__(self, rules: Rules) -> None:
        self._escalation = rules.escalation_minutes

    def expected_minutes(self, hypotheses: Hypotheses, masses: Masses) -> float:
        """Expected minutes to the cure, times the sum of the masses."""
        return self._best_stop(self._sequence(hypotheses, masses), sum(masses))[0]

    def plan(self, hypotheses: Hypotheses, masses: Masses) -> RepairPlan:
        """The repairs worth trying, best first; the masses must add up to 1."""
        sequence = self._sequence(hypotheses, masses)
        expected, count = self._best_stop(sequence, sum(masses))
        steps = []
        reached = 1.0
        for i in sequence.order[:count]:
            minutes = sequence.minutes[i]
            steps.append(RepairStep(hypotheses.causes[i], sequence.marginals[i], minutes, reached))
            reached = max(0.0, reached - sequence.cured[i])
        return RepairPlan(tuple(steps), reached, expected)

    def worth_trying(self, hypotheses: Hypotheses, masses: Masses) -> list[int]:
        """The causes whose repair may be a step of the plan, best first; see `_sequence`."""
        return self._sequence(hypotheses, masses).order

    def _sequence(self, hypotheses: Hypotheses, masses: Masses) -> _Sequence:
        """The repairs in their order.

        What is none of the listed stays uncured. So once repairs are worth no more, in chance of
        being needed for each minute, than this is for each minute of handing on, they cannot pay:
        leaving them out changes no result.
        """
        marginals = hypotheses.marginals(masses)
        worth = list(map(truediv, marginals, hypotheses.minutes))
        order = [i for i, each in enumerate(worth) if each * self._escalation > masses[0]]
        order.sort(key=worth.__getitem__, reverse=True)
        cured = masses[1 : len(worth) + 1]
        for (i, j), mass in zip(hypotheses.pairs, masses[len(worth) + 1 :], strict=True):
            cured[i if worth[i] < worth[j] else j] += mass
        return _Sequence(order, hypotheses.minutes, marginals, cured)

    def _best_stop(self, sequence: _Sequence, total: float) -> tuple[float, int]:
        """Least expected minutes, and after how many repairs to hand the vehicle on."""
        minutes, cured = sequence.minutes, sequence.cured
        uncured = total
        spent = 0.0
        best, count = self._escalation * total, 0
        for place, i in enumerate(sequence.order, 1):
            spent += minutes[i] * uncured
            if spent >= best:
                break
            uncured = max(0.0, uncured - cured[i])
            expected = spent + self._escalation * uncured
            if expected < best:
                best, count = expected, place
        return best, count
