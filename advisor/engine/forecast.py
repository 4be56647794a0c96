"""What tests would bring: the minutes to expect once their findings are settled."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from .effects import Effect, Effects
from .hypotheses import Hypotheses, Masses, flat, information, times, weighted
from .repair import Repairs
from .rules import Rules
from .situation import Situation

MOST_BRANCHES = 24  # outcomes told apart at once; findings that tell least are left out
SHOWN_FINDINGS = 3  # of a test, the findings whose outcomes are foretold
NEGLIGIBLE = 1e-5  # a branch with less chance than this is not followed further
Branches = Sequence[Sequence[float]]  # for each outcome of a finding, its rate by hypothesis


@dataclass(frozen=True, slots=True)
class Outcome:
    """One outcome of a finding: how likely it is now, and what would then lead."""

    finding: str
    outcome: str
    probability: float
    leading: str | None
    leading_probability: float


class Forecast:
    """Looks ahead from one situation. `now` are the minutes to expect with no more testing."""

    def __init__(
        self, rules: Rules, effects: Effects, repairs: Repairs, situation: Situation
    ) -> None:
        self._effects = effects
        self._repairs = repairs
        self._s = situation
        self._hypotheses, self._masses = flat(rules, situation.belief)
        self._told: dict[str, float] = {}
        self._rates: dict[str, list[list[float]]] = {}
        self._worth_trying = repairs.worth_trying(self._hypotheses, self._masses)
        self.now = repairs.expected_minutes(self._hypotheses, self._masses)

    def minutes_after(self, settled: Sequence[str]) -> float:
        """Expected minutes of repair once these findings are settled.

        A finding that restates a known, less telling one will take its place: its outcome is
        foretold by today's belief, and then counts instead of the other.
        """
        taken_off: list[Effect] = []
        telling: list[str] = []
        for members in self._s.evidence.same_observation(settled).values():
            best = max(members, key=self._effects.reach.__getitem__)
            known = self._s.evidence.counted_beside(best)
            if known is not None and best not in self._s.unclear:
                _, effect = known
                if effect.spread >= self._effects.reach[best]:
                    continue
                taken_off.append(effect)
            telling.append(best)
        if not telling:
            return self.now
        findings = self._most_telling(telling)
        masses = self._without(taken_off) if taken_off else self._masses
        hypotheses, places = self._narrowed(masses, findings)
        branches = [
            [[likelihood[place] for place in places] for likelihood in self._outcomes(finding)]
            for finding in findings
        ]
        picked = _picked(masses, places)
        if masses is self._masses:
            return self._expected_after(hypotheses, picked, branches)
        foretold = _picked(self._masses, places)
        return self._expected_replaced(hypotheses, foretold, picked, branches)

    def _without(self, effects: Iterable[Effect]) -> Masses:
        """The masses as they would be without findings that count now."""
        belief = self._s.at_first
        for effect in effects:
            belief = belief.after(effect.undone())
        return self._hypotheses.masses(belief.left(self._s.mended))

    def _most_telling(self, findings: Sequence[str]) -> list[str]:
        """The findings that tell most, few enough to follow all branches of their outcomes."""
        followed: list[str] = []
        count = 1
        for finding in sorted(findings, key=lambda name: (-self.told(name), name)):
            outcomes = len(self._effects.findings[finding].outcomes)
            if not followed or count * outcomes <= MOST_BRANCHES:
                followed.append(finding)
                count *= outcomes
        return followed

    def _narrowed(self, masses: Masses, findings: Sequence[str]) -> tuple[Hypotheses, list[int]]:
        """The hypotheses that matter for the repairs once these findings are settled.

        A cause of which they don't speak keeps its share relative to *none of the listed*. When
        its repair isn't worth trying now, it won't be then, and it counts as one not listed.
        """
        if masses is self._masses:
            causes = self._worth_trying
        else:
            causes = self._repairs.worth_trying(self._hypotheses, masses)
        spoken_of = (i for finding in findings for i in self._effects.rates(finding).single)
        return self._hypotheses.narrowed({*causes, *spoken_of})

    def _expected_after(
        self, hypotheses: Hypotheses, masses: Masses, branches: Sequence[Branches]
    ) -> float:
        """Expected minutes of repair once the outcomes are known; masses carry their chance."""
        if not branches or sum(masses) < NEGLIGIBLE:
            return self._repairs.expected_minutes(hypotheses, masses)
        return sum(
            self._expected_after(hypotheses, times(masses, likelihood), branches[1:])
            for likelihood in branches[0]
        )

    def _expected_replaced(
        self,
        hypotheses: Hypotheses,
        foretold: Masses,
        masses: Masses,
        branches: Sequence[Branches],
    ) -> float:
        """As `_expected_after`, with the chance of each branch taken from another belief."""
        chance = sum(foretold)
        if chance == 0.0:  # a reading has ruled this outcome out
            return 0.0
        if not branches:
            expected = self._repairs.expected_minutes(hypotheses, masses)
            return expected * chance / sum(masses)
        return sum(
            self._expected_replaced(
                hypotheses, times(foretold, likelihood), times(masses, likelihood), branches[1:]
            )
            for likelihood in branches[0]
        )

    def outlook(self, settled: Sequence[str]) -> tuple[Outcome, ...]:
        """What the findings that tell most would mean, outcome by outcome."""
        telling = sorted(settled, key=lambda name: -self.told(name))
        outcomes = []
        for finding in telling[:SHOWN_FINDINGS]:
            names = self._effects.findings[finding].outcomes
            rates = self._outcomes(finding)
            for name, likelihood in zip(names, rates, strict=True):
                after = times(self._masses, likelihood)
                if (chance := sum(after)) > 0.0:
                    leading, share = self._hypotheses.leading(after)
                    outcomes.append(Outcome(finding, name, chance, leading, share))
        return tuple(outcomes)

    def told(self, finding: str) -> float:
        """What a finding's outcome would tell about what is wrong, in nats."""
        if finding not in self._told:
            if finding in self._s.unclear:
                self._told[finding] = information(self._masses, self._outcomes(finding))
            else:
                rates = self._effects.rates(finding)
                self._told[finding] = self._hypotheses.told(self._masses, rates)
        return self._told[finding]

    def _outcomes(self, finding: str) -> list[list[float]]:
        """The rates of a finding's outcomes under each hypothesis, given what was read of it."""
        if finding not in self._rates:
            outcomes = self._hypotheses.likelihoods(self._effects.rates(finding))
            if finding in self._s.unclear:
                outcomes = _after_reading(outcomes, self._s.weights(finding))
            self._rates[finding] = outcomes
        return self._rates[finding]


def _picked(masses: Masses, places: Sequence[int]) -> Masses:
    """The masses at these places, of which the first, that of none, takes all that is left out."""
    picked = [masses[place] for place in places]
    picked[0] = max(0.0, sum(masses) - sum(picked[1:]))
    return picked


def _after_reading(outcomes: list[list[float]], weights: Sequence[float]) -> list[list[float]]:
    """The rates of the outcomes once a reading has given them these weights (Bayes' rule)."""
    likelihood = weighted(outcomes, weights)
    return [
        [weight * rate / whole for rate, whole in zip(rates, likelihood, strict=True)]
        for weight, rates in zip(weights, outcomes, strict=True)
    ]
