"""Reads the files of a rulebook folder into records, each guarded by its model."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ValidationError

from .datacache import DataCache
from .document import Document, file_problem
from .draft import SECTIONS, Draft, Item
from .findingmodels import ANYTHING_ELSE, FINDING_KINDS
from .later import Later, name_by
from .models import (
    FORMAT,
    QUESTION_KINDS,
    CauseModel,
    CautionModel,
    ComputedModel,
    GaugeModel,
    MetaModel,
    PlaceModel,
    TestModel,
)
from .names import did_you_mean, quoted
from .problems import LoadError
from .renaming import IN_RULEBOOK, rename
from .retired import RETIRED, RetiredReader
from .wording import problems_of
from .yamlfile import read_yaml

_ID = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
_LONGEST_ID = 60
_RESERVED = {
    "questions": ("all", "any", "not"),
    "computed": ("all", "any", "not"),
    "findings": ("all", "any", "not"),
    "options": ("dont-know", ANYTHING_ELSE),
}
_MODELS: Mapping[str, type[BaseModel]] = {
    "rulebook": MetaModel,
    "places": PlaceModel,
    "cautions": CautionModel,
    "tests": TestModel,
    "gauges": GaugeModel,
    "computed": ComputedModel,
    "causes": CauseModel,
}


def collect(folder: Path, cache: DataCache | None = None, later: Later | None = None) -> Draft:
    """All records of the folder; what could not be read is noted in the draft.

    With `later` they are read by the ids of that version.
    Raises LoadError at once when there is no such folder, or its format is another one.
    """
    draft = Draft()
    documents: list[Document] = []
    for path in _yaml_files(folder, draft):
        try:
            documents.append(read_yaml(path, cache=cache))
        except LoadError as error:
            draft.problems.extend(error.problems)
            draft.incomplete.update(SECTIONS)
    mappings = [one for one in documents if isinstance(one.data, dict)]
    retired = _renew(draft, mappings, later)
    for document in documents:
        _take_file(draft, document)
    retired.check()
    _check_present(draft, folder)
    return draft


def _renew(draft: Draft, documents: list[Document], later: Later | None) -> RetiredReader:
    """Put new ids for the retired ones in all files, before any record is read."""
    live = {
        section: frozenset(
            name
            for document in documents
            if isinstance(records := document.data.get(section), dict)
            for name in records
        )
        for section in SECTIONS
    }
    reader = RetiredReader(draft, live)
    for document in documents:
        reader.take(document)
    draft.retired = reader.retired()
    for document in documents:
        draft.problems.extend(rename(document, IN_RULEBOOK, draft.retired, live=live))
    if later is not None:
        draft.retired = name_by(later, documents, live, draft.retired)
    return reader


def _yaml_files(folder: Path, draft: Draft) -> list[Path]:
    shown = folder.as_posix()
    try:
        if not folder.is_dir():
            reason = "it is a file, not a folder" if folder.exists() else "there is no such folder"
            message = f"the rulebook cannot be read: {reason}"
            raise LoadError([file_problem(shown, "unreadable-file", message)])
        names = sorted(path.name for path in folder.iterdir())
    except (OSError, ValueError) as error:
        message = "the rulebook folder cannot be read"
        raise LoadError([file_problem(shown, "unreadable-file", message)]) from error
    for name in names:
        if name.endswith(".yml"):
            path = (folder / name).as_posix()
            message = f'"{name}" is not read, since its name ends in .yml'
            problem = file_problem(path, "file-not-read", message, "rename it to end in .yaml")
            draft.problems.append(problem)
    wanted = [name for name in names if name.endswith(".yaml") and not name.startswith(".")]
    return [folder / name for name in wanted if not name.endswith(".schema.yaml")]


def _take_file(draft: Draft, document: Document) -> None:
    if not isinstance(document.data, dict):
        message = f"a rulebook file is a mapping with some of: {', '.join((*SECTIONS, RETIRED))}"
        draft.problems.append(document.problem((), "wrong-type", message))
        draft.incomplete.update(SECTIONS)
        return
    for section, data in document.data.items():
        if section == RETIRED:
            continue
        if section not in SECTIONS:
            mark = document.position_of((section,), key=True)
            message = f'"{section}" is not a section of a rulebook'
            hint = did_you_mean(section, (*SECTIONS, RETIRED))
            draft.problems.append(document.problem(mark, "unknown-field", message, hint))
            draft.incomplete.update(SECTIONS)
        elif not isinstance(data, dict):
            message = f'"{section}" must be a mapping (id: record)'
            draft.problems.append(document.problem((section,), "wrong-type", message))
            draft.incomplete.add(section)
        elif section == "rulebook":
            _take_meta(draft, document, data)
        else:
            for name, record in data.items():
                _take_record(draft, document, section, name, record)


def _take_meta(draft: Draft, document: Document, data: dict[str, Any]) -> None:
    loc = ("rulebook",)
    number = data.get("format")
    if isinstance(number, int) and not isinstance(number, bool) and number != FORMAT:
        todo = (
            "update the program, or use an older version of the rulebook"
            if number > FORMAT
            else f'write the rulebook anew in format {FORMAT} and say "format: {FORMAT}"'
        )
        message = f"the rulebook has format {number}, but this program understands format {FORMAT}"
        raise LoadError([document.problem((*loc, "format"), "unknown-format", message, todo)])
    if draft.meta is not None:
        first = draft.meta.related('the first "rulebook" stands here')
        mark = document.position_of(loc, key=True)
        message = '"rulebook" stands in two files; a rulebook has one'
        draft.problems.append(document.problem(mark, "duplicate-id", message, "", (first,)))
        return
    model = _validated(draft, document, loc, MetaModel, data)
    if isinstance(model, MetaModel):
        draft.meta = Item("rulebook", model.id, model, document, loc)
        _check_id(draft, document, "rulebook", (*loc, "id"), model.id)
    else:
        draft.incomplete.add("rulebook")


def _take_record(draft: Draft, document: Document, section: str, name: str, data: Any) -> None:
    loc = (section, name)
    _check_id(draft, document, section, loc, name)
    if _is_duplicate(draft, document, section, name):
        return
    model = _model_for(draft, document, loc, data)
    validated = _validated(draft, document, loc, model, data) if model is not None else None
    if validated is None:
        draft.broken[section].add(name)
        return
    draft.section(section)[name] = Item(section, name, validated, document, loc)
    names_inside = "options" if section == "questions" else "values"
    for option in getattr(validated, names_inside, ()):
        reserved = "options" if section == "questions" else ""
        _check_id(draft, document, reserved, (*loc, names_inside, option), option)


def id_fault(section: str, name: str) -> str | None:
    """Why a text cannot be an id in this section, with what to write instead; None if it can."""
    message, hint = _id_fault(section, name)
    return f"{message}; {hint}" if hint else message or None


def _id_fault(section: str, name: str) -> tuple[str, str]:
    if (len(name) > _LONGEST_ID or not _ID.fullmatch(name)) and name != ANYTHING_ELSE:
        better = _kebab(name)
        hint = f'write "{better}"' if better else ""
        message = f'the id "{name[:80]}" is not in kebab-case (small letters, digits, hyphens)'
        return message, hint
    if name in _RESERVED.get(section, ()):
        return f'the id "{name}" has a meaning of its own here', "take another word"
    return "", ""


def _kebab(name: str) -> str:
    better = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")
    return better if _ID.fullmatch(better) and len(better) < _LONGEST_ID else ""


def _check_id(
    draft: Draft, document: Document, section: str, loc: tuple[str, ...], name: str
) -> None:
    message, hint = _id_fault(section, name)
    if message:
        draft.broken.get(section, set()).add(_kebab(name))  # what refers to it so is right
        mark = document.position_of(loc, key=section != "rulebook")
        draft.problems.append(document.problem(mark, "wrong-id", message, hint))


def _is_duplicate(draft: Draft, document: Document, section: str, name: str) -> bool:
    """Whether the id is taken (noted). A question and a computed fact may be one fact."""
    clashing = {
        "questions": ("questions", "findings"),
        "computed": ("computed", "findings"),
        "findings": ("findings", "questions", "computed"),
    }.get(section, (section,))
    for other in clashing:
        first = draft.section(other).get(name)
        if first is not None:
            mark = document.position_of((section, name), key=True)
            message = f'the id "{name}" stands for two things: {first.called} has it already'
            where = first.related(f"{first.called} stands here")
            draft.problems.append(
                document.problem(mark, "duplicate-id", message, "give one another id", (where,))
            )
            return True
    return False


def _model_for(
    draft: Draft, document: Document, loc: tuple[str, str], data: Any
) -> type[BaseModel] | None:
    """The model of a record, by its section and its kind; None when the kind is not clear."""
    section = loc[0]
    if section == "questions" and isinstance(data, dict):
        return _question_model(draft, document, loc, data)
    if section == "findings" and isinstance(data, dict):
        kinds = [kind for kind in FINDING_KINDS if kind in data]
        if len(kinds) == 1:
            return FINDING_KINDS[kinds[0]]
        given = f"it has {quoted(kinds, ' and ')}" if kinds else "it has none of them"
        message = f'the finding "{loc[1]}" needs exactly one of when, choice and bands; {given}'
        hint = "" if kinds else did_you_mean("", FINDING_KINDS)
        draft.problems.append(document.problem(loc, "finding-kind", message, hint))
        return None
    return _MODELS.get(section, BaseModel)


def _question_model(
    draft: Draft, document: Document, loc: tuple[str, str], data: dict[str, Any]
) -> type[BaseModel] | None:
    kind = data.get("kind")
    if "kind" not in data:
        message = f'"kind" is missing; the question "{loc[1]}" needs one'
        hint = did_you_mean("", QUESTION_KINDS)
        draft.problems.append(document.problem(loc, "missing-field", message, hint))
        return None
    if isinstance(kind, str) and kind in QUESTION_KINDS:
        return QUESTION_KINDS[kind]
    message = f'"{str(kind)[:40]}" is not a kind of question'
    hint = did_you_mean(str(kind)[:40], QUESTION_KINDS)
    draft.problems.append(document.problem((*loc, "kind"), "question-kind", message, hint))
    return None


def _validated(
    draft: Draft,
    document: Document,
    loc: tuple[str, ...],
    model: type[BaseModel],
    data: Any,
) -> BaseModel | None:
    if not isinstance(data, dict):
        message = f'"{loc[-1]}" must be a mapping (field: value)'
        draft.problems.append(document.problem(loc, "wrong-type", message))
        return None
    try:
        return model.model_validate(data)
    except ValidationError as error:
        draft.problems.extend(problems_of(error, document, loc, model))
        return None


def _check_present(draft: Draft, folder: Path) -> None:
    """A rulebook has its own record, and at least one place and one cause."""
    for section in ("rulebook", "places", "causes"):
        there = draft.meta if section == "rulebook" else draft.section(section)
        if not there and section not in draft.incomplete and not draft.broken[section]:
            message = f'no file of the rulebook has the section "{section}"'
            draft.problems.append(file_problem(folder.as_posix(), "missing-section", message))
