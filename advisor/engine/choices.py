"""The choices of a person now, side by side: repair, confirm first, test first, hand on.

Each is followed to the cure by the best repairs without more testing, as the planner weighs a
test. So the minutes here are those that the plan itself goes by: exact, but for tests with more
outcomes than a forecast follows. Those count the findings that tell least as not read, and the
minutes come out somewhat high.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from enum import Enum

from .belief import Belief
from .forecast import Forecast
from .hypotheses import Hypotheses, Masses, flat
from .plan import Plan, Planner
from .repair import Repairs
from .rules import Test
from .situation import Situation


class Course(Enum):
    """What a choice begins with."""

    REPAIR = "repair"
    CONFIRM = "confirm"
    TEST = "test"
    HAND_ON = "hand-on"


@dataclass(frozen=True, slots=True)
class Choice:
    """One way to go on from here.

    `minutes` is the expected total to the cure or to handing the vehicle on, `first_minutes` that
    of the first step: a repair with its proof, a test with the way there. `first_cures` is the
    chance that the first repair cures. `cause` is mended or confirmed first (None: as the test
    turns out), `tests` are done before.
    """

    course: Course
    cause: str | None
    tests: tuple[str, ...]
    minutes: float
    first_minutes: float
    first_cures: float


class _FirstRepair(Repairs):
    """Stands in for the repairs in a forecast, which then foretells what the first one cures."""

    def expected_minutes(self, hypotheses: Hypotheses, masses: Masses) -> float:
        """The mass that the first repair of the plan cures; none when the vehicle is handed on."""
        steps = self.plan(hypotheses, masses).steps
        return masses[1 + hypotheses.causes.index(steps[0].cause)] if steps else 0.0


def choices(
    planner: Planner, situation: Situation, plan: Plan, leading: str | None
) -> tuple[Choice, ...]:
    """The choices now: what the plan advises, then by expected minutes, fewest first.

    `plan` is that of the situation. A test that saves too little to interrupt for may come out a
    little quicker than the advice. `leading` is the most probable cause. Its repair is a choice
    of its own when the plan mends another one first, because that is quicker. A confirming test
    is a choice while it would settle something and is not the plan's best test.
    """
    found = list(_choices(planner, situation, plan, leading))
    steps = plan.repair.steps
    if plan.test is not None:
        advised = next(choice for choice in found if choice.course is Course.TEST)
    else:
        advised = found[0] if steps else found[-1]
    return tuple(sorted(found, key=lambda choice: (choice is not advised, choice.minutes)))


def _choices(
    planner: Planner, situation: Situation, plan: Plan, leading: str | None
) -> Iterator[Choice]:
    belief = situation.belief
    steps = plan.repair.steps
    firsts = dict.fromkeys([*(step.cause for step in steps[:1]), *filter(None, [leading])])
    for cause in firsts:
        yield _repair(planner, belief, cause)
    weighed = {(option.tests[0],) for option in plan.options[:1] if len(option.tests) == 1}
    for cause in firsts:
        test = _confirming(planner, situation, cause)
        if test is not None and (test.id,) not in weighed:
            weighed.add((test.id,))
            yield _test_first(planner, situation, plan, cause, test)
    for option in plan.options[:1]:
        minutes = plan.repair.expected_minutes - option.saves
        cures = _first_cures(planner, situation, option.tests)
        yield Choice(Course.TEST, None, option.tests, minutes, option.minutes, cures)
    hand_on = planner.rules.escalation_minutes
    yield Choice(Course.HAND_ON, None, (), hand_on, hand_on, 0.0)


def _repair(planner: Planner, belief: Belief, cause: str) -> Choice:
    """Mend this cause at once, then go on in the best order."""
    place = planner.effects.index_of[cause]
    model = planner.rules.causes[place]
    minutes = model.repair_minutes + model.verify_minutes
    cures = belief.single[place]
    rest = belief.without([place]).left([place])
    after = planner.repairs.expected_minutes(*flat(planner.rules, rest, None))
    return Choice(Course.REPAIR, cause, (), minutes + (1.0 - cures) * after, minutes, cures)


def _confirming(planner: Planner, situation: Situation, cause: str) -> Test | None:
    """The test that confirms a cause, while it can be done here and would settle something."""
    name = planner.rules.causes[planner.effects.index_of[cause]].confirm
    test = next((test for test in planner.rules.tests if test.id == name), None)
    if test is None or test.place not in situation.places:
        return None
    asked = situation.askable.__contains__
    startable = any(asked(question) for question in test.questions)
    return test if startable and settled_by(planner, situation, [test.id]) else None


def _test_first(
    planner: Planner, situation: Situation, plan: Plan, cause: str, test: Test
) -> Choice:
    """Do the confirming test, then mend as its outcome advises."""
    way = 0.0 if test.place == situation.at else planner.minutes_to[test.place]
    minutes = test.minutes + way
    forecast = Forecast(planner.rules, planner.effects, planner.repairs, situation)
    gain = forecast.now - forecast.minutes_after(settled_by(planner, situation, [test.id]))
    expected = plan.repair.expected_minutes - gain + minutes
    cures = _first_cures(planner, situation, (test.id,))
    return Choice(Course.CONFIRM, cause, (test.id,), expected, minutes, cures)


def _first_cures(planner: Planner, situation: Situation, tests: Collection[str]) -> float:
    """The chance that the first repair cures, once these tests are done."""
    repairs = _FirstRepair(planner.rules)
    forecast = Forecast(planner.rules, planner.effects, repairs, situation)
    after = forecast.minutes_after(settled_by(planner, situation, tests))
    # A forecast counts pairs beyond the likeliest as their causes alone, which one repair cures.
    now = repairs.expected_minutes(*flat(planner.rules, situation.belief, None))
    return min(1.0, max(0.0, after + now - forecast.now))


def settled_by(planner: Planner, situation: Situation, tests: Collection[str]) -> list[str]:
    """The findings that the open questions of these tests are sure to settle."""
    answers = {
        question for test in planner.rules.tests if test.id in tests for question in test.questions
    }
    found = []
    for findings, lacking in (
        (situation.unknown, situation.missing),
        (situation.unclear, situation.unread),
    ):
        for finding in findings:
            lacks = map(lacking, planner.ways[finding])
            if any(way and way <= answers for way in lacks):
                found.append(finding)
    return found
