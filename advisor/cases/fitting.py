"""A case held against a rulebook: what does not fit, and what of it no longer counts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from advisor.engine.values import Kind
from advisor.rulebook import (
    AnswerError,
    LoadError,
    Problem,
    Rulebook,
    Successor,
    did_you_mean,
    not_yes_or_no,
    unreadable_answer,
)

from .casefile import CaseFile
from .gone import Gone, without_gone
from .reading import Loc, Place, ReadCase
from .records import Record


@dataclass(frozen=True, slots=True)
class Fitting:
    """A case as a rulebook takes it in, and warnings to show."""

    case: CaseFile
    warnings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Named:
    """An id that the case names, what it is the id of, and what comes of it if it is gone."""

    loc: Loc
    what: str
    name: str
    if_gone: str
    is_key: bool = False


def fit(read: ReadCase, rulebook: Rulebook) -> Fitting:
    """The case as the rulebook takes it in; LoadError with every problem when it does not fit.

    What it says by ids that were retired, with nothing in their place, counts for nothing.
    """
    gone = Gone(rulebook.retired)
    are_answers = read.is_plain and _are_answers(read.case.answers, rulebook)
    named = [*(() if are_answers else _asked(read)), *_named(read)]
    problems = [*_unknown(read, named, rulebook, gone)]
    problems += () if are_answers else _unreadable(read, rulebook)
    problems += _unreadable_after(read, rulebook)
    if problems:
        raise LoadError(problems)
    warnings = [
        f"{one.path}:{one.line}:{one.column}: {one.message}; {one.hint}" for one in read.renewed
    ]
    for one in named:
        successor = gone.successor(one.what, one.name)
        if successor is not None:
            warnings.append(_gone_warning(read, one, successor))
    ref, used = read.case.rulebook, rulebook.meta
    if (ref.id, ref.version) != (used.id, used.version):
        warnings.append(
            f'the case was answered with rulebook "{ref.id}" {ref.version}; '
            f'it is read with "{used.id}" {used.version}, which may rank it otherwise'
        )
    return Fitting(without_gone(read.case, gone), tuple(warnings))


def _asked(read: ReadCase) -> Iterator[_Named]:
    """The questions of the log."""
    for record, place in zip(read.case.answers, read.places, strict=True):
        if_gone = "the answer counts for nothing"
        yield _Named(place.question, "question", record.question, if_gone, place.is_key)


def _named(read: ReadCase) -> Iterator[_Named]:
    """All other ids that the case names."""
    case = read.case
    for index, reading in enumerate(case.closing.after if case.closing else ()):
        loc: Loc = ("closing", "after", index, "question")
        yield _Named(loc, "question", reading.question, "the reading counts for nothing")
    for index, test in enumerate(case.put_off):
        yield _Named(("put_off", index), "test", test, "it is no longer put off")
    if case.place is not None:
        yield _Named(("place",), "place", case.place, "one is taken to be at the first place")
    for index, repair in enumerate(case.repairs):
        loc = ("repairs", index, "cause")
        yield _Named(loc, "cause", repair.cause, "the repair counts for nothing")
    for index, cause in enumerate(case.outcome.causes if case.outcome else ()):
        loc = ("outcome", "causes", index)
        yield _Named(loc, "cause", cause, "it counts as none of the listed causes")


def _unknown(
    read: ReadCase, named: Iterable[_Named], rulebook: Rulebook, gone: Gone
) -> Iterator[Problem]:
    known: Mapping[str, Mapping[str, object]] = {
        "question": rulebook.questions,
        "test": rulebook.tests,
        "place": rulebook.places,
        "cause": rulebook.causes,
    }
    for one in named:
        if one.name not in known[one.what] and gone.successor(one.what, one.name) is None:
            message = f'no {one.what} has the id "{one.name}"'
            hint = did_you_mean(one.name, known[one.what])
            mark = read.document.position_of(one.loc, key=one.is_key)
            yield read.document.problem(mark, f"unknown-{one.what}", message, hint)


def _gone_warning(read: ReadCase, one: _Named, successor: Successor) -> str:
    mark = read.document.position_of(one.loc, key=one.is_key)
    return (
        f"{read.document.path}:{mark.line}:{mark.column}: "
        f'the {one.what} "{one.name}" {successor.told}; '
        f"nothing took its place, so {one.if_gone}"
    )


def _unreadable(read: ReadCase, rulebook: Rulebook) -> Iterator[Problem]:
    """The answers of the log that its questions do not take."""
    for record, place in zip(read.case.answers, read.places, strict=True):
        if record.answer is not None and record.question in rulebook.questions:
            problem = _answer_problem(read, rulebook, record, place)
            if problem is not None:
                yield problem


def _unreadable_after(read: ReadCase, rulebook: Rulebook) -> Iterator[Problem]:
    """The readings after the work that their questions do not take."""
    for index, reading in enumerate(read.case.closing.after if read.case.closing else ()):
        if reading.question in rulebook.questions:
            try:
                rulebook.parse_answer(reading.question, reading.answer)
            except AnswerError as error:
                loc = ("closing", "after", index, "answer")
                yield unreadable_answer(read.document, loc, reading.question, reading.answer, error)


def _are_answers(records: Iterable[Record], rulebook: Rulebook) -> bool:
    """Whether every record answers a question of the rulebook; quicker than telling why not."""
    try:
        for record in records:
            if record.answer is not None:
                rulebook.parse_answer(record.question, record.answer)
            elif record.question not in rulebook.questions:
                return False
    except (KeyError, AnswerError):
        return False
    return True


def _answer_problem(
    read: ReadCase, rulebook: Rulebook, record: Record, place: Place
) -> Problem | None:
    question, answer = record.question, record.answer or ""
    kind = rulebook.questions[question].kind
    if place.was_boolean and kind != Kind.YES_NO.value:
        return not_yes_or_no(read.document, place.answer, question, answer == "yes")
    try:
        rulebook.parse_answer(question, answer)
    except AnswerError as error:
        return unreadable_answer(read.document, place.answer, question, answer, error)
    return None
