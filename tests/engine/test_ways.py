"""Which questions settle a finding."""

from __future__ import annotations

from advisor.engine.rules import All, AnyOf, Condition, Is, Known, Not, Within
from advisor.engine.values import Interval
from advisor.engine.ways import MOST_WAYS, ways_to_settle
from tests import helpers

ABOVE = (Interval(low=1.0),)


def ways(condition: Condition, **book: object) -> list[set[str]]:
    rules = helpers.rules(
        findings=[helpers.finding("f", when=condition)],
        **book,  # type: ignore[arg-type]
    )
    return [set(way) for way in ways_to_settle(rules)["f"]]


def test_all_and_any_and_not_need_every_question() -> None:
    asked = [helpers.yes_no(name) for name in "xyz"]
    tree = All((Is("x", True), AnyOf((Is("y", True), Not(Is("z", True))))))
    assert ways(tree, questions=asked) == [{"x", "y", "z"}]


def test_whether_a_fact_is_known_needs_no_question() -> None:
    assert ways(Known("x"), questions=[helpers.yes_no("x")]) == [set()]


def test_a_fact_that_nothing_sets_has_no_way() -> None:
    assert ways(Is("nowhere", True), questions=[]) == []
    assert ways(All((Is("x", True), Is("nowhere", True))), questions=[helpers.yes_no("x")]) == []


def test_a_fact_that_is_measured_or_computed_gives_alternatives() -> None:
    found = ways(
        Within("n", ABOVE),
        questions=[helpers.number(name) for name in ("n", "p", "q", "r")],
        computed=[helpers.computed("n", {"p": "p", "q": "q", "r": "r"}, helpers.total,
                                   optional=["r"])],
    )  # fmt: skip
    assert found == [{"n"}, {"p", "q"}]


def test_alternatives_of_inputs_combine() -> None:
    found = ways(
        Within("top", ABOVE),
        questions=[helpers.number(name) for name in ("left", "p", "q")],
        computed=[
            helpers.computed("top", {"l": "left", "q": "q"}, helpers.total),
            helpers.computed("left", {"p": "p"}, helpers.total),
        ],
    )
    assert found == [{"left", "q"}, {"p", "q"}]


def test_what_a_question_hangs_on_must_be_answered_too() -> None:
    asked = [
        helpers.yes_no("deep", ask_if=Is("middle", True)),
        helpers.yes_no("middle", ask_if=Is("first", True)),
        helpers.yes_no("first"),
    ]
    assert ways(Is("deep", True), questions=asked) == [{"deep", "middle", "first"}]


def test_findings_are_seen_through() -> None:
    book = helpers.rules(
        questions=[helpers.yes_no("x"), helpers.choice("c", "p", "q"), helpers.number("n")],
        findings=[
            helpers.finding("top", when=All((Is("f", True), Is("pick", "p"), Known("size")))),
            helpers.finding("f", when=Is("x", True)),
            helpers.choice_finding("pick", "c", {"p": 0.5, "q": 0.5}, {}),
            helpers.band_finding("size", "n", [0.0], [0.5, 0.5], {}),
        ],
    )
    found = ways_to_settle(book)
    assert found["top"] == (frozenset({"x", "c"}),)
    assert found["size"] == (frozenset({"n"}),)


def test_only_so_many_ways_are_kept_and_they_are_the_shortest() -> None:
    """Four facts, each measured or computed from two others: sixteen ways."""
    names = [f"n-{place}" for place in range(4)]
    parts = [f"{name}-{side}" for name in names for side in ("l", "r")]
    found = ways(
        All(tuple(Within(name, ABOVE) for name in names)),
        questions=[helpers.number(name) for name in (*names, *parts)],
        computed=[
            helpers.computed(name, {"l": f"{name}-l", "r": f"{name}-r"}, helpers.total)
            for name in names
        ],
    )
    assert len(found) == MOST_WAYS
    assert found[0] == set(names)
    assert [len(way) for way in found] == sorted(len(way) for way in found)


def test_a_long_row_of_findings_that_read_one_another_is_quick() -> None:
    """Regression: the work doubled with each step, so that forty steps never ended."""
    items = [helpers.finding("f-0", when=Is("x", True))]
    for place in range(1, 60):
        last = f"f-{place - 1}"
        items.append(helpers.finding(f"f-{place}", when=All((Is(last, True), Is(last, False)))))
    book = helpers.rules(questions=[helpers.yes_no("x")], findings=items)
    assert ways_to_settle(book)["f-59"] == (frozenset({"x"}),)
