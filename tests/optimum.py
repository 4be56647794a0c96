"""The least expected minutes that any way of going about a small rulebook can have, exactly.

Dynamic programming over everything that can be done next: any test not done, any repair not
done, handing the vehicle on. Also the exact expected minutes of the advice of `Diagnosis.plan`,
over the same states. Nothing is shared with the planner but the data classes of the rules;
rates and prior come from tests/oracles.py.

The model: the outcome of a finding is drawn when tests that settle it are done, by its rate
under what is then still wrong. A repair with its verification takes its minutes, and ends the
work when nothing that is wrong is left unmended.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product

from advisor.engine.diagnosis import Diagnosis, Engine
from tests import oracles
from tests.random_books import SmallBook


def is_within_reach(book: SmallBook) -> bool:
    """Whether the optimum of a rulebook can be worked out in reasonable time."""
    return len(book.rules.causes) + len(book.rules.tests) <= MOST_CAUSES_AND_TESTS


@dataclass(frozen=True)
class State:
    """What has been done on one vehicle so far; what each test found, and after which repairs."""

    done: frozenset[tuple[str, frozenset[int]]]  # tests, with the causes mended before
    outcomes: tuple[tuple[int, frozenset[int]] | None, ...]  # of the findings; the same
    mended: frozenset[int]  # causes mended without a cure
    at: str

    @property
    def tests(self) -> frozenset[str]:
        """The tests done."""
        return frozenset(test for test, _ in self.done)

    def alike(self, masses: Sequence[float], total: float) -> Alike:
        """The same for states from which all goes on alike: what may still come, and belief."""
        settled = tuple(found is not None for found in self.outcomes)
        belief = tuple(round(mass / total, 12) for mass in masses)
        return self.tests, settled, self.mended, self.at, belief


MOST_CAUSES_AND_TESTS = 8  # with more, going through all states takes many seconds
Alike = tuple[frozenset[str], tuple[bool, ...], frozenset[int], str, tuple[float, ...]]
Choice = tuple[float, list[tuple[State, list[float]]]]


class Model:
    """A small rulebook as states, chances and minutes."""

    def __init__(self, book: SmallBook) -> None:
        self.book = book
        self.rules = rules = book.rules
        self.guesses = oracles.hypotheses(rules)
        prior = oracles.prior(rules, {})
        self.start_masses = [prior[guess] for guess in self.guesses]
        self._likelihoods: dict[frozenset[int], list[list[tuple[float, ...]]]] = {}
        self.ways = [book.readings[finding.id].ways for finding in rules.findings]
        self.repair_minutes = [c.repair_minutes + c.verify_minutes for c in rules.causes]
        self.tests = {test.id: test for test in rules.tests}
        self.way_minutes = {place.id: place.minutes for place in rules.places}
        self.start = State(
            frozenset(), (None,) * len(rules.findings), frozenset(), rules.places[0].id
        )

    def likelihoods(self, mended: frozenset[int]) -> list[list[tuple[float, ...]]]:
        """For each finding and outcome its rate under each guess, once these are mended."""
        if mended not in self._likelihoods:
            left = [tuple(cause for cause in g if cause not in mended) for g in self.guesses]
            self._likelihoods[mended] = [
                list(zip(*(oracles.rates(self.rules, f, guess) for guess in left), strict=True))
                for f in self.rules.findings
            ]
        return self._likelihoods[mended]

    def test_minutes(self, state: State, name: str) -> float:
        """Minutes of a test, with the way to its place when not there."""
        test = self.tests[name]
        return test.minutes + (0.0 if test.place == state.at else self.way_minutes[test.place])

    def after_test(
        self, state: State, masses: Sequence[float], name: str
    ) -> list[tuple[State, list[float]]]:
        """The states that a test can lead to, with their masses (not normalised)."""
        done = state.tests | {name}
        likelihoods = self.likelihoods(state.mended)
        new = [
            place
            for place, ways in enumerate(self.ways)
            if state.outcomes[place] is None and any(way <= done for way in ways)
        ]
        found = []
        for drawn in product(*(range(len(likelihoods[place])) for place in new)):
            outcomes, after = list(state.outcomes), list(masses)
            for place, outcome in zip(new, drawn, strict=True):
                outcomes[place] = outcome, state.mended
                rates = likelihoods[place][outcome]
                after = [mass * rate for mass, rate in zip(after, rates, strict=True)]
            next_state = State(
                state.done | {(name, state.mended)},
                tuple(outcomes),
                state.mended,
                self.tests[name].place,
            )
            found.append((next_state, after))
        return found

    def after_repair(
        self, state: State, masses: Sequence[float], cause: int
    ) -> tuple[State, list[float]]:
        """The state once a repair has brought no cure, and its masses (not normalised)."""
        mended = state.mended | {cause}
        left = [
            0.0 if guess and mended.issuperset(guess) else mass
            for guess, mass in zip(self.guesses, masses, strict=True)
        ]
        return replace(state, mended=mended), left

    def choices(self, state: State, masses: Sequence[float]) -> Iterator[Choice]:
        """Every repair and test not done yet: its minutes, and what can follow."""
        for cause, minutes in enumerate(self.repair_minutes):
            if cause not in state.mended:
                yield minutes, [self.after_repair(state, masses, cause)]
        for name in self.tests:
            if name not in state.tests:
                yield self.test_minutes(state, name), self.after_test(state, masses, name)

    def least_thinkable(self, state: State, masses: Sequence[float]) -> float:
        """A bound: what it would take if it were known what is wrong."""
        hand_on = self.rules.escalation_minutes
        total = 0.0
        for guess, mass in zip(self.guesses, masses, strict=True):
            left = [self.repair_minutes[cause] for cause in guess if cause not in state.mended]
            total += mass * (min(hand_on, sum(left)) if left else hand_on)
        return total


def least_minutes(model: Model) -> float:
    """The least expected minutes to the cure or to handing on, over all ways of going about it."""
    known: dict[Alike, float] = {}

    def least(state: State, masses: Sequence[float]) -> float:
        total = sum(masses)
        if total <= 0.0:
            return 0.0
        alike = state.alike(masses, total)
        if alike in known:
            return known[alike] * total
        best = model.rules.escalation_minutes * total
        choices = []
        for minutes, follow in model.choices(state, masses):
            bounds = [model.least_thinkable(after, left) for after, left in follow]
            choices.append((minutes * total + sum(bounds), bounds, follow))
        for bound_of_all, bounds, follow in sorted(choices, key=lambda choice: choice[0]):
            expected = bound_of_all
            for (after, left), bound in zip(follow, bounds, strict=True):
                if expected >= best:
                    break
                expected += least(after, left) - bound
            best = min(best, expected)
        known[alike] = best / total
        return best

    return least(model.start, model.start_masses)


def minutes_of_advice(model: Model) -> float:
    """The expected minutes of following `Diagnosis.plan` to the end, exactly."""
    engine = Engine(model.rules)
    index = {cause.id: place for place, cause in enumerate(model.rules.causes)}
    known: dict[Alike, float] = {}

    def expected(state: State, masses: Sequence[float]) -> float:
        total = sum(masses)
        if total <= 0.0:
            return 0.0
        alike = state.alike(masses, total)
        if alike in known:
            return known[alike] * total
        plan = _diagnosis(engine, model, state).plan(at=state.at)
        if plan.test is not None:
            minutes = model.test_minutes(state, plan.test) * total
            follow = model.after_test(state, masses, plan.test)
        elif plan.repair.steps:
            cause = index[plan.repair.steps[0].cause]
            minutes = model.repair_minutes[cause] * total
            follow = [model.after_repair(state, masses, cause)]
        else:
            minutes = model.rules.escalation_minutes * total
            follow = []
        whole = minutes + sum(expected(after, left) for after, left in follow)
        known[alike] = whole / total
        return whole

    return expected(model.start, model.start_masses)


def _diagnosis(engine: Engine, model: Model, state: State) -> Diagnosis:
    """The answers so far, each after the repairs that had been done."""
    case = Diagnosis(engine)
    mended_before = dict(state.done)
    answers = []
    for finding, found in zip(model.rules.findings, state.outcomes, strict=True):
        reading = model.book.readings[finding.id]
        given = reading.answers(state.tests, None if found is None else found[0])
        answers += [(mended_before[reading.questions[q]], q, value) for q, value in given.items()]
    for mended, question, value in sorted(answers, key=lambda answer: len(answer[0])):
        for cause in sorted(mended):
            case.mend(model.rules.causes[cause].id)
        case.answer(question, value)
    for cause in sorted(state.mended):
        case.mend(model.rules.causes[cause].id)
    return case
