"""The least expected minutes that any way of going about a small rulebook can have, exactly.

Dynamic programming over everything that can be done next: any test not done, any repair not
done, handing the vehicle on. Also the exact expected minutes of the advice of `Diagnosis.plan`,
over the same states. Nothing is shared with the planner but the data classes of the rules;
rates and prior come from tests/oracles.py.

The model: the outcome of a finding is drawn once for a vehicle, by its rate under what is wrong
with it, and comes to light when tests that settle it are done. A repair with its verification
takes its minutes, and ends the work when nothing that is wrong is left unmended.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product

from advisor.engine.diagnosis import Diagnosis, Engine
from tests import oracles
from tests.random_books import SmallBook


@dataclass(frozen=True)
class State:
    """What has been done on one vehicle so far."""

    done: frozenset[str]  # tests
    outcomes: tuple[int | None, ...]  # of the findings, in the order of the rulebook
    mended: frozenset[int]  # causes mended without a cure
    at: str


Choice = tuple[float, list[tuple[State, list[float]]]]


class Model:
    """A small rulebook as states, chances and minutes."""

    def __init__(self, book: SmallBook) -> None:
        self.book = book
        self.rules = rules = book.rules
        self.guesses = oracles.hypotheses(rules)
        prior = oracles.prior(rules, {})
        self.start_masses = [prior[guess] for guess in self.guesses]
        columns = [
            [oracles.rates(rules, f, guess) for guess in self.guesses] for f in rules.findings
        ]
        self.likelihoods = [list(zip(*column, strict=True)) for column in columns]
        self.ways = [book.readings[finding.id].ways for finding in rules.findings]
        self.repair_minutes = [c.repair_minutes + c.verify_minutes for c in rules.causes]
        self.tests = {test.id: test for test in rules.tests}
        self.way_minutes = {place.id: place.minutes for place in rules.places}
        self.start = State(
            frozenset(), (None,) * len(rules.findings), frozenset(), rules.places[0].id
        )

    def test_minutes(self, state: State, name: str) -> float:
        """Minutes of a test, with the way to its place when not there."""
        test = self.tests[name]
        return test.minutes + (0.0 if test.place == state.at else self.way_minutes[test.place])

    def after_test(
        self, state: State, masses: Sequence[float], name: str
    ) -> list[tuple[State, list[float]]]:
        """The states that a test can lead to, with their masses (not normalised)."""
        done = state.done | {name}
        new = [
            place
            for place, ways in enumerate(self.ways)
            if state.outcomes[place] is None and any(way <= done for way in ways)
        ]
        found = []
        for drawn in product(*(range(len(self.likelihoods[place])) for place in new)):
            outcomes, after = list(state.outcomes), list(masses)
            for place, outcome in zip(new, drawn, strict=True):
                outcomes[place] = outcome
                rates = self.likelihoods[place][outcome]
                after = [mass * rate for mass, rate in zip(after, rates, strict=True)]
            next_state = State(done, tuple(outcomes), state.mended, self.tests[name].place)
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
            if name not in state.done:
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
    known: dict[State, float] = {}

    def least(state: State, masses: Sequence[float]) -> float:
        if state in known:
            return known[state]
        total = sum(masses)
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
        known[state] = best
        return best

    return least(model.start, model.start_masses)


def minutes_of_advice(model: Model) -> float:
    """The expected minutes of following `Diagnosis.plan` to the end, exactly."""
    engine = Engine(model.rules)
    index = {cause.id: place for place, cause in enumerate(model.rules.causes)}
    known: dict[State, float] = {}

    def expected(state: State, masses: Sequence[float]) -> float:
        if state in known:
            return known[state]
        total = sum(masses)
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
        known[state] = minutes + sum(expected(after, left) for after, left in follow)
        return known[state]

    return expected(model.start, model.start_masses)


def _diagnosis(engine: Engine, model: Model, state: State) -> Diagnosis:
    case = Diagnosis(engine)
    outcomes: Mapping[str, int | None] = {
        finding.id: outcome
        for finding, outcome in zip(model.rules.findings, state.outcomes, strict=True)
    }
    for reading in model.book.readings.values():
        answers = reading.answers(state.done, outcomes[reading.finding])
        for question, value in answers.items():
            case.answer(question, value)
    for cause in sorted(state.mended):
        case.mend(model.rules.causes[cause].id)
    return case
