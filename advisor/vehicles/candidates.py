"""What a question could be answered by itself: its options, or true values across its range."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator
from itertools import combinations, islice, pairwise

from advisor.engine.rules import (
    All,
    AnyOf,
    ByBand,
    ByChoice,
    ByCondition,
    Condition,
    Is,
    Not,
    OneOf,
    Question,
    Rules,
    Within,
)
from advisor.engine.values import Kind, Number, Value

from .readings import Dial

MOST_CHOSEN = 3  # options chosen together of one question
ALONE = 24  # values of each stretch of a number that is asked alone
AMONG_OTHERS = 4
MOST_NEAR = 3  # known values beside which others are tried
STEPS = (6.0, 60.0)  # limits of error from a known value to those beside it
CLEAR = 3.0  # limits of error: how far a true value keeps off what divides its stretch


class Read:
    """Which options and which numbers the conditions of a rulebook tell apart, by fact."""

    def __init__(self, rules: Rules) -> None:
        self.options: dict[str, set[str]] = {}
        self.edges: dict[str, set[float]] = {}
        for finding in rules.findings:
            source = finding.source
            if isinstance(source, ByCondition):
                self._take(source.when)
            elif isinstance(source, ByChoice):
                self.options.setdefault(source.fact, set()).update(source.outcome_of)
            else:
                assert isinstance(source, ByBand)
                self._take(Within(source.fact, source.bands))

    def _take(self, condition: Condition) -> None:
        match condition:
            case All(items) | AnyOf(items):
                for item in items:
                    self._take(item)
            case Not(item):
                self._take(item)
            case Is(fact, value) if isinstance(value, str):
                self.options.setdefault(fact, set()).add(value)
            case OneOf(fact, values):
                self.options.setdefault(fact, set()).update(values)
            case Within(fact, intervals):
                ends = {end for one in intervals for end in (one.low, one.high)}
                self.edges.setdefault(fact, set()).update(filter(math.isfinite, ends))
            case _:
                pass  # a yes or no, or whether a fact is known, divides nothing


def candidates(  # noqa: PLR0913 - all that tells what an answer can be
    question: Question,
    read: Read,
    dial: Dial | None,
    seen: Iterable[Value],
    *,
    alone: str | None,
    each: int,
) -> tuple[Value, ...]:
    """The values to choose from, `each` of them for every stretch of a number.

    `alone` is the option of several choices that says "none of the others".

    `seen` are answers of example vehicles: of a text, or of a number alone that no finding
    divides, they are the only ones that can be told to be sensible.
    """
    if question.kind is Kind.YES_NO:
        return (True, False)
    if question.kind is Kind.CHOICE:
        return question.options
    if question.kind is Kind.CHOICES:
        most = MOST_CHOSEN if question.id in read.options else 1
        return tuple(_combinations(question.options, alone, most))
    known = tuple(dict.fromkeys(_true_values(seen)))
    if question.kind is Kind.TEXT or dial is None:
        return known
    edges = read.edges.get(question.id, set())
    if known and not edges:
        return known if each >= ALONE else (*known, *_near(known, dial))
    return tuple(Number(value) for value in _spread(edges, dial, each))


def _true_values(seen: Iterable[Value]) -> Iterator[Value]:
    """The answers without the uncertainty of the reading."""
    for value in seen:
        if isinstance(value, Number):
            yield Number(value.value)
        elif isinstance(value, str):
            yield value


def _near(known: Iterable[Value], dial: Dial) -> Iterator[Value]:
    """Values a little and rather more beside some known ones, as far as the dial goes."""
    for value in islice(known, MOST_NEAR):
        if isinstance(value, Number) and dial.limit:
            for step in (-STEPS[1], -STEPS[0], *STEPS):
                moved = value.value + step * dial.limit
                if dial.low <= moved <= dial.high:
                    yield Number(moved)


def _combinations(
    options: tuple[str, ...], alone: str | None, most: int
) -> Iterator[frozenset[str]]:
    """Options that can be chosen together, at least one; `alone` stands by itself."""
    others = [one for one in options if one != alone]
    if alone is not None:
        yield frozenset((alone,))
    for count in range(1, most + 1):
        yield from map(frozenset, combinations(others, count))


def _spread(edges: Collection[float], dial: Dial, each: int) -> Iterator[float]:
    """True values evenly over each stretch, off its ends so that a reading seldom crosses them.

    A stretch up to an end of the range, far off, is used only as far as the numbers around it
    make sensible: as far again as the nearest edge is from nought, or from the next edge.
    """
    low, high = dial.low, dial.high
    inner = sorted(edge for edge in edges if low < edge < high)
    if not inner:
        yield from _without_edges(dial, each)
        return
    reach = max(abs(inner[0]), abs(inner[-1]), inner[-1] - inner[0])
    ends = [max(low, inner[0] - reach), *inner, min(high, inner[-1] + reach)]
    for a, b in pairwise(ends):
        margin = min(CLEAR * dial.limit, 0.4 * (b - a))
        start, stop = (a if a == low else a + margin), (b if b == high else b - margin)
        yield from (start + (stop - start) * (k + 0.5) / each for k in range(each))


def _without_edges(dial: Dial, each: int) -> Iterator[float]:
    """Values over the middle half of a range; from nought on, each some times the one before."""
    low, high = dial.low, dial.high
    if low == 0.0 and 0.0 < dial.step < high < math.inf:
        growth = (high / dial.step) ** (1.0 / each)
        yield from (dial.step * growth ** (k + 0.5) for k in range(each))
    elif math.isfinite(low) and math.isfinite(high):
        yield from (low + (high - low) * (0.25 + 0.5 * (k + 0.5) / each) for k in range(each))
    else:
        yield from ((k + 0.5) / each for k in range(each))
