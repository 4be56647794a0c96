"""Random rulebooks and answers for the engine's property tests.

Numbers are chosen so that probabilities keep clear of 0.05 and 0.95, where rounding alone could
decide whether a comparison is settled.
"""

from __future__ import annotations

from collections.abc import Mapping

from hypothesis import strategies as st
from hypothesis.strategies import DrawFn, SearchStrategy

from advisor.engine.rules import (
    All,
    AnyOf,
    ByChoice,
    ComputationError,
    ComputedFact,
    Condition,
    Finding,
    Is,
    Known,
    Not,
    OneOf,
    Question,
    Rules,
    Within,
)
from advisor.engine.values import UNKNOWN, Interval, Number, Value
from tests import helpers

EDGES = (1.0, 2.0)
Answers = dict[str, Value]

QUESTIONS: tuple[Question, ...] = (
    helpers.yes_no("yes-1"),
    helpers.yes_no("yes-2"),
    helpers.yes_no("yes-3"),
    helpers.choice("pick", "red", "green", "blue"),
    helpers.choices("many", "left", "right", "rear"),
    helpers.number("first"),
    helpers.number("second"),
    helpers.number("whole"),
)


def _whole(inputs: Mapping[str, Value]) -> Value:
    first, second = inputs["first"], inputs["second"]
    assert isinstance(first, Number)
    assert isinstance(second, Number)
    if first.value > second.value + 1.0:
        raise ComputationError("the first is more than 1 above the second")
    return helpers.total(inputs)


def _colour(inputs: Mapping[str, Value]) -> Value:
    whole = inputs["whole"]
    assert isinstance(whole, Number)
    return "small" if whole.value < 2.0 else "great"


COMPUTED: tuple[ComputedFact, ...] = (
    helpers.computed("size", {"whole": "whole", "extra": "yes-1"}, _colour, optional=["extra"]),
    helpers.computed("whole", {"first": "first", "second": "second"}, _whole),
)

numbers = st.builds(
    Number,
    st.sampled_from([0.0, 0.75, 1.0, 1.25, 1.75, 2.0, 2.5]),
    st.sampled_from([0.0, 0.1, 0.3, 0.7]),
)
ANSWERS: Mapping[str, SearchStrategy[Value]] = {
    "yes-1": st.booleans(),
    "yes-2": st.booleans(),
    "yes-3": st.booleans(),
    "pick": st.sampled_from(["red", "green", "blue"]),
    "many": st.frozensets(st.sampled_from(["left", "right", "rear"])),
    "first": numbers,
    "second": numbers,
    "whole": numbers,
}

intervals = st.sampled_from(
    [
        (Interval(high=1.0),),
        (Interval(low=1.0),),
        (Interval(1.0, 2.0, low_closed=True, high_closed=True),),
        (Interval(high=0.5), Interval(low=1.5, low_closed=True)),
    ]
)


def leaves(known: bool = True) -> SearchStrategy[Condition]:
    """Comparisons of one fact; without `known`, none that asks whether a fact is known."""
    yes_or_no = st.sampled_from(["yes-1", "yes-2", "yes-3"])
    some = frozenset({"red", "blue"})
    items: list[SearchStrategy[Condition]] = [
        st.builds(Is, yes_or_no, st.booleans()),
        st.builds(Is, st.just("pick"), st.sampled_from(["red", "green", "blue"])),
        st.builds(Is, st.just("many"), st.sampled_from(["left", "right"])),
        st.builds(Is, st.just("size"), st.sampled_from(["small", "great"])),
        st.just(OneOf("pick", some)),
        st.just(OneOf("many", frozenset({"left", "rear"}))),
        st.builds(Within, st.sampled_from(["first", "second", "whole"]), intervals),
    ]
    if known:
        facts = st.sampled_from(["yes-1", "pick", "many", "first", "whole", "size"])
        items.append(st.builds(Known, facts, st.booleans()))
    return st.one_of(items)


def conditions(leaf: SearchStrategy[Condition]) -> SearchStrategy[Condition]:
    """Trees of all, any and not over these leaves, empty ones included."""
    return st.recursive(
        leaf,
        lambda inner: st.one_of(
            st.builds(All, st.lists(inner, max_size=3).map(tuple)),
            st.builds(AnyOf, st.lists(inner, max_size=3).map(tuple)),
            st.builds(Not, inner),
        ),
        max_leaves=6,
    )


@st.composite
def leaves_of_findings(draw: DrawFn, names: list[str]) -> Condition:
    """A condition that reads one of the findings: yes/no by default, "by-..." several-valued."""
    name = draw(st.sampled_from(names))
    if name == "by-pick":
        options = st.sampled_from(["warm", "cold"])
    elif name == "by-whole":
        options = st.sampled_from(["band-0", "band-1", "band-2"])
    else:
        return draw(st.one_of(st.builds(Is, st.just(name), st.booleans()), _known(name)))
    one_of = st.builds(OneOf, st.just(name), st.frozensets(options, min_size=1))
    return draw(st.one_of(st.builds(Is, st.just(name), options), one_of, _known(name)))


def _known(name: str) -> SearchStrategy[Condition]:
    return st.builds(Known, st.just(name), st.booleans())


single_rates = st.sampled_from([0.02, 0.1, 0.25, 0.4, 0.6, 0.85, 0.97])


@st.composite
def columns(draw: DrawFn, count: int) -> tuple[float, ...]:
    """Rates over several outcomes, which add up to 1."""
    parts = draw(st.lists(st.integers(1, 20), min_size=count, max_size=count))
    return tuple(part / sum(parts) for part in parts)


@st.composite
def findings(draw: DrawFn, cause_ids: list[str], most: int = 5) -> tuple[Finding, ...]:
    """Two several-valued findings, and yes/no findings that may read those before them."""
    observations = st.sampled_from([None, None, "one", "two"])

    def spoken_to() -> list[str]:
        return draw(st.lists(st.sampled_from(cause_ids), unique=True, max_size=4))

    by_pick = Finding(
        "by-pick",
        ("warm", "cold"),
        ByChoice("pick", {"red": 0, "green": 1, "blue": 1}),
        draw(columns(2)),
        {name: draw(columns(2)) for name in spoken_to()},
        draw(observations),
    )
    by_whole = helpers.band_finding(
        "by-whole",
        "whole",
        EDGES,
        draw(columns(3)),
        {name: draw(columns(3)) for name in spoken_to()},
        observation=draw(observations),
    )
    made = [by_pick, by_whole]
    for place in range(draw(st.integers(1, most))):
        names = [item.id for item in made]
        leaf = st.one_of(leaves(), leaves(), leaves_of_findings(names))
        made.append(
            helpers.finding(
                f"finding-{place}",
                {name: draw(single_rates) for name in spoken_to()},
                usual=draw(single_rates),
                when=draw(conditions(leaf)),
                observation=draw(observations),
            )
        )
    return tuple(draw(st.permutations(made)))


@st.composite
def rulebooks(draw: DrawFn, most_causes: int = 5) -> Rules:
    """A rulebook with all kinds of facts and findings, and up to `most_causes` causes."""
    ids = [f"cause-{place}" for place in range(draw(st.integers(1, most_causes)))]
    causes = [
        helpers.cause(
            name,
            commonness=draw(st.sampled_from([0.2, 1.0, 3.0, 7.5])),
            repair_minutes=draw(st.sampled_from([5.0, 30.0, 90.0])),
            verify_minutes=draw(st.sampled_from([5.0, 20.0])),
            applies_if=draw(st.none() | st.none() | leaves()),
        )
        for name in ids
    ]
    return helpers.rules(
        questions=QUESTIONS,
        computed=COMPUTED,
        findings=draw(findings(ids)),
        causes=causes,
        none_share=draw(st.sampled_from([0.05, 0.2])),
        pair_factor=draw(st.sampled_from([0.0, 0.1, 0.7])),
    )


@st.composite
def answers(draw: DrawFn, least: int = 0) -> Answers:
    """Answers to some of the questions, "don't know" among them."""
    chosen = draw(st.lists(st.sampled_from(sorted(ANSWERS)), unique=True, min_size=least))
    return {
        name: draw(st.one_of(ANSWERS[name], ANSWERS[name], st.just(UNKNOWN))) for name in chosen
    }
