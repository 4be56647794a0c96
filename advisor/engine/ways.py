"""Which questions, answered together, are sure to settle a finding. Worked out once, at load."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from .rules import All, AnyOf, ByCondition, Condition, Known, Not, Question, Rules

Way = frozenset[str]
MOST_WAYS = 8  # a finding with more alternatives than this keeps those with the fewest questions


class _Ways:
    def __init__(self, rules: Rules) -> None:
        self._questions = {question.id: question for question in rules.questions}
        self._computed = {fact.id: fact for fact in rules.computed}
        self._findings = {finding.id: finding for finding in rules.findings}
        self._of_fact: dict[str, tuple[Way, ...]] = {}

    def of(self, fact: str) -> tuple[Way, ...]:
        """The ways to settle a question's fact, a computed fact or a finding."""
        if fact not in self._of_fact:
            self._of_fact[fact] = self._worked_out(fact)
        return self._of_fact[fact]

    def _worked_out(self, fact: str) -> tuple[Way, ...]:
        if fact in self._findings:
            source = self._findings[fact].source
            if isinstance(source, ByCondition):
                return self._of_condition(source.when)
            return self.of(source.fact)
        ways: list[Way] = []
        if fact in self._questions:
            ways.extend(self._of_question(self._questions[fact]))
        if fact in self._computed:
            computed = self._computed[fact]
            needed = [f for name, f in computed.inputs.items() if name not in computed.optional]
            ways.extend(_together(self.of(name) for name in needed))
        return _fewest(ways)

    def _of_question(self, question: Question) -> tuple[Way, ...]:
        """The question itself, with what must be known for it to be asked."""
        itself = (frozenset((question.id,)),)
        if question.ask_if is None:
            return itself
        return _together((itself, self._of_condition(question.ask_if)))

    def _of_condition(self, condition: Condition) -> tuple[Way, ...]:
        match condition:
            case All(items) | AnyOf(items):
                return _together(self._of_condition(item) for item in items)
            case Not(item):
                return self._of_condition(item)
            case Known():
                return (frozenset(),)
            case _:
                return self.of(condition.fact)


def _together(parts: Iterable[tuple[Way, ...]]) -> tuple[Way, ...]:
    ways: tuple[Way, ...] = (frozenset(),)
    for part in parts:
        ways = _fewest(way | other for way in ways for other in part)
    return ways


def _fewest(ways: Iterable[Way]) -> tuple[Way, ...]:
    return tuple(sorted(set(ways), key=lambda way: (len(way), sorted(way)))[:MOST_WAYS])


def ways_to_settle(rules: Rules) -> Mapping[str, tuple[Way, ...]]:
    """For each finding, the alternative sets of questions that settle it; fewest questions first.

    A fact that is both asked and computed gives alternatives. Optional inputs of a computed fact
    are not needed. A finding that no question can settle has no way.
    """
    ways = _Ways(rules)
    return {finding.id: ways.of(finding.id) for finding in rules.findings}
