"""The repair plan: which cause to mend first, and the minutes to expect until the vehicle is cured.

Repairs are tried by probability over cost, each verified, until the complaint is gone or handing
the vehicle on is cheaper. For one fault and no hand-over this order is optimal.
Source: Heckerman, Breese, Rommelse, "Decision-theoretic troubleshooting", CACM 38(3), 1995.
For two faults it is a good order, not proved the best.
"""

from __future__ import annotations

from dataclasses import dataclass

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


class Repairs:
    """Minutes of the repairs of a rulebook, and the plan that follows from a belief."""

    def __init__(self, rules: Rules) -> None:
        self._causes = tuple(cause.id for cause in rules.causes)
        self._minutes = [cause.repair_minutes + cause.verify_minutes for cause in rules.causes]
        self._escalation = rules.escalation_minutes

    def expected_minutes(self, hypotheses: Hypotheses, masses: Masses) -> float:
        """Expected minutes to the cure, times the sum of the masses."""
        order, cured, _ = self._sequence(hypotheses, masses)
        return self._best_stop(order, cured, sum(masses))[0]

    def plan(self, hypotheses: Hypotheses, masses: Masses) -> RepairPlan:
        """The repairs worth trying, best first; the masses must add up to 1."""
        order, cured, marginals = self._sequence(hypotheses, masses)
        expected, count = self._best_stop(order, cured, sum(masses))
        steps = []
        reached = 1.0
        for i, mended in zip(order[:count], cured, strict=False):
            steps.append(RepairStep(self._causes[i], marginals[i], self._minutes[i], reached))
            reached = max(0.0, reached - mended)
        return RepairPlan(tuple(steps), reached, expected)

    def _sequence(
        self, hypotheses: Hypotheses, masses: Masses
    ) -> tuple[list[int], list[float], list[float]]:
        """The order of the repairs, the mass that each brings to an end, and all marginals.

        A pair comes to an end with the later of its two repairs.
        """
        marginals = hypotheses.marginals(masses)
        worth = [mass / cost for mass, cost in zip(marginals, self._minutes, strict=True)]
        order = sorted(range(len(worth)), key=worth.__getitem__, reverse=True)
        place_of = [0] * len(order)
        cured = [0.0] * len(order)
        for place, i in enumerate(order):
            place_of[i] = place
            cured[place] = masses[1 + i]
        for (i, j), mass in zip(hypotheses.pairs, masses[1 + len(order) :], strict=True):
            cured[max(place_of[i], place_of[j])] += mass
        return order, cured, marginals

    def _best_stop(self, order: list[int], cured: list[float], total: float) -> tuple[float, int]:
        """Least expected minutes, and after how many repairs to hand the vehicle on."""
        uncured = total
        spent = 0.0
        best, count = self._escalation * total, 0
        for place, i in enumerate(order):
            spent += self._minutes[i] * uncured
            if spent >= best:
                break
            uncured = max(0.0, uncured - cured[place])
            expected = spent + self._escalation * uncured
            if expected < best:
                best, count = expected, place + 1
        return best, count
