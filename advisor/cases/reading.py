"""Reading a case file: strictly, with the place of every mistake, all mistakes in one go."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from advisor.engine.values import Kind
from advisor.rulebook import (
    IN_CASE,
    AnswerError,
    Document,
    LoadError,
    Problem,
    Retired,
    Rulebook,
    bare_number,
    did_you_mean,
    not_yes_or_no,
    problems_of,
    read_yaml,
    rename,
    unknown_question,
    unreadable_answer,
)

from .casefile import FORMAT, CaseFile, is_case_id
from .records import Record, is_utc_text

M = TypeVar("M", bound=BaseModel)
Loc = tuple[str | int, ...]
_YES_NO = {True: "yes", False: "no"}


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a record stands in the file, and whether its answer was written as true or false."""

    question: Loc
    answer: Loc
    is_key: bool
    was_boolean: bool


@dataclass(frozen=True, slots=True)
class ReadCase:
    """A case as read, with the file that it came from.

    `renewed` are the warnings of ids of old, in whose place the case has the new ones. The log
    of a plain one is a list of records, whose answers are text.
    """

    document: Document
    case: CaseFile
    renewed: tuple[Problem, ...] = ()
    is_plain: bool = False

    @property
    def places(self) -> tuple[_Place, ...]:
        """Where each of its records stands."""
        log = self.document.data.get("answers", [])
        return tuple(place for _, place in _raw_records(log))


def read_case(path: Path) -> CaseFile:
    """The case at `path`, its form checked but not its answers; LoadError with every problem."""
    return read_with_places(path).case


def read_with_places(path: Path, retired: Retired | None = None) -> ReadCase:
    """The same, with what `check_case` needs to tell where a mistake is.

    `retired` are the ids of old of the rulebook that the case will be held against.
    """
    return read_document(read_yaml(path), retired)


def read_document(document: Document, retired: Retired | None = None) -> ReadCase:
    """The case of a document that has been read; see `read_with_places`."""
    data = document.data
    if not isinstance(data, dict):
        raise LoadError([document.problem((), "wrong-type", "a case is a mapping (key: value)")])
    _refuse_newer(document, data)
    renewed = rename(document, IN_CASE, retired or {})
    sound = _sound(document, data)
    if sound is not None:
        return ReadCase(document, sound, renewed, is_plain=True)
    problems: list[Problem] = []
    case = _valid(CaseFile, _without(data, "answers"), document, (), problems)
    records = _read_log(document, data.get("answers", []), problems)
    if case is not None:
        problems += _form_problems(document, case)
    if problems or case is None:
        raise LoadError(problems)
    whole = case.model_copy(update={"answers": records})
    return ReadCase(document, whole, renewed)


def _sound(document: Document, data: Mapping[str, Any]) -> CaseFile | None:
    """The case, checked in one go; None when it has problems, or answers without quotes."""
    log = data.get("answers", [])
    if not isinstance(log, list):
        return None
    try:
        case = CaseFile.model_validate(data)
    except ValidationError:
        return None
    fits = all(
        (one.answer is None) == one.taken_back and (one.at is None or is_utc_text(one.at))
        for one in case.answers
    )
    return case if fits and not _form_problems(document, case) else None


def _refuse_newer(document: Document, data: Mapping[str, Any]) -> None:
    read = data.get("format")
    if isinstance(read, int) and not isinstance(read, bool) and read != FORMAT:
        message = f"the case has format {read}; this program understands format {FORMAT}"
        hint = "use a newer version of this program" if read > FORMAT else "write format: 1"
        raise LoadError([document.problem(("format",), "unknown-format", message, hint)])


def _without(data: Mapping[str, Any], key: str) -> dict[str, Any]:
    return {name: value for name, value in data.items() if name != key}


def _valid(
    model: type[M], data: object, document: Document, loc: Loc, problems: list[Problem]
) -> M | None:
    """The record, or None with its problems added."""
    try:
        return model.model_validate(data)
    except ValidationError as error:
        problems += problems_of(error, document, loc, model)
        return None


def _read_log(document: Document, log: object, problems: list[Problem]) -> tuple[Record, ...]:
    """The records of the log, from a list of records or from a mapping question: answer."""
    records: list[Record] = []
    if not isinstance(log, dict | list):
        message = '"answers" must be a list of records, or a mapping (question: answer)'
        problems.append(document.problem(("answers",), "wrong-type", message))
        return ()
    for raw, place in _raw_records(log):
        refusal = _raw_answer_problem(document, raw, place)
        if refusal is not None:
            problems.append(refusal)
            continue
        data = {**raw, "answer": _YES_NO[raw["answer"]]} if place.was_boolean else raw
        loc = place.answer if place.is_key else place.question[:2]
        record = _valid(Record, data, document, loc, problems)
        if record is not None:
            problems += _record_problems(document, record, loc)
            records.append(record)
    return tuple(records)


def _raw_records(data: dict[str, Any] | list[Any]) -> Iterator[tuple[Any, _Place]]:
    if isinstance(data, dict):
        for question, answer in data.items():
            loc = ("answers", question)
            place = _Place(loc, loc, True, isinstance(answer, bool))
            yield {"question": question, "answer": answer}, place
        return
    for index, raw in enumerate(data):
        start = ("answers", index)
        is_boolean = isinstance(raw, dict) and isinstance(raw.get("answer"), bool)
        yield raw, _Place((*start, "question"), (*start, "answer"), False, is_boolean)


def _raw_answer_problem(document: Document, raw: Any, place: _Place) -> Problem | None:
    """A number without quotes is refused; a yes or no may stand without."""
    answer = raw.get("answer") if isinstance(raw, dict) else None
    if isinstance(answer, bool) or not isinstance(answer, int | float):
        return None
    return bare_number(document, place.answer, answer, "; without one if it has none")


def _record_problems(document: Document, record: Record, loc: Loc) -> list[Problem]:
    problems = []
    if (record.answer is None) != record.taken_back:
        message = 'a record has either "answer: ..." or "taken_back: true"'
        problems.append(document.problem(loc, "wrong-value", message))
    return [*problems, *_moment_problems(document, record.at, (*loc, "at"))]


def _moment_problems(document: Document, moment: str | None, loc: Loc) -> Iterator[Problem]:
    if moment is not None and not is_utc_text(moment):
        message = f'"{loc[-1]}" is no moment in UTC; read "{moment}"'
        hint = 'write it such as "2024-05-01T09:30:00Z"'
        yield document.problem(loc, "wrong-value", message, hint)


def _form_problems(document: Document, case: CaseFile) -> list[Problem]:
    problems = []
    if not is_case_id(case.id):
        message = f'the id "{case.id}" has other characters than a-z, 0-9 and single hyphens'
        problems.append(document.problem(("id",), "wrong-id", message))
    outcome = case.outcome
    if outcome is not None and bool(outcome.causes) == outcome.none_of_the_listed:
        message = 'an outcome has either "causes: [...]" or "none_of_the_listed: true"'
        problems.append(document.problem(("outcome",), "wrong-value", message))
    for moment, loc in _moments(case):
        problems += _moment_problems(document, moment, loc)
    return problems


def _moments(case: CaseFile) -> Iterator[tuple[str | None, Loc]]:
    """The moments that the case names outside its log, each with its place."""
    for index, repair in enumerate(case.repairs):
        yield repair.at, ("repairs", index, "at")
    if case.closing is not None:
        yield case.closing.at, ("closing", "at")
        for index, use in enumerate(case.closing.rings):
            yield use.at, ("closing", "rings", index, "at")
        for index, reading in enumerate(case.closing.after):
            yield reading.at, ("closing", "after", index, "at")
    if case.comeback_of is not None:
        yield case.comeback_of.closed_at, ("comeback_of", "closed_at")


def check_case(read: ReadCase, rulebook: Rulebook) -> tuple[str, ...]:
    """Whether the case fits the rulebook: warnings to show, or LoadError with every problem."""
    problems = [*_answer_problems(read, rulebook), *_name_problems(read, rulebook)]
    if problems:
        raise LoadError(problems)
    renewed = tuple(
        f"{one.path}:{one.line}:{one.column}: {one.message}; {one.hint}" for one in read.renewed
    )
    named, used = read.case.rulebook, rulebook.meta
    if (named.id, named.version) == (used.id, used.version):
        return renewed
    return (
        *renewed,
        f'the case was answered with rulebook "{named.id}" {named.version}; '
        f'it is read with "{used.id}" {used.version}, which may rank it otherwise',
    )


def _answer_problems(read: ReadCase, rulebook: Rulebook) -> Iterator[Problem]:
    document = read.document
    if not (read.is_plain and _are_answers(read.case.answers, rulebook)):
        yield from _log_problems(read, rulebook)
    for index, reading in enumerate(read.case.closing.after if read.case.closing else ()):
        loc: Loc = ("closing", "after", index)
        if reading.question not in rulebook.questions:
            mark = document.position_of((*loc, "question"))
            yield unknown_question(document, mark, reading.question, rulebook)
            continue
        try:
            rulebook.parse_answer(reading.question, reading.answer)
        except AnswerError as error:
            where = (*loc, "answer")
            yield unreadable_answer(document, where, reading.question, reading.answer, error)


def _log_problems(read: ReadCase, rulebook: Rulebook) -> Iterator[Problem]:
    document = read.document
    for record, place in zip(read.case.answers, read.places, strict=True):
        if record.question not in rulebook.questions:
            mark = document.position_of(place.question, key=place.is_key)
            yield unknown_question(document, mark, record.question, rulebook)
        elif record.answer is not None:
            problem = _unreadable(read, rulebook, record, place)
            if problem is not None:
                yield problem


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


def _unreadable(
    read: ReadCase, rulebook: Rulebook, record: Record, place: _Place
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


def _name_problems(read: ReadCase, rulebook: Rulebook) -> Iterator[Problem]:
    case, document = read.case, read.document
    named: list[tuple[Loc, str, str, Mapping[str, object]]] = [
        (("put_off", index), test, "test", rulebook.tests)
        for index, test in enumerate(case.put_off)
    ]
    if case.place is not None:
        named.append((("place",), case.place, "place", rulebook.places))
    for index, repair in enumerate(case.repairs):
        named.append((("repairs", index, "cause"), repair.cause, "cause", rulebook.causes))
    for index, cause in enumerate(case.outcome.causes if case.outcome else ()):
        named.append((("outcome", "causes", index), cause, "cause", rulebook.causes))
    for loc, name, what, known in named:
        if name not in known:
            message = f'no {what} has the id "{name}"'
            yield document.problem(loc, f"unknown-{what}", message, did_you_mean(name, known))
