"""Made-up vehicles for a rulebook, and ways to go about them, ours and others'.

A vehicle has one or two of the listed causes, or none of them, drawn from the prior. The outcome
of each finding is drawn by its rate with what is left of them; some come out wrong, some stay
unknown though the test was done.
A test settles the findings whose ways its answers complete. Conditions of questions and causes
are not played through: every test can be done, every cause exists on every vehicle.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from advisor.engine import rules as engine_rules
from advisor.engine.belief import Belief
from advisor.engine.diagnosis import Engine
from advisor.engine.effects import pair_rates
from advisor.engine.evidence import Evidence
from advisor.engine.hypotheses import Hypotheses, Masses, flat
from advisor.engine.plan import Plan
from advisor.engine.repair import RepairPlan
from advisor.engine.rules import Rules
from advisor.engine.situation import Situation

WRONG = 0.1  # share of findings whose outcome is drawn again among the others
DONT_KNOW = 0.2  # share of findings that stay unknown though their test was done


class Workshop:
    """A rulebook, and what all ways of going about its vehicles share."""

    def __init__(self, rules: Rules) -> None:
        self.rules = rules
        self.engine = Engine(rules)
        self.planner = self.engine.planner
        self.prior = self.engine.priors.belief([1.0] * len(rules.causes))
        self.minutes_to = {place.id: place.minutes for place in rules.places}
        self.tests = {test.id: test for test in rules.tests}
        self.ids = [cause.id for cause in rules.causes]
        self.repair_minutes = {c.id: c.repair_minutes + c.verify_minutes for c in rules.causes}

    @cached_property
    def faults(self) -> tuple[list[tuple[int, ...]], list[float]]:
        """None of the listed, single causes and pairs with their prior masses."""
        places = range(len(self.ids))
        pairs = [(i, j) for i in places for j in places[i + 1 :]]
        masses = [
            self.prior.none,
            *self.prior.single,
            *(self.prior.pair[i][j] for i, j in pairs),
        ]
        return [(), *((i,) for i in places), *pairs], masses

    @cached_property
    def telling(self) -> dict[str, float]:
        """What each test alone would tell at the prior, in nats."""
        fresh = Case(self, Vehicle((0,), {}))
        return {name: fresh.tells(test) for name, test in self.tests.items()}


@dataclass(frozen=True)
class Vehicle:
    """What is wrong with a vehicle, and how its findings would be read (None: not known).

    `outcomes` are those by what of it is left unmended.
    """

    faults: tuple[int, ...]
    outcomes: Mapping[tuple[int, ...], dict[str, int | None]]

    def least_minutes(self, shop: Workshop) -> float:
        """What it takes when it is known at once what is wrong: no way can do with less."""
        repairs = sum(shop.repair_minutes[shop.ids[fault]] for fault in self.faults)
        hand_on = shop.rules.escalation_minutes
        return min(hand_on, repairs) if self.faults else hand_on


def vehicle(shop: Workshop, seed: int) -> Vehicle:
    """A vehicle; the same seed gives the same, however one goes about it."""
    rng = random.Random(seed)
    faults = rng.choices(*shop.faults)[0]
    lefts = [faults, *((fault,) for fault in faults if len(faults) > 1)]
    return Vehicle(faults, {left: _outcomes(shop, left, rng) for left in lefts})


def _outcomes(shop: Workshop, faults: tuple[int, ...], rng: random.Random) -> dict[str, int | None]:
    outcomes: dict[str, int | None] = {}
    for item in shop.rules.findings:
        rates = [item.rates.get(shop.ids[i], item.usual) for i in faults] or [item.usual]
        shares = rates[0] if len(rates) == 1 else pair_rates(item, rates[0], rates[1])
        outcome = rng.choices(range(len(shares)), shares)[0]
        if rng.random() < WRONG:
            outcome = rng.choice([k for k in range(len(shares)) if k != outcome])
        outcomes[item.id] = None if rng.random() < DONT_KNOW else outcome
    return outcomes


@dataclass(frozen=True)
class Result:
    """How it went: minutes in all, repairs of what was not wrong, tests, and whether handed on.

    Of the minutes, those of the tests with their ways and of the wrong repairs also apart. Going
    to another place is a change of place; `places` counts those that were gone to.
    """

    minutes: float
    wrong_repairs: int
    tests: int
    handed_on: bool
    test_minutes: float
    wrong_repair_minutes: float
    place_changes: int
    places: int


class Case:
    """One vehicle in the workshop."""

    def __init__(self, shop: Workshop, car: Vehicle) -> None:
        self.shop = shop
        self.car = car
        self.at = shop.rules.places[0].id
        self.minutes = self.test_minutes = self.wrong_repair_minutes = 0.0
        self.wrong_repairs = 0
        self.went_to: list[str] = []
        self.answered: set[str] = set()
        self.done: set[str] = set()
        self.unknown = {finding.id: finding for finding in shop.rules.findings}
        self.mended: list[int] = []
        self._evidence = Evidence(shop.rules, shop.engine.effects)
        self._at_first: Belief | None = None
        self._belief: Belief | None = None
        self._flat: tuple[Hypotheses, Masses] | None = None

    @property
    def belief(self) -> Belief:
        """What is left to be mended."""
        if self._belief is None:
            self._belief = self.at_first.left(self.mended)
        return self._belief

    @property
    def at_first(self) -> Belief:
        """What was wrong at first, mended causes included."""
        if self._at_first is None:
            prior = self.shop.prior.without(self.mended) if self.mended else self.shop.prior
            self._at_first = self._evidence.posterior(prior)
        return self._at_first

    @property
    def leading(self) -> float:
        """The probability of the leading cause."""
        return max(self.belief.marginals())

    def minutes_of(self, test: engine_rules.Test) -> float:
        """Minutes of a test with the way to its place."""
        return test.minutes + (0.0 if test.place == self.at else self.shop.minutes_to[test.place])

    def settled_by(self, test: engine_rules.Test) -> list[str]:
        """The unknown findings that this test would settle."""
        answered = self.answered.union(test.questions)
        ways = self.shop.planner.ways
        return [name for name in self.unknown if any(way <= answered for way in ways[name])]

    def tells(self, test: engine_rules.Test) -> float:
        """What a test's findings tell about what is wrong, one by one, in nats."""
        settled = self.settled_by(test)
        if not settled:
            return 0.0
        if self._flat is None:
            self._flat = flat(self.shop.rules, self.belief)
        hypotheses, masses = self._flat
        rates = self.shop.engine.effects.rates
        return sum(hypotheses.told(masses, rates(name)) for name in settled)

    def test(self, name: str) -> None:
        """Do a test."""
        test = self.shop.tests[name]
        minutes = self.minutes_of(test)
        self.minutes += minutes
        self.test_minutes += minutes
        if test.place != self.at:
            self.went_to.append(test.place)
        self.at = test.place
        settled = self.settled_by(test)
        left = tuple(fault for fault in self.car.faults if fault not in self.mended)
        outcomes = self.car.outcomes[left]
        self.answered.update(test.questions)
        self.done.add(name)
        for finding in settled:
            outcome = outcomes[finding]
            count = len(self.unknown.pop(finding).outcomes)
            if outcome is not None:
                weights = tuple(float(k == outcome) for k in range(count))
                self._evidence.set(finding, weights, tuple(self.mended))
                self._at_first = self._belief = self._flat = None

    def mend(self, cause: int) -> None:
        """Mend a cause that may not be the one, or not the only one."""
        minutes = self.shop.repair_minutes[self.shop.ids[cause]]
        self.minutes += minutes
        if cause not in self.car.faults:
            self.wrong_repairs += 1
            self.wrong_repair_minutes += minutes
        self.mended.append(cause)
        self._at_first = self._belief = self._flat = None

    def result(self, *, handed_on: bool) -> Result:
        """How it went."""
        return Result(
            self.minutes,
            self.wrong_repairs,
            len(self.done),
            handed_on,
            self.test_minutes,
            self.wrong_repair_minutes,
            len(self.went_to),
            len(set(self.went_to) - {self.shop.rules.places[0].id}),
        )

    def repairs(self) -> RepairPlan:
        """Repairs by probability over cost, and when to hand on."""
        return self.shop.planner.repairs.plan(*flat(self.shop.rules, self.belief, None))

    def plan(self) -> Plan:
        """Our advice."""
        open_questions = frozenset(
            question.id
            for question in self.shop.rules.questions
            if question.id not in self.answered
        )
        return self.shop.planner.plan(
            Situation(
                belief=self.belief,
                at_first=self.at_first,
                mended=self.mended,
                evidence=self._evidence,
                weights=lambda finding: (),
                unknown=tuple(self.unknown),
                unclear=(),
                missing=lambda way: way - self.answered,
                unread=lambda way: None,
                open_questions=open_questions,
                askable=open_questions,
                at=self.at,
                places=frozenset(self.shop.minutes_to),
                put_off=(),
            )
        )


NextTest = Callable[[Case], str | None]  # the next test, or None: repair now


def advised(case: Case) -> str | None:
    """Our policy."""
    return case.plan().test


def in_order(order: Sequence[str], sure: float) -> NextTest:
    """Tests in a fixed order until the leading cause has more than `sure`, or tests end."""

    def next_test(case: Case) -> str | None:
        if case.leading > sure:
            return None
        tests = (case.shop.tests[name] for name in order if name not in case.done)
        return next((test.id for test in tests if case.settled_by(test)), None)

    return next_test


def by_information(sure: float, least_nats: float) -> NextTest:
    """The test that tells most for each minute, until sure or no test tells enough."""

    def next_test(case: Case) -> str | None:
        if case.leading > sure:
            return None
        best: tuple[float, str] | None = None
        for test in case.shop.rules.tests:
            tells = 0.0 if test.id in case.done else case.tells(test)
            rate = tells / max(case.minutes_of(test), 0.5)
            if tells >= least_nats and (best is None or rate > best[0]):
                best = rate, test.id
        return None if best is None else best[1]

    return next_test


def file_order(shop: Workshop) -> list[str]:
    """Tests as the rulebook lists them."""
    return [test.id for test in shop.rules.tests]


def checklist(shop: Workshop) -> list[str]:
    """Cheap places first; in a place, what tells most at the prior first."""

    def key(name: str) -> tuple[float, str, float]:
        place = shop.tests[name].place
        return shop.minutes_to[place], place, -shop.telling[name]

    return sorted(shop.tests, key=key)


def go_about(shop: Workshop, car: Vehicle, next_test: NextTest) -> Result:
    """Test and repair until the vehicle is cured, or handed on."""
    case = Case(shop, car)
    for opening in shop.rules.opening:
        case.test(opening)
    while True:
        name = next_test(case)
        if name is not None:
            case.test(name)
            continue
        steps = case.repairs().steps
        if not steps:
            case.minutes += shop.rules.escalation_minutes
            return case.result(handed_on=True)
        place = shop.ids.index(steps[0].cause)
        case.mend(place)
        if car.faults and set(car.faults) <= set(case.mended):
            return case.result(handed_on=False)
