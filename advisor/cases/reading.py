"""Reading a case file: strictly, with the place of every mistake, all mistakes in one go."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from advisor.rulebook import (
    IN_CASE,
    Document,
    LoadError,
    Problem,
    Retired,
    bare_number,
    problems_of,
    read_yaml,
    rename,
)

from .casefile import FORMAT, CaseFile, is_case_id
from .records import Record, is_utc_text

M = TypeVar("M", bound=BaseModel)
Loc = tuple[str | int, ...]
_YES_NO = {True: "yes", False: "no"}


@dataclass(frozen=True, slots=True)
class Place:
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
    def places(self) -> tuple[Place, ...]:
        """Where each of its records stands."""
        log = self.document.data.get("answers", [])
        return tuple(place for _, place in _raw_records(log))


def read_case(path: Path) -> CaseFile:
    """The case at `path`, its form checked but not its answers; LoadError with every problem."""
    return read_with_places(path).case


def read_with_places(path: Path, retired: Retired | None = None) -> ReadCase:
    """The same, with what `fit` needs to tell where a mistake is.

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


def _raw_records(data: dict[str, Any] | list[Any]) -> Iterator[tuple[Any, Place]]:
    if isinstance(data, dict):
        for question, answer in data.items():
            loc = ("answers", question)
            place = Place(loc, loc, True, isinstance(answer, bool))
            yield {"question": question, "answer": answer}, place
        return
    for index, raw in enumerate(data):
        start = ("answers", index)
        is_boolean = isinstance(raw, dict) and isinstance(raw.get("answer"), bool)
        yield raw, Place((*start, "question"), (*start, "answer"), False, is_boolean)


def _raw_answer_problem(document: Document, raw: Any, place: Place) -> Problem | None:
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
