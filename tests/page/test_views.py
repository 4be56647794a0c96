"""How lines become lists and facts become tables."""

from __future__ import annotations

from typing import Any

import pytest

from advisor.page.views import Node, facts_by_kind, greatest_weight, outline, ranked_views
from tests.page.shop import DEMOS, demo


def plain(nodes: list[Node]) -> list[Any]:
    return [[node.text, *plain(node.children)] for node in nodes]


@pytest.mark.parametrize(
    ("lines", "tree"),
    [
        ([], []),
        (["a", "b"], [["a"], ["b"]]),
        ([" - a", "     more", " - b"], [["a", ["more"]], ["b"]]),
        (["a", "   b", "      c", "   d", "e"], [["a", ["b", ["c"]], ["d"]], ["e"]]),
        (["   deep", "a", "  - item"], [["deep"], ["a", ["item"]]]),
    ],
)
def test_indented_lines_become_a_tree(lines: list[str], tree: list[Any]) -> None:
    assert plain(outline(lines)) == tree


@pytest.mark.parametrize("name", DEMOS)
def test_every_known_fact_stands_in_exactly_one_group(name: str) -> None:
    session, assessment = demo(name)
    facts = facts_by_kind(assessment, session.rulebook, session.diagnosis)
    names = [one.name for one in (*facts.measured, *facts.computed)]
    names += [one.name for one in facts.answers]
    assert sorted(names) == sorted(fact.name for fact in assessment.facts)


def test_measured_number_has_its_uncertainty_and_its_gauge() -> None:
    session, assessment = demo("pickup-shake")
    facts = facts_by_kind(assessment, session.rulebook, session.diagnosis)
    (ring,) = [
        one for one in facts.measured if one.name == "How thick is the first retaining ring?"
    ]
    assert (ring.value, ring.uncertainty, ring.how) == ("1.5000 mm", "0.0012 mm", "Micrometer")
    (play,) = [one for one in facts.computed if one.name == "End play of the cross in the fork"]
    assert (play.value, play.uncertainty) == ("0.118 mm", "0.017 mm")


def test_longest_bar_stands_for_the_greatest_weight_shown() -> None:
    views = ranked_views(demo("pickup-shake")[1])
    shown = [line.decibans for cause in views for side in cause.sides for line in side.lines]
    assert greatest_weight(views) == max(map(abs, shown)) > 8.0
    assert greatest_weight(()) == 1.0
