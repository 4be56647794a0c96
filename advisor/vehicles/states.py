"""Answers that a group of questions can have together, sorted by what its findings make of them.

Few questions are tried in all combinations. Of more, those of example vehicles are the start, and
from there new ones are looked for by changing and mixing: what shows an outcome not yet seen is
kept. Source of the search: archive of elites, Mouret and Clune, arXiv 1504.04909, 2015.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from random import Random
from typing import TypeVar

from advisor.engine.chain import Chain
from advisor.engine.network import Network
from advisor.engine.rules import Question, Rules
from advisor.engine.values import UNKNOWN, Number, Value
from advisor.rulebook import Rulebook

from .candidates import ALONE, AMONG_OTHERS, Read, candidates
from .groups import Group, Reading
from .readings import WHOLE, Dial

MOST_COMBINATIONS = 2000
TRIES = 3000  # of the search
MIXED, EXCHANGED = 0.25, 0.45  # shares of the tries; the rest changes one answer
MOST_KEPT = 12  # answers with the same outcomes
Answers = tuple[Value, ...]
Outcomes = tuple[int, ...]
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class States:
    """Answers to `questions`, by the outcomes of `findings` that they lead to; both in order."""

    questions: tuple[str, ...]
    findings: tuple[str, ...]
    answers_of: Mapping[Outcomes, tuple[Answers, ...]]


class Explorer:
    """Finds what groups of questions can be answered; `seen` are the answers of examples."""

    def __init__(
        self, rulebook: Rulebook, dials: Mapping[str, Dial], seen: Sequence[Mapping[str, Value]]
    ) -> None:
        rules = rulebook.rules
        self._rules = rules
        self._alone_of = rulebook.alone_of
        self._computed = frozenset(computed.id for computed in rules.computed)
        self._read = Read(rules)
        self._dials = dials
        self._seen = seen

    def states(self, group: Group, asked: frozenset[str]) -> States:
        """The answers when just these questions of the group are asked."""
        questions = tuple(q for q in group.questions if q.id in asked)
        # A computed fact that is also asked follows from the others, so it comes last.
        ordered = sorted(questions, key=lambda question: question.id in self._computed)
        trial = _Trial(group.rules(self._rules), ordered)
        each = ALONE if len(ordered) == 1 else AMONG_OTHERS
        choices = [self._candidates(question, each) for question in ordered]
        if math.prod(map(len, choices)) <= MOST_COMBINATIONS:
            sure = _Trial(group.rules(self._rules), ordered)
            for values in product(*choices):
                sure.take(values, self._uncertainty)
                trial.take(values)
            trial.prefer(sure)
        else:
            self._search(trial, ordered, choices)
        return trial.states()

    def _uncertainty(self, question: str) -> float:
        dial = self._dials.get(question)
        return dial.u if dial else 0.0

    def _candidates(self, question: Question, each: int) -> tuple[Value, ...]:
        seen = (answers[question.id] for answers in self._seen if question.id in answers)
        dial = self._dials.get(question.id)
        alone = self._alone_of(question.id)
        found = candidates(question, self._read, dial, seen, alone=alone, each=each)
        return found or (UNKNOWN,)

    def _search(
        self, trial: _Trial, questions: Sequence[Question], choices: Sequence[Sequence[Value]]
    ) -> None:
        rng = Random(" ".join(question.id for question in questions))
        whole = [self._is_whole(question) for question in questions]
        for values in (*self._begin(questions, choices), tuple(map(_middle, choices))):
            trial.take(values)
        for _ in range(TRIES):
            how, one, other = rng.random(), trial.kept(rng), trial.kept(rng)
            if how < MIXED:
                trial.take(_mixed(one, other, whole, rng))
            elif how < MIXED + EXCHANGED:
                trial.take(_exchanged(one, other, _one_of(trial.blocks, rng)))
            else:
                place = int(rng.random() * len(questions))
                value = self._changed(questions[place], one[place], choices[place], rng)
                trial.take((*one[:place], value, *one[place + 1 :]))

    def _begin(
        self, questions: Sequence[Question], choices: Sequence[Sequence[Value]]
    ) -> Iterable[Answers]:
        """The answers of the examples, what they leave out filled up from those before them."""
        last = list(map(_middle, choices))
        for answers in self._seen:
            own = [answers.get(question.id, UNKNOWN) for question in questions]
            if sum(value is not UNKNOWN for value in own) * 2 >= len(questions):
                last = [exact(a) if a is not UNKNOWN else b for a, b in zip(own, last, strict=True)]
                yield tuple(last)

    def _changed(
        self, question: Question, value: Value, values: Sequence[Value], rng: Random
    ) -> Value:
        dial = self._dials.get(question.id)
        if not isinstance(value, Number) or dial is None or rng.random() < 0.3:
            return _one_of(values, rng)
        width = dial.high - dial.low if math.isfinite(dial.high - dial.low) else abs(value.value)
        size = width * 10.0 ** (-1.0 - 3.0 * rng.random())
        moved = value.value + (size if rng.random() < 0.5 else -size)
        moved = min(max(moved, dial.low), dial.high)
        return Number(float(round(moved)) if self._is_whole(question) else moved)

    def _is_whole(self, question: Question) -> bool:
        dial = self._dials.get(question.id)
        return dial is not None and dial.unit.symbol == WHOLE


def _exactly(_question: str) -> float:
    return 0.0


class _Trial:
    """Tries answers of one group, and keeps those whose findings are all settled."""

    def __init__(self, rules: Rules, questions: Sequence[Question]) -> None:
        self._chain = Chain(rules, Network(rules))
        self._questions = tuple(question.id for question in questions)
        self._computed = frozenset(computed.id for computed in rules.computed)
        self._findings = tuple(finding.id for finding in rules.findings)
        self._found: dict[tuple[int | None, ...], list[Answers]] = {}
        self._order: list[list[Answers]] = []
        reading = Reading(rules)
        behind = [reading.questions((computed.id,)) for computed in rules.computed]
        self.blocks = [
            frozenset(place for place, name in enumerate(self._questions) if name in block)
            for block in dict.fromkeys((*behind, *(frozenset((q,)) for q in self._questions)))
        ]

    def take(self, values: Answers, u_of: Callable[[str], float] = _exactly) -> None:
        """Answer the questions so; keep it when it shows something, but not too often.

        With the uncertainties of the readings, what would be too close to call is not kept.
        """
        given = dict(zip(self._questions, values, strict=True))
        free = {
            name: Number(value.value, u_of(name)) if isinstance(value, Number) else value
            for name, value in given.items()
            if name not in self._computed
        }
        self._chain.answer_all(free)
        for name in given.keys() - free.keys():
            computed = self._chain.computed_value(name)
            given[name] = given[name] if computed is UNKNOWN else exact(computed)
            self._chain.answer(name, given[name])
        outcomes = tuple(self._outcome(finding) for finding in self._findings)
        if outcomes not in self._found:
            self._found[outcomes] = []
            self._order.append(self._found[outcomes])
        kept = self._found[outcomes]
        if len(kept) < MOST_KEPT or len(self._questions) == 1:
            kept.append(tuple(given.values()))

    def kept(self, rng: Random) -> Answers:
        """Answers kept before, of any outcomes with the same chance."""
        return _one_of(_one_of(self._order, rng), rng)

    def _outcome(self, finding: str) -> int | None:
        weights = self._chain.weights(finding)
        return weights.index(1.0) if weights and 1.0 in weights else None

    def prefer(self, sure: _Trial) -> None:
        """Keep, of what the other found, all; of what is only here, what shows outcomes anew.

        The other found answers that no gauge is too coarse for.
        """
        shown = {pair for outcomes in sure._found for pair in enumerate(outcomes)}
        only_here = {
            outcomes: kept
            for outcomes, kept in self._found.items()
            if not shown.issuperset(enumerate(outcomes))
        }
        self._found = only_here | sure._found

    def states(self) -> States:
        """What was found, of the answers that settle most findings."""
        settled = [
            place
            for place in range(len(self._findings))
            if any(outcomes[place] is not None for outcomes in self._found)
        ]
        answers_of = {
            tuple(k for place in settled if (k := outcomes[place]) is not None): tuple(kept)
            for outcomes, kept in self._found.items()
            if all(outcomes[place] is not None for place in settled)
        }
        if not answers_of:  # no answers settle them all: what is settled differs, so tell nothing
            settled = []
            answers_of = {(): tuple(one for kept in self._found.values() for one in kept)}
        findings = tuple(self._findings[place] for place in settled)
        return States(self._questions, findings, answers_of)


def _one_of(values: Sequence[T], rng: Random) -> T:
    return values[int(rng.random() * len(values))]


def _middle(values: Sequence[T]) -> T:
    return values[len(values) // 2]


def _exchanged(one: Answers, other: Answers, places: frozenset[int]) -> Answers:
    """The one with these places from the other: what belongs together is taken together."""
    both = enumerate(zip(one, other, strict=True))
    return tuple(b if place in places else a for place, (a, b) in both)


def exact(value: Value) -> Value:
    """The value without its uncertainty."""
    return Number(value.value) if isinstance(value, Number) else value


def _mixed(one: Answers, other: Answers, whole: Sequence[bool], rng: Random) -> Answers:
    """Numbers part of the way from one to the other, all the same part; the rest from either."""
    part = rng.random()
    return tuple(
        Number(a.value + part * (b.value - a.value))
        if isinstance(a, Number) and isinstance(b, Number) and not counted
        else (a if rng.random() < 0.5 else b)
        for a, b, counted in zip(one, other, whole, strict=True)
    )
