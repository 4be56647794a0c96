"""The fixed part of the chain: nodes in order, cycles, conditions that read findings."""

from __future__ import annotations

from dataclasses import replace
from graphlib import CycleError

import pytest

from advisor.engine.effects import is_yes_or_no
from advisor.engine.network import Network, facts_read
from advisor.engine.rules import All, AnyOf, Condition, Is, Known, Not, OneOf, Within
from tests import helpers
from tests.random_books import LARGE_SIZES, small_book


def test_inputs_of_a_node_have_smaller_numbers() -> None:
    when = AnyOf((All((Is("x", True), Not(Is("y", True)))), Known("x"), Is("x", True)))
    network = Network(helpers.rules(findings=[helpers.finding("f", when=when)], questions=[]))
    children = [[child for child, _ in node.inputs] for node in network.nodes]
    assert any(children)
    assert all(0 <= child < n for n, inputs in enumerate(children) for child in inputs)


@pytest.mark.parametrize("seed", range(8))
def test_a_gate_stands_a_level_above_the_highest_of_its_inputs(seed: int) -> None:
    rules = small_book(seed, LARGE_SIZES).rules
    both = All(tuple(Is(item.id, True) for item in rules.findings if is_yes_or_no(item)))
    late = helpers.finding("late", when=AnyOf((both, Is("q-0-0", True))))
    network = Network(replace(rules, findings=(*rules.findings, late)))
    assert len(network.nodes) == len(network.levels)
    for node, level in zip(network.nodes, network.levels, strict=True):
        below = [network.levels[child] for child, _ in node.inputs]
        assert level == (0 if node.test is not None else 1 + max(below))
    assert network.height == 1 + max(network.levels)


def test_equal_conditions_share_a_node() -> None:
    when = All((Is("x", True), Is("y", True)))
    items = [helpers.finding(name, when=when) for name in ("f", "g")]
    network = Network(helpers.rules(findings=items, questions=[]))
    assert network.finding_root["f"] == network.finding_root["g"]
    assert len(network.nodes) == 3


def test_condition_and_its_opposite_share_a_node_however_they_are_written() -> None:
    x, y = Is("x", True), Is("y", True)
    either: Condition = AnyOf((x, y))
    forms = (All((Not(x), Not(y))), either, Not(either), Not(Not(either)))
    items = [helpers.finding(f"f{place}", when=when) for place, when in enumerate(forms)]
    network = Network(helpers.rules(findings=items, questions=[]))
    neither, any_root, again, twice = (network.finding_root[f"f{place}"] for place in range(4))
    assert any_root == twice == ~neither
    assert again == neither
    assert len(network.nodes) == 3


def test_computed_facts_come_after_their_inputs_whatever_the_order_in_the_files() -> None:
    chain = [
        helpers.computed("c", {"n": "b"}, helpers.total),
        helpers.computed("a", {"n": "x"}, helpers.total),
        helpers.computed("b", {"n": "a"}, helpers.total),
    ]
    network = Network(helpers.rules(questions=[helpers.number("x")], computed=chain))
    assert [fact.id for fact in network.computed] == ["a", "b", "c"]


def test_computed_facts_in_a_circle_are_refused() -> None:
    chain = [
        helpers.computed("a", {"n": "b"}, helpers.total),
        helpers.computed("b", {"n": "a"}, helpers.total),
    ]
    with pytest.raises(CycleError) as raised:
        Network(helpers.rules(computed=chain))
    assert {"a", "b"} <= set(raised.value.args[1])


def test_findings_in_a_circle_are_refused() -> None:
    items = [
        helpers.finding("f", when=Not(Is("g", True))),
        helpers.finding("g", when=Known("f")),
    ]
    with pytest.raises(CycleError):
        Network(helpers.rules(findings=items, questions=[]))


@pytest.mark.parametrize("reads", [Is("first", True), Known("first")])
def test_a_long_row_of_findings_that_read_one_another_stays_small(reads: Condition) -> None:
    """Regression: each finding was expanded anew wherever it was read, doubling with each step."""
    items = [helpers.finding("first"), helpers.finding("f-0", when=reads)]
    for place in range(1, 300):
        last = f"f-{place - 1}"
        twice = All((Is(last, True), Not(Is(last, False)), Known(last)))
        items.append(helpers.finding(f"f-{place}", when=twice))
    network = Network(helpers.rules(findings=items))
    assert len(network.nodes) < 4 * len(items)


def test_a_finding_compared_as_a_number_is_our_own_mistake() -> None:
    items = [helpers.finding("f"), helpers.finding("g", when=Within("f", ()))]
    with pytest.raises(TypeError, match="'f' is compared as a number"):
        Network(helpers.rules(findings=items, questions=[helpers.yes_no("q-f")]))


def test_facts_read_names_every_fact_of_a_tree() -> None:
    tree = All((Is("a", True), AnyOf((Known("b"), Not(OneOf("c", frozenset({"x"})))))))
    assert facts_read(tree) == {"a", "b", "c"}
    assert facts_read(All(())) == frozenset()
