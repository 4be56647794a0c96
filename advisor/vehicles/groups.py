"""Groups of questions that have to be answered together, since some finding reads them together.

Groups share no finding and no computed fact, so the answers of one say nothing about those of
another, but for whether its questions are asked at all.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from graphlib import CycleError, TopologicalSorter

from advisor.engine.network import facts_of, facts_read
from advisor.engine.rules import Condition, Finding, Question, Rules


@dataclass(frozen=True, slots=True)
class Group:
    """Questions in the order in which they are asked, and the findings that read them."""

    questions: tuple[Question, ...]
    findings: tuple[Finding, ...]

    def rules(self, whole: Rules) -> Rules:
        """The rules that this group needs: its questions and findings, and what they compute.

        A computed fact is needed when a finding hangs on it, or when it is asked as well.
        """
        asked = {question.id for question in self.questions}
        needed = asked.union(*map(facts_of, self.findings))
        computed = {fact.id: fact for fact in whole.computed}
        waiting = [name for name in needed if name in computed]
        while waiting:
            new = set(computed[waiting.pop()].inputs.values()) - needed
            needed |= new
            waiting += [name for name in new if name in computed]
        return replace(
            whole,
            questions=tuple(replace(question, ask_if=None) for question in self.questions),
            computed=tuple(fact for fact in whole.computed if fact.id in needed),
            findings=self.findings,
            causes=(),
            tests=(),
            opening=(),
        )


class Reading:
    """Which questions stand behind a fact, a finding or a condition of a rulebook."""

    def __init__(self, rules: Rules) -> None:
        self._asked = frozenset(question.id for question in rules.questions)
        self._read: dict[str, frozenset[str]] = {
            finding.id: facts_of(finding) for finding in rules.findings
        }
        for computed in rules.computed:
            before = self._read.get(computed.id, frozenset())
            self._read[computed.id] = before | frozenset(computed.inputs.values())

    def questions(self, facts: Iterable[str]) -> frozenset[str]:
        """The questions behind these facts and findings."""
        found: set[str] = set()
        waiting = list(facts)
        seen = set(waiting)
        while waiting:
            fact = waiting.pop()
            if fact in self._asked:
                found.add(fact)
            new = self._read.get(fact, frozenset()) - seen
            seen |= new
            waiting += new
        return frozenset(found)

    def behind(self, condition: Condition | None) -> frozenset[str]:
        """The questions behind a condition; none for no condition."""
        return frozenset() if condition is None else self.questions(facts_read(condition))


def groups_of(rules: Rules, alike: Iterable[Sequence[str]] = ()) -> tuple[Group, ...]:
    """The groups of a rulebook; one whose asking depends on others comes after them.

    `alike` are further questions that belong together, though no finding reads them together.
    """
    reading = Reading(rules)
    together = _Together([question.id for question in rules.questions])
    for finding in rules.findings:
        together.join(sorted(reading.questions((finding.id,))))
    for computed in rules.computed:
        together.join(sorted(reading.questions((computed.id,))))
    for questions in alike:
        together.join(questions)
    while True:
        try:
            order = tuple(TopologicalSorter(_asking(rules, reading, together)).static_order())
        except CycleError as error:
            together.join(error.args[1])
        else:
            break
    return tuple(_group(rules, reading, together, head) for head in order)


class _Together:
    """Sets of names that grow together; each is known by its first member."""

    def __init__(self, names: Sequence[str]) -> None:
        self._order = {name: place for place, name in enumerate(names)}
        self._head = {name: name for name in names}

    def join(self, names: Sequence[str]) -> None:
        """Put these names into one set."""
        if not names:
            return
        heads = {self._head[name] for name in names}
        first = min(heads, key=self._order.__getitem__)
        for name, head in self._head.items():
            if head in heads:
                self._head[name] = first

    def head(self, name: str) -> str:
        """The first member of the set of a name."""
        return self._head[name]


def _asking(rules: Rules, reading: Reading, together: _Together) -> Mapping[str, list[str]]:
    """The groups on whose answers it depends whether questions of a group are asked."""
    before: dict[str, list[str]] = {}
    for question in rules.questions:
        head = together.head(question.id)
        parents = before.setdefault(head, [])
        read = reading.behind(question.ask_if)
        parents += [together.head(q) for q in sorted(read) if together.head(q) != head]
    return before


def _group(rules: Rules, reading: Reading, together: _Together, head: str) -> Group:
    members = {q.id: q for q in rules.questions if together.head(q.id) == head}
    inner = {
        q.id: sorted((reading.behind(q.ask_if) - {q.id}) & members.keys()) for q in members.values()
    }
    order = TopologicalSorter(inner).static_order()
    findings = (f for f in rules.findings if reading.questions((f.id,)) & members.keys())
    return Group(tuple(members[name] for name in order), tuple(findings))
