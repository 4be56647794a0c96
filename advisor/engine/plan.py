"""What to do next: the test that saves more expected minutes than it costs, or the repair.

A test's worth is the expected minutes of repair now, less those to expect once its outcome is
known. Its outcomes and their probabilities follow from the rates of the findings that its
answers would settle. Tests that only tell something together, or that share the way to a place,
are weighed together. Source for the comparison: Heckerman, Breese, Rommelse, CACM 38(3), 1995;
for places as costs paid once: Ottosen and Jensen, arXiv 1203.3502, 2010.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from .evidence import Belief, Effects, Evidence
from .hypotheses import Masses, flat, information, times
from .repair import RepairPlan, Repairs
from .rules import Rules, Test
from .ways import Way, ways_to_settle

MOST_TESTS_TOGETHER = 4
MOST_BRANCHES = 24  # outcomes told apart at once; the findings that tell least are left out
SHOWN_FINDINGS = 3  # of a test, the findings whose outcomes are foretold
LEAST_SAVING = 1.0  # minutes; a test that saves less isn't worth the interruption
NEGLIGIBLE = 1e-5  # a branch with less chance than this is not followed further
TESTS_TRIED_TOGETHER = 4  # in each place, the best so many are tried in company


@dataclass(frozen=True, slots=True)
class Outcome:
    """One outcome of a finding: how likely it is now, and what would then lead."""

    finding: str
    outcome: str
    probability: float
    leading: str | None
    leading_probability: float


@dataclass(frozen=True, slots=True)
class TestOption:
    """Work that could come next.

    `tests` are done together, the first one first; `minutes` include the way to their places.
    `saves` is what they lower the expected total by, their own minutes already taken off.
    """

    tests: tuple[str, ...]
    minutes: float
    saves: float
    outlook: tuple[Outcome, ...]


@dataclass(frozen=True, slots=True)
class Plan:
    """What to do next.

    `test` is the test to do next, or None when no test pays and repairing does. `options` are
    the tests weighed, best first. `expected_minutes` is the expected total from here on with
    the advised step; `repair` the plan without any more testing.
    """

    test: str | None
    options: tuple[TestOption, ...]
    repair: RepairPlan
    expected_minutes: float


@dataclass(frozen=True, slots=True)
class Situation:
    """What the planner needs to know of a case."""

    belief: Belief
    evidence: Evidence
    weights: Callable[[str], Sequence[float]]  # outcome weights of a known finding
    unknown: Collection[str]  # findings without an outcome
    unclear: Collection[str]  # findings too close to call, which a better reading may settle
    missing: Callable[[Way], Way | None]  # what a way still lacks; None when it is closed
    unread: Callable[[Way], Way | None]  # the same, also for what is only computed so far
    open_questions: Collection[str]  # not answered, and asked now or perhaps later
    askable: Collection[str]  # not answered, and asked now
    at: str
    places: Collection[str]
    put_off: Collection[str]


@dataclass(frozen=True, slots=True)
class _Candidate:
    tests: tuple[Test, ...]
    minutes: float
    gain: float

    @property
    def saves(self) -> float:
        return self.gain - self.minutes


class Planner:
    """Weighs the tests of a rulebook; what does not depend on answers is worked out once."""

    def __init__(self, rules: Rules, effects: Effects) -> None:
        self.rules = rules
        self.effects = effects
        self.repairs = Repairs(rules)
        self.ways: Mapping[str, tuple[Way, ...]] = ways_to_settle(rules)
        self.test_of = {question: test for test in rules.tests for question in test.questions}
        self.order = {test.id: i for i, test in enumerate(rules.tests)}
        self.minutes_to = {place.id: place.minutes for place in rules.places}

    def findings_on(self, question: str) -> tuple[str, ...]:
        """The findings that an answer to this question can help to settle."""
        return tuple(
            finding.id
            for finding in self.rules.findings
            if any(question in way for way in self.ways[finding.id])
        )

    def plan(self, situation: Situation) -> Plan:
        """The next step for this situation. Equal worth is decided by the order of the files."""
        return _Weighing(self, situation).plan()


class _Weighing:
    """One pass over the tests that could be done now."""

    def __init__(self, planner: Planner, situation: Situation) -> None:
        self._p = planner
        self._s = situation
        self._hypotheses, self._masses = flat(planner.rules, situation.belief)
        self._now = planner.repairs.expected_minutes(self._hypotheses, self._masses)
        self._missing = self._missing_ways()
        self._hang_on = self._by_question()
        self._finding_order = {finding: place for place, finding in enumerate(self._missing)}
        self._available = self._tests_available()
        self._outcomes: dict[str, list[list[float]]] = {}
        self._told: dict[str, float] = {}
        self._weighed: dict[frozenset[str], _Candidate] = {}

    def plan(self) -> Plan:
        best_first = self._best_first()
        repair = self._p.repairs.plan(*flat(self._p.rules, self._s.belief, None))
        options = tuple(
            TestOption(
                tuple(test.id for test in candidate.tests),
                candidate.minutes,
                candidate.saves,
                self._outlook(candidate) if place < TESTS_TRIED_TOGETHER else (),
            )
            for place, candidate in enumerate(best_first)
        )
        pays = bool(options) and options[0].saves >= LEAST_SAVING
        return Plan(
            options[0].tests[0] if pays else None,
            options,
            repair,
            repair.expected_minutes - (options[0].saves if pays else 0.0),
        )

    def _missing_ways(self) -> dict[str, list[Way]]:
        missing: dict[str, list[Way]] = {}
        for findings, lacking in (
            (self._s.unknown, self._s.missing),
            (self._s.unclear, self._s.unread),
        ):
            for finding in findings:
                lacks = [lacking(way) for way in self._p.ways[finding]]
                ways = [way for way in lacks if way]
                if ways:
                    missing[finding] = ways
        return missing

    def _by_question(self) -> dict[str, list[str]]:
        """The findings that each useful question helps to settle."""
        findings: dict[str, list[str]] = {}
        for finding, ways in self._missing.items():
            for question in frozenset().union(*ways):
                findings.setdefault(question, []).append(finding)
        return findings

    def _tests_available(self) -> dict[str, Test]:
        return {
            test.id: test
            for test in self._p.rules.tests
            if test.place in self._s.places
            and test.id not in self._s.put_off
            and any(q in self._hang_on and q in self._s.open_questions for q in test.questions)
        }

    def _best_first(self) -> list[_Candidate]:
        alone = [self._weigh((test,)) for test in self._available.values() if self._starts(test)]
        for tests in self._needed_together():
            self._weigh(tests)
        for place in self._p.minutes_to:
            self._try_company([c for c in alone if c.tests[0].place == place])
        useful = (candidate for candidate in self._weighed.values() if candidate.gain > 1e-9)
        order = self._p.order
        best: dict[str, _Candidate] = {}  # by the test to begin with
        for candidate in sorted(
            useful, key=lambda c: (-c.saves, [order[test.id] for test in c.tests])
        ):
            best.setdefault(candidate.tests[0].id, candidate)
        return list(best.values())

    def _needed_together(self) -> Iterable[tuple[Test, ...]]:
        """Sets of tests that only together settle some finding."""
        for ways in self._missing.values():
            for way in ways:
                tests = {self._p.test_of[q].id for q in way if q in self._p.test_of}
                if 1 < len(tests) <= MOST_TESTS_TOGETHER and tests <= self._available.keys():
                    together = tuple(self._available[name] for name in tests)
                    if any(map(self._starts, together)):
                        yield together

    def _starts(self, test: Test) -> bool:
        """Whether some useful question of the test can be asked right now."""
        return any(q in self._hang_on and q in self._s.askable for q in test.questions)

    def _try_company(self, alone: Sequence[_Candidate]) -> None:
        """Weigh the best tests of one place together, since the way there is paid once."""
        ranked = sorted(
            (c for c in alone if c.gain > 1e-9),
            key=lambda c: (-c.gain + c.tests[0].minutes, self._p.order[c.tests[0].id]),
        )[:TESTS_TRIED_TOGETHER]
        if len(ranked) < 2:
            return
        best = max((self._weigh(a.tests + b.tests) for a, b in combinations(ranked, 2)), key=_saves)
        for candidate in ranked:
            if candidate.tests[0] not in best.tests:
                best = max(best, self._weigh(best.tests + candidate.tests), key=_saves)

    def _weigh(self, tests: tuple[Test, ...]) -> _Candidate:
        key = frozenset(test.id for test in tests)
        if key not in self._weighed:
            ordered = self._in_order(tests)
            minutes = sum(test.minutes for test in ordered)
            minutes += sum(
                self._p.minutes_to[place]
                for place in dict.fromkeys(test.place for test in ordered)
                if place != self._s.at
            )
            after = self._expected_after_tests(self._settled(tests))
            self._weighed[key] = _Candidate(ordered, minutes, self._now - after)
        return self._weighed[key]

    def _in_order(self, tests: Iterable[Test]) -> tuple[Test, ...]:
        """What can start now, then where one is, then the nearer places, then file order."""
        minutes_to, at = self._p.minutes_to, self._s.at
        return tuple(
            sorted(
                tests,
                key=lambda test: (
                    not self._starts(test),
                    0.0 if test.place == at else minutes_to[test.place],
                    self._p.order[test.id],
                ),
            )
        )

    def _settled(self, tests: Iterable[Test]) -> list[str]:
        """The findings that these tests' answers are sure to settle."""
        answers = {q for test in tests for q in test.questions if q in self._s.open_questions}
        touched = {finding for q in answers for finding in self._hang_on.get(q, ())}
        settled = [f for f in touched if any(way <= answers for way in self._missing[f])]
        return sorted(settled, key=self._finding_order.__getitem__)

    def _outcomes_of(self, finding: str) -> list[list[float]]:
        """The rates of a finding's outcomes under each hypothesis, given what was read of it."""
        if finding not in self._outcomes:
            outcomes = self._hypotheses.likelihoods(self._p.effects.findings[finding])
            if finding in self._s.unclear:
                outcomes = _after_reading(outcomes, self._s.weights(finding))
            self._outcomes[finding] = outcomes
            self._told[finding] = information(self._masses, outcomes)
        return self._outcomes[finding]

    def _expected_after_tests(self, settled: Sequence[str]) -> float:
        """Expected minutes of repair once these findings are settled.

        A finding that restates a known, less telling one will take its place: its outcome is
        foretold by today's belief, and then counts instead of the other.
        """
        masses = self._masses
        telling: list[str] = []
        for members in self._s.evidence.same_observation(settled).values():
            best = max(members, key=self._p.effects.reach.__getitem__)
            known = self._s.evidence.counted_beside(best)
            if known is not None and best not in self._s.unclear:
                name, effect = known
                if effect.spread >= self._p.effects.reach[best]:
                    continue
                masses = self._without(masses, name)
            telling.append(best)
        branches = self._most_telling(telling)
        if masses is self._masses:
            return self._expected_after(masses, branches)
        return self._expected_replaced(self._masses, masses, branches)

    def _without(self, masses: Masses, finding: str) -> Masses:
        """The masses as they would be without a finding that counts now."""
        outcomes = self._hypotheses.likelihoods(self._p.effects.findings[finding])
        likelihood = _weighted(outcomes, self._s.weights(finding))
        return times(masses, [1.0 / rate for rate in likelihood])

    def _most_telling(self, findings: Sequence[str]) -> list[list[list[float]]]:
        """The outcomes of the findings that tell most, few enough to follow all branches."""
        outcomes = {finding: self._outcomes_of(finding) for finding in findings}
        branches: list[list[list[float]]] = []
        count = 1
        for finding in sorted(findings, key=lambda name: (-self._told[name], name)):
            if not branches or count * len(outcomes[finding]) <= MOST_BRANCHES:
                branches.append(outcomes[finding])
                count *= len(outcomes[finding])
        return branches

    def _expected_after(self, masses: Masses, branches: Sequence[list[list[float]]]) -> float:
        """Expected minutes of repair once the outcomes are known; masses carry their chance."""
        if not branches or sum(masses) < NEGLIGIBLE:
            return self._p.repairs.expected_minutes(self._hypotheses, masses)
        return sum(
            self._expected_after(times(masses, likelihood), branches[1:])
            for likelihood in branches[0]
        )

    def _expected_replaced(
        self, foretold: Masses, masses: Masses, branches: Sequence[list[list[float]]]
    ) -> float:
        """As `_expected_after`, with the chance of each branch taken from another belief."""
        if not branches:
            expected = self._p.repairs.expected_minutes(self._hypotheses, masses)
            return expected * sum(foretold) / sum(masses)
        return sum(
            self._expected_replaced(
                times(foretold, likelihood), times(masses, likelihood), branches[1:]
            )
            for likelihood in branches[0]
        )

    def _outlook(self, candidate: _Candidate) -> tuple[Outcome, ...]:
        """What the findings that tell most would mean, outcome by outcome."""
        settled = self._settled(candidate.tests)
        rates = {finding: self._outcomes_of(finding) for finding in settled}
        settled.sort(key=lambda name: -self._told[name])
        outcomes = []
        for finding in settled[:SHOWN_FINDINGS]:
            names = self._p.effects.findings[finding].outcomes
            for name, likelihood in zip(names, rates[finding], strict=True):
                after = times(self._masses, likelihood)
                if (chance := sum(after)) > 0.0:
                    leading, share = self._hypotheses.leading(after)
                    outcomes.append(Outcome(finding, name, chance, leading, share))
        return tuple(outcomes)


def _weighted(outcomes: list[list[float]], weights: Sequence[float]) -> list[float]:
    """The likelihood of outcomes with these weights under each hypothesis."""
    return [
        sum(weight * rate for weight, rate in zip(weights, rates, strict=True))
        for rates in zip(*outcomes, strict=True)
    ]


def _after_reading(outcomes: list[list[float]], weights: Sequence[float]) -> list[list[float]]:
    """The rates of the outcomes once a reading has given them these weights (Bayes' rule)."""
    likelihood = _weighted(outcomes, weights)
    return [
        [weight * rate / whole for rate, whole in zip(rates, likelihood, strict=True)]
        for weight, rates in zip(weights, outcomes, strict=True)
    ]


def _saves(candidate: _Candidate) -> float:
    return candidate.saves
