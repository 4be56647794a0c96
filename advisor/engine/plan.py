"""What to do next: the test that saves more expected minutes than it costs, or the repair.

A test's worth is the expected minutes of repair now, less those to expect once its outcome is
known. Its outcomes and their probabilities follow from the rates of the findings that its
answers would settle. Tests that only tell something together, or that share the way to a place,
are weighed together. Source for the comparison: Heckerman, Breese, Rommelse, CACM 38(3), 1995;
for places as costs paid once: Ottosen and Jensen, arXiv 1203.3502, 2010.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from .effects import Effects
from .forecast import Forecast, Outcome
from .hypotheses import flat
from .repair import RepairPlan, Repairs
from .rules import Rules, Test
from .situation import Situation
from .ways import Way, ways_to_settle

MOST_TESTS_TOGETHER = 4
SHOWN = 4  # options whose outcomes are foretold
SHORTEST = 0.5  # minutes; less than this is no reason to prefer a test
FAIR_PART = 0.25  # of the greatest saving; a test that saves less is not put before it
LEAST_SAVING = 1.0  # minutes; a test that saves less isn't worth the interruption
CHANGE_OVER = 3.0  # minutes; what going elsewhere upsets beside the way there
MOST_WEIGHED = 20  # tests, or tests needed together, whose worth is worked out in minutes
TESTS_TRIED_TOGETHER = 4  # in each place, the best so many are tried in company


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


def pays(option: TestOption) -> bool:
    """Whether a test saves enough minutes to be worth the interruption."""
    return option.saves >= LEAST_SAVING


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
        self.reads: Mapping[str, frozenset[str]] = {
            finding: frozenset().union(*ways) for finding, ways in self.ways.items()
        }
        self.test_of = {question: test for test in rules.tests for question in test.questions}
        self.order = {test.id: i for i, test in enumerate(rules.tests)}
        self.minutes_to = {place.id: place.minutes for place in rules.places}

    def findings_on(self, question: str) -> tuple[str, ...]:
        """The findings that an answer to this question can help to settle."""
        return tuple(
            finding.id for finding in self.rules.findings if question in self.reads[finding.id]
        )

    def plan(self, situation: Situation) -> Plan:
        """The next step for this situation. Equal worth is decided by the order of the files."""
        return _Weighing(self, situation).plan()


class _Weighing:
    """One pass over the tests that could be done now."""

    def __init__(self, planner: Planner, situation: Situation) -> None:
        self._p = planner
        self._s = situation
        self._forecast = Forecast(planner.rules, planner.effects, planner.repairs, situation)
        self._missing = self._missing_ways()
        self._hang_on = self._by_question()
        self._finding_order = {finding: place for place, finding in enumerate(self._missing)}
        self._available = self._tests_available()
        self._weighed: dict[frozenset[str], _Candidate] = {}

    def plan(self) -> Plan:
        best_first = self._best_first()
        repair = self._p.repairs.plan(*flat(self._p.rules, self._s.belief, None))
        options = tuple(
            TestOption(
                tuple(test.id for test in candidate.tests),
                candidate.minutes,
                candidate.saves,
                self._forecast.outlook(self._settled(candidate.tests)) if place < SHOWN else (),
            )
            for place, candidate in enumerate(best_first)
        )
        best = options[0] if options and pays(options[0]) else None
        return Plan(
            None if best is None else best.tests[0],
            options,
            repair,
            repair.expected_minutes - (0.0 if best is None else best.saves),
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
            if test.place in self._s.places and test.id not in self._s.put_off
        }

    def _best_first(self) -> list[_Candidate]:
        first = [(test,) for test in self._available.values() if self._starts(test)]
        chosen = self._most_promising([*first, *self._needed_together()])
        weighed = [self._weigh(tests) for tests in chosen]
        alone = [candidate for candidate in weighed if len(candidate.tests) == 1]
        for place in self._p.minutes_to:
            self._try_company([c for c in alone if c.tests[0].place == place])
        order = self._p.order
        useful = [candidate for candidate in self._weighed.values() if candidate.gain > 1e-9]
        useful.sort(key=lambda c: (-c.saves, [order[test.id] for test in c.tests]))
        begun_with: dict[str, _Candidate] = {}
        for candidate in self._natural_order(useful):
            begun_with.setdefault(candidate.tests[0].id, candidate)
        return list(begun_with.values())

    def _natural_order(self, best_first: list[_Candidate]) -> list[_Candidate]:
        """Put what gains most for each minute before the greatest saving, if it saves a fair part.

        What saves most is often long work far away, that a quick question may spare or sharpen.
        Nobody likes to leave a place and come back, so going elsewhere counts a change-over as
        well, and the way back while something here still pays. What does not pay comes last.
        """
        paying = [candidate for candidate in best_first if candidate.saves >= LEAST_SAVING]
        if not paying:
            return best_first
        at = self._s.at
        pays_here = any(candidate.tests[0].place == at for candidate in paying)
        elsewhere = CHANGE_OVER + (self._p.minutes_to[at] if pays_here else 0.0)

        def detour(candidate: _Candidate) -> float:
            return 0.0 if candidate.tests[0].place == at else elsewhere

        def worth(candidate: _Candidate) -> float:
            return candidate.gain / max(candidate.minutes + detour(candidate), SHORTEST)

        enough = FAIR_PART * max(candidate.saves - detour(candidate) for candidate in paying)
        fair = {id(c): c for c in paying if c.saves - detour(c) >= enough}
        others = [candidate for candidate in best_first if id(candidate) not in fair]
        return sorted(fair.values(), key=worth, reverse=True) + others

    def _most_promising(self, candidates: list[tuple[Test, ...]]) -> list[tuple[Test, ...]]:
        """Those that tell most for each minute: only so many are weighed."""
        if len(candidates) <= MOST_WEIGHED:
            return candidates

        def promise(tests: tuple[Test, ...]) -> float:
            told = sum(self._forecast.told(finding) for finding in self._settled(tests))
            return told / max(self._minutes(tests), SHORTEST)

        return sorted(candidates, key=promise, reverse=True)[:MOST_WEIGHED]

    def _minutes(self, tests: Iterable[Test]) -> float:
        """Minutes of tests, with the way to each place where one is not yet."""
        places = dict.fromkeys(test.place for test in tests)
        return sum(test.minutes for test in tests) + sum(
            self._p.minutes_to[place] for place in places if place != self._s.at
        )

    def _needed_together(self) -> list[tuple[Test, ...]]:
        """Sets of tests that only together settle some finding."""
        found: dict[frozenset[str], tuple[Test, ...]] = {}
        for ways in self._missing.values():
            for way in ways:
                tests = frozenset(self._p.test_of[q].id for q in way if q in self._p.test_of)
                if 1 < len(tests) <= MOST_TESTS_TOGETHER and tests <= self._available.keys():
                    together = self._in_order(self._available[name] for name in tests)
                    if self._starts(together[0]):
                        found.setdefault(tests, together)
        return list(found.values())

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
            after = self._forecast.minutes_after(self._settled(tests))
            gain = self._forecast.now - after
            self._weighed[key] = _Candidate(ordered, self._minutes(ordered), gain)
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
        answers = {q for test in tests for q in test.questions}
        touched = {finding for q in answers for finding in self._hang_on.get(q, ())}
        settled = [f for f in touched if any(way <= answers for way in self._missing[f])]
        return sorted(settled, key=self._finding_order.__getitem__)


def _saves(candidate: _Candidate) -> float:
    return candidate.saves
