"""Finding cases by words, facts, cause and date."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Final

from advisor.cases import CaseFile
from advisor.engine.values import Number, Value
from advisor.rulebook import AnswerError, Problem, Rulebook, did_you_mean

from .entry import folded, searchable
from .errors import LibraryError
from .library import Library
from .weighing import Weighed, confirmed_in

FORMAT: Final = 1
MOST_WORDS: Final = 100  # the index takes no more than a thousand conditions
SIGMAS: Final = 2.0  # two readings within so many standard uncertainties may be the same


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a case must have to be found; whatever is left out is not looked at.

    `words` all begin some word of the case; those of one text stand side by side. `facts` are
    "question=value", a number also as "question=from..to". `cause` is a confirmed cause, or the
    leading one of an open case. `since` and `until` are days in UTC, both included.
    """

    words: tuple[str, ...] = ()
    facts: tuple[str, ...] = ()
    cause: str | None = None
    since: date | None = None
    until: date | None = None
    closed: bool | None = None


@dataclass(frozen=True, slots=True)
class Found:
    """A case of the library, in short."""

    name: str
    case: CaseFile
    began: str | None
    weighed: Weighed

    @property
    def is_closed(self) -> bool:
        """Whether its outcome is known."""
        return self.case.outcome is not None

    @property
    def confirmed(self) -> tuple[str, ...]:
        """The confirmed causes by the ids of the rulebook; none while it is open, or of them."""
        return confirmed_in(self.case, self.weighed)

    def as_data(self) -> dict[str, Any]:
        """As plain data for JSON."""
        case, weighed = self.case, self.weighed
        return {
            "file": self.name,
            "id": case.id,
            "began": self.began,
            "vehicle": case.vehicle,
            "complaint": case.complaint,
            "closed": self.is_closed,
            "confirmed": list(self.confirmed) if self.is_closed else None,
            "leading": weighed.leading,
            "probability": None if weighed.problems else weighed.probability,
            "place": case.place,
            "minutes_spent": case.minutes_spent,
        }


@dataclass(frozen=True, slots=True)
class Findings:
    """The first cases found, how many there are, and the files that can not be looked into."""

    found: tuple[Found, ...]
    count: int
    unreadable: tuple[Problem, ...]
    undated: int = 0

    def as_data(self) -> dict[str, Any]:
        """As plain data for JSON."""
        return {
            "format": FORMAT,
            "count": self.count,
            "cases": [one.as_data() for one in self.found],
            "without_date": self.undated,
            "unreadable": [problem.as_dict() for problem in self.unreadable],
        }


def search(library: Library, wanted: Wanted, most: int) -> Findings:
    """The cases that have all that is wanted, the latest first, at most so many.

    Raises LibraryError. Those that were left out only since they say no date are counted apart.
    """
    where, values = _where(wanted)
    names = library.select(where, values)
    for fact in wanted.facts:
        fitting = _that_have(library, fact)
        names = tuple(name for name in names if name in fitting)
    if wanted.cause is not None:
        names = _with_cause(library, names, wanted.cause)
    undated = 0
    if wanted.since or wanted.until:
        dated = tuple(name for name in names if library.began(name) is not None)
        undated, names = len(names) - len(dated), dated
    problems = [problem for entry in library.unreadable() for problem in entry.problems]
    found = tuple(in_short(library, names[:most]))
    return Findings(found, len(names), tuple(problems), undated)


def in_short(library: Library, names: Sequence[str]) -> Iterator[Found]:
    """These cases in short, in the same order."""
    weighed = library.weighed(names)
    for name, case in library.cases(names):
        yield Found(name, case, library.began(name), weighed[name])


def _where(wanted: Wanted) -> tuple[str, list[object]]:
    """The part of the search that the index does by itself, as SQL and its values."""
    parts: list[str] = []
    values: list[object] = []
    if len(wanted.words) > MOST_WORDS:
        raise LibraryError(f"read {len(wanted.words)} words; at most {MOST_WORDS} are searched for")
    for words in wanted.words:
        text = searchable([words])
        if not text:
            raise LibraryError(f'read "{words}"; what is searched for has a letter or a digit')
        parts.append("instr(words, ?) > 0")
        values.append(text)
    if wanted.closed is not None:
        parts.append("closed = ?")
        values.append(wanted.closed)
    if wanted.since is not None:
        parts.append("(began IS NULL OR began >= ?)")
        values.append(wanted.since.isoformat())
    if wanted.until is not None:
        parts.append("(began IS NULL OR substr(began, 1, 10) <= ?)")
        values.append(wanted.until.isoformat())
    return " AND ".join(parts), values


def _with_cause(library: Library, names: Sequence[str], cause: str) -> tuple[str, ...]:
    rulebook = library.rulebook
    if cause not in rulebook.causes:
        hint = did_you_mean(cause, rulebook.causes)
        message = f'"{cause}" is no cause of this rulebook'
        raise LibraryError(f"{message}; {hint}" if hint else message)
    weighed = library.weighed(names)
    return tuple(
        name
        for name, case in library.cases(names)
        if (
            cause in confirmed_in(case, weighed[name])
            if case.outcome is not None
            else weighed[name].leading == cause
        )
    )


def _that_have(library: Library, fact: str) -> frozenset[str]:
    """The files whose case has the fact, written "question=value"."""
    question, equals, text = fact.partition("=")
    question, text = question.strip(), text.strip()
    if not equals or not text:
        raise LibraryError(f'read "{fact}"; write a question and its value: drive-layout=rear')
    rulebook = library.rulebook
    if question not in rulebook.questions:
        hint = did_you_mean(question, rulebook.questions)
        message = f'"{question}" is no question of this rulebook'
        raise LibraryError(f"{message}; {hint}" if hint else message)
    fits = _fitting(rulebook, question, text)
    found: set[str] = set()
    for name in (question, *_names_of_old(rulebook, question)):
        found |= library.that_answered(name, [one for one in library.answers_to(name) if fits(one)])
    return frozenset(found)


def _names_of_old(rulebook: Rulebook, question: str) -> Iterator[str]:
    """The retired ids that are read as this question."""
    for (section, name), new in rulebook.retired.items():
        if section == "questions" and new.id == question:
            yield name


def _fitting(rulebook: Rulebook, question: str, text: str) -> Callable[[str], bool]:
    """Whether an answer as typed has the value that is wanted."""
    low, dots, high = text.partition("..")
    wanted = [_value(rulebook, question, part) for part in ((low, high) if dots else (text,))]
    if dots and _is_reversed(*wanted):
        raise LibraryError(f'{question}: nothing lies in "{text}"; write the smaller value first')

    def fits(answer: str) -> bool:
        try:
            value = rulebook.parse_answer(question, answer)
        except AnswerError:  # of a case that this rulebook can't read
            return False
        if dots:
            return _lies_between(value, *wanted)
        return _is_same(value, wanted[0])

    return fits


def _value(rulebook: Rulebook, question: str, text: str) -> Value:
    try:
        return rulebook.parse_answer(question, text)
    except AnswerError as error:
        raise LibraryError(f"{question}: {error.reason}") from error


def _lies_between(value: Value, low: Value, high: Value) -> bool:
    if isinstance(value, Number) and isinstance(low, Number) and isinstance(high, Number):
        return low.value <= value.value <= high.value
    return False


def _is_reversed(low: Value, high: Value) -> bool:
    return isinstance(low, Number) and isinstance(high, Number) and low.value > high.value


def _is_same(value: Value, wanted: Value) -> bool:
    """The same value: numbers within their uncertainty; of several choices all that are wanted."""
    if isinstance(value, Number) and isinstance(wanted, Number):
        apart = abs(value.value - wanted.value)
        return apart <= SIGMAS * math.hypot(value.u, wanted.u) or math.isclose(
            value.value, wanted.value, rel_tol=1e-9
        )
    if isinstance(value, frozenset) and isinstance(wanted, frozenset) and wanted:
        return wanted <= value
    if isinstance(value, str) and isinstance(wanted, str):
        return folded(value) == folded(wanted)
    return value == wanted
