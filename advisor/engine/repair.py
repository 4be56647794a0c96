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
from typing import NamedTuple

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


class _Sequence(NamedTuple):
    """All repairs in their `order`, that of `worth`; all else by cause.

    `worth` is the chance of being needed for each minute, `cured` the mass that a repair brings to
    an end: a pair ends with the later of its two.
    """

    order: list[int]
    worth: list[float]
    marginals: list[float]
    cured: list[float]


class Repairs:
    """The repair plan that follows from a belief, and what it takes to hand the vehicle on."""

    def __init__(self, rules: Rules) -> None:
        self._escalation = rules.escalation_minutes

    def expected_minutes(self, hypotheses: Hypotheses, masses: Masses) -> float:
        """Expected minutes to the cure, times the sum of the masses."""
        return self._best_stop(_sequence(hypotheses, masses), hypotheses.minutes, masses)[0]

    def plan(self, hypotheses: Hypotheses, masses: Masses) -> RepairPlan:
        """The repairs worth trying, best first; the masses must add up to 1."""
        sequence = _sequence(hypotheses, masses)
        expected, count = self._best_stop(sequence, hypotheses.minutes, masses)
        steps = []
        reached = 1.0
        for i in sequence.order[:count]:
            minutes = hypotheses.minutes[i]
            steps.append(RepairStep(hypotheses.causes[i], sequence.marginals[i], minutes, reached))
            reached = max(0.0, reached - sequence.cured[i])
        return RepairPlan(tuple(steps), reached, expected)

    def worth_trying(self, hypotheses: Hypotheses, masses: Masses) -> list[int]:
        """The causes whose repair may be a step of the plan, best first; see `_best_stop`."""
        sequence = _sequence(hypotheses, masses)
        return [i for i in sequence.order if sequence.worth[i] * self._escalation > masses[0]]

    def _best_stop(
        self, sequence: _Sequence, minutes: Sequence[float], masses: Masses
    ) -> tuple[float, int]:
        """Least expected minutes, and after how many repairs to hand the vehicle on.

        What is none of the listed stays uncured. So once repairs are worth no more than it is for
        each minute of handing on, they cannot pay: leaving them out changes no result.
        """
        order, worth, _, cured = sequence
        escalation, none = self._escalation, masses[0]
        uncured = sum(masses)
        spent = 0.0
        best, count = escalation * uncured, 0
        for place, i in enumerate(order, 1):
            spent += minutes[i] * uncured
            if spent >= best or worth[i] * escalation <= none:
                break
            uncured = max(0.0, uncured - cured[i])
            expected = spent + escalation * uncured
            if expected < best:
                best, count = expected, place
        return best, count


def _sequence(hypotheses: Hypotheses, masses: Masses) -> _Sequence:
    """The repairs in their order."""
    count = len(hypotheses.minutes)
    marginals = masses[1 : count + 1]
    cured = marginals.copy()
    paired = masses[count + 1 :]
    for (i, j), mass in zip(hypotheses.pairs, paired, strict=True):
        marginals[i] += mass
        marginals[j] += mass
    worth = list(map(truediv, marginals, hypotheses.minutes))
    for (i, j), mass in zip(hypotheses.pairs, paired, strict=True):
        cured[i if worth[i] < worth[j] else j] += mass
    order = sorted(range(count), key=worth.__getitem__, reverse=True)
    return _Sequence(order, worth, marginals, cured)
