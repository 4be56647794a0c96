"""Which answers can make a condition true or false, over the whole of it.

Answers that do are given as boxes: each says, of some aspects of facts, what they may be, and
leaves all else open. No box means that no answers can. Whatever is not worked out (what a
function can give, the dimensions of a rulebook with very many alternatives) counts as possible,
so that nothing possible is called impossible.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from advisor.engine.rules import (
    All,
    AnyOf,
    ByBand,
    ByCondition,
    Condition,
    Finding,
    Is,
    Known,
    Not,
    OneOf,
    Within,
)
from advisor.engine.values import Interval, Kind
from advisor.rulebook import Rulebook
from advisor.rulebook.algebra import WHOLE_LINE, Intervals, complement, intersection

KNOWN, VALUE = "is known", "is"
MOST_BOXES = 512  # beyond, the condition counts as possible

Aspect = tuple[str, str]  # fact, and KNOWN, VALUE or, of several choices, "includes ..."
Allowed = frozenset[bool | str] | Intervals
Box = Mapping[Aspect, Allowed]
Boxes = tuple[Box, ...]

ANYTHING: Boxes = ({},)
NOTHING: Boxes = ()
_OUTCOME_NAMES: Mapping[bool | str, str] = {True: "true", False: "false"}


class Possibilities:
    """What the answers to a rulebook's questions can bring about.

    A number question is answered within its range. With `heed_asking`, a question is answered
    only once its `ask_if` is true.
    """

    def __init__(self, rulebook: Rulebook, *, heed_asking: bool = True) -> None:
        rules = rulebook.rules
        self._rulebook = rulebook
        self._questions = {one.id: one for one in rules.questions}
        self._computed = {one.id: one for one in rules.computed}
        self._findings = {one.id: one for one in rules.findings}
        self._heed_asking = heed_asking
        self._known: dict[str, Boxes] = {}

    def true(self, condition: Condition) -> Boxes:
        """The answers that make the condition true."""
        return self._boxes(condition, True)

    def outcome(self, finding: Finding, outcome: int, *, once: bool = False) -> Boxes:
        """The answers that give this outcome of the finding; `once` as for conditions."""
        source = finding.source
        if isinstance(source, ByCondition):
            return self._boxes(source.when, outcome == 0, once=once)
        if isinstance(source, ByBand):
            return self._boxes(Within(source.fact, (source.bands[outcome],)), True, once=once)
        options = [one for one, place in source.outcome_of.items() if place == outcome]
        return self._boxes(OneOf(source.fact, frozenset(options)), True, once=once)

    def _boxes(self, condition: Condition, wanted: bool, *, once: bool = False) -> Boxes:
        """The answers that make the condition true or false; `once`: at some time before others."""
        match condition:
            case Not(item):
                return self._boxes(item, not wanted, once=once)
            case All(items) | AnyOf(items):
                parts = (self._boxes(one, wanted, once=once) for one in items)
                return together(parts) if isinstance(condition, All) is wanted else either(parts)
            case Known(fact, known) if known is wanted:
                return self.known(fact)
            case Known(fact):
                # what was not known when a question was asked may be known by now
                return ANYTHING if once or fact in self._findings else _is_known(fact, False)
            case Is(fact) | OneOf(fact) if fact in self._findings:
                return self._concluded(condition, wanted, once=once)
            case _:
                return together((self._values(condition, wanted), self.known(condition.fact)))

    def known(self, fact: str) -> Boxes:
        """The answers with which the fact is known."""
        if fact not in self._known:
            self._known[fact] = self._worked_out(fact)
        return self._known[fact]

    def _worked_out(self, fact: str) -> Boxes:
        if fact in self._findings:
            finding = self._findings[fact]
            return either(self.outcome(finding, k) for k in range(len(finding.outcomes)))
        itself = _is_known(fact, True)
        if fact in self._questions and fact in self._computed:
            return itself
        if fact in self._computed:
            computed = self._computed[fact]
            needed = (one for name, one in computed.inputs.items() if name not in computed.optional)
            return together((itself, *(self.known(one) for one in needed)))
        asked = self._questions[fact].ask_if
        if asked is None or not self._heed_asking:
            return itself
        return together((itself, self._boxes(asked, True, once=True)))

    def _concluded(self, condition: Is | OneOf, wanted: bool, *, once: bool) -> Boxes:
        """The answers that give an outcome of a finding that fits the comparison, or does not."""
        finding = self._findings[condition.fact]
        named = {_OUTCOME_NAMES.get(one, one) for one in _named(condition)}
        return either(
            self.outcome(finding, place, once=once)
            for place, name in enumerate(finding.outcomes)
            if (name in named) is wanted
        )

    def _values(self, condition: Is | OneOf | Within, wanted: bool) -> Boxes:
        """The values of the fact itself that fit the comparison, or that do not."""
        fact = condition.fact
        if isinstance(condition, Within):
            intervals = condition.intervals if wanted else complement(condition.intervals)
            inside = intersection(intervals, self._range(fact))
            return ({(fact, VALUE): inside},) if inside else NOTHING
        named = _named(condition)
        kind = self._rulebook.facts[fact]
        if kind.kind is Kind.CHOICES:
            included = [(fact, f"includes {one}") for one in sorted(map(str, named))]
            if not wanted:
                return ({aspect: frozenset({False}) for aspect in included},)
            return tuple({aspect: frozenset({True})} for aspect in included)
        every = {True, False} if kind.kind is Kind.YES_NO else set(kind.options)
        left = frozenset(one for one in every if (one in named) is wanted)
        return ({(fact, VALUE): left},) if left else NOTHING

    def _range(self, fact: str) -> Intervals:
        """The plausible range of a number that is asked and never computed."""
        measure = self._rulebook.measures.get(fact)
        if measure is None or measure.range is None or fact in self._computed:
            return WHOLE_LINE
        return (Interval(*measure.range, True, True),)


def _named(condition: Is | OneOf) -> frozenset[bool | str]:
    if isinstance(condition, OneOf):
        return frozenset(condition.values)
    return frozenset({condition.value})


def _is_known(fact: str, known: bool) -> Boxes:
    return ({(fact, KNOWN): frozenset({known})},)


def meet(first: Box, second: Box) -> Box | None:
    """What both boxes allow, or None when nothing is left of some aspect."""
    met = dict(first)
    for aspect, allowed in second.items():
        left = _both(met[aspect], allowed) if aspect in met else allowed
        if not left:
            return None
        met[aspect] = left
    return met


def _both(first: Allowed, second: Allowed) -> Allowed:
    if isinstance(first, frozenset):
        assert isinstance(second, frozenset)
        return first & second
    assert isinstance(second, tuple)
    return intersection(first, second)


def together(parts: Iterable[Boxes]) -> Boxes:
    """The answers in a box of every part."""
    boxes = ANYTHING
    for part in parts:
        found = (meet(one, other) for one in boxes for other in part)
        boxes = either([tuple(box for box in found if box is not None)])
    return boxes


def either(parts: Iterable[Boxes]) -> Boxes:
    """The answers in a box of any part."""
    boxes: list[Box] = []
    for part in parts:
        boxes.extend(box for box in part if box not in boxes)
    return tuple(boxes) if len(boxes) <= MOST_BOXES else ANYTHING


def can_meet(first: Boxes, second: Boxes) -> bool:
    """Whether some answers lie in a box of each."""
    return any(meet(one, other) is not None for one in first for other in second)
