"""The repair plan, on beliefs small enough to work out by hand."""

from __future__ import annotations

from itertools import combinations
from random import Random

import pytest

from advisor.engine import repair
from advisor.engine.belief import Belief
from advisor.engine.hypotheses import flat
from advisor.engine.repair import RepairPlan, Repairs
from advisor.engine.rules import Rules
from tests import helpers, oracles


def plan(book: Rules, belief: Belief) -> RepairPlan:
    return Repairs(book).plan(*flat(book, belief, None))


def book(*minutes: float, escalation: float = 1000.0) -> Rules:
    """Causes a, b, c, ... whose repair and check take these minutes."""
    return helpers.rules(
        causes=[
            helpers.cause(name, repair_minutes=cost - 1.0, verify_minutes=1.0)
            for name, cost in zip("abcde", minutes, strict=False)
        ],
        escalation_minutes=escalation,
    )


def alone(none: float, *single: float) -> Belief:
    return Belief(none, list(single), [[0.0] * len(single) for _ in single])


def test_the_likelier_but_dearer_repair_can_come_second() -> None:
    steps = plan(book(100.0, 10.0), alone(0.0, 0.6, 0.4)).steps
    assert [step.cause for step in steps] == ["b", "a"]


def test_expected_minutes_are_those_of_each_step_by_the_chance_of_reaching_it() -> None:
    made = plan(book(100.0, 10.0), alone(0.1, 0.5, 0.4))
    assert [step.reached for step in made.steps] == pytest.approx([1.0, 0.6], abs=1e-12)
    assert made.hand_on == pytest.approx(0.1, abs=1e-12)
    assert made.expected_minutes == pytest.approx(10.0 + 0.6 * 100.0 + 0.1 * 1000.0, abs=1e-9)


def test_a_pair_is_cured_by_its_second_repair() -> None:
    made = plan(book(10.0, 10.0), Belief(0.0, [0.5, 0.2], [[0.0, 0.3], [0.3, 0.0]]))
    assert [step.cause for step in made.steps] == ["a", "b"]
    assert [step.probability for step in made.steps] == pytest.approx([0.8, 0.5], abs=1e-12)
    assert [step.reached for step in made.steps] == pytest.approx([1.0, 0.5], abs=1e-12)
    assert made.hand_on == pytest.approx(0.0, abs=1e-12)
    assert made.expected_minutes == pytest.approx(15.0, abs=1e-9)


def test_handing_on_at_once_is_a_plan() -> None:
    made = plan(book(100.0, escalation=5.0), alone(0.5, 0.5))
    assert made == RepairPlan((), 1.0, 5.0)


def test_handing_on_for_nothing_is_the_plan() -> None:
    assert plan(book(100.0, escalation=0.0), alone(0.5, 0.5)) == RepairPlan((), 1.0, 0.0)


def test_a_repair_worth_no_more_than_handing_on_is_not_tried() -> None:
    steps = plan(book(10.0, 300.0, escalation=200.0), alone(0.2, 0.5, 0.3)).steps
    assert [step.cause for step in steps] == ["a"]


@pytest.mark.parametrize("none", [0.0, 1e-18, 0.1])
def test_causes_without_mass_are_never_tried(none: float) -> None:
    """Even where rounding leaves the uncured mass a hair below zero."""
    shares = [0.1, 0.2, 0.3, 0.4 - none]
    made = plan(book(10.0, 10.0, 10.0, 10.0, 10.0), alone(none, *shares, 0.0))
    assert "e" not in [step.cause for step in made.steps]
    assert made.expected_minutes >= 10.0


def test_expected_minutes_grow_with_the_mass() -> None:
    """Branches of a what-if carry their chance in their masses."""
    rules = book(100.0, 10.0)
    hypotheses, masses = flat(rules, alone(0.1, 0.5, 0.4))
    repairs = Repairs(rules)
    whole = repairs.expected_minutes(hypotheses, masses)
    part = repairs.expected_minutes(hypotheses, [0.25 * mass for mass in masses])
    assert part == pytest.approx(0.25 * whole, rel=1e-12)
    assert whole == pytest.approx(repairs.plan(hypotheses, masses).expected_minutes, rel=1e-12)


def test_for_two_faults_the_order_is_good_and_not_claimed_to_be_the_best() -> None:
    """Against every order of every selection of repairs; here the pairs have half of the mass.

    The published proof is for one fault. Design limit: never 5 % more than the least.
    """
    source = Random(1)
    ratios = []
    for _ in range(40):
        weights = [source.uniform(0.1, 1.0) for _ in range(4 + 6)]
        shares = [weight / sum(weights) for weight in weights]
        masses = dict(
            zip([(0,), (1,), (2,), (3,), *combinations(range(4), 2)], shares, strict=True)
        )
        pairs = [[masses.get((min(i, j), max(i, j)), 0.0) for j in range(4)] for i in range(4)]
        rules = book(*(source.choice((20.0, 60.0, 150.0, 240.0)) for _ in range(4)))
        made = plan(rules, Belief(0.0, [masses[i,] for i in range(4)], pairs))
        ratios.append(made.expected_minutes / oracles.least_minutes_of_all_orders(rules, masses))
    assert 1.0 + 1e-3 < max(ratios) < 1.05
    assert min(ratios) >= 1.0 - 1e-12
    assert "not proved the best" in " ".join((repair.__doc__ or "").split())


def test_equal_worth_keeps_the_order_of_the_files() -> None:
    steps = plan(book(10.0, 10.0, 10.0), alone(0.1, 0.3, 0.3, 0.3)).steps
    assert [step.cause for step in steps] == ["a", "b", "c"]
