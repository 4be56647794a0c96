"""Reading the examples of a rulebook: strictly, with all mistakes of all files in one go."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from advisor.engine.values import Kind, Value
from advisor.rulebook import (
    IN_EXAMPLE,
    AnswerError,
    Document,
    LoadError,
    Mark,
    Problem,
    Rulebook,
    bare_number,
    did_you_mean,
    file_problem,
    not_yes_or_no,
    problems_of,
    read_yaml,
    rename,
    system_reason,
    unknown_question,
    unreadable_answer,
)

from .models import ExampleModel
from .naming import name_problems

SECTION = "examples"
FOLDER = "examples"  # the sub-folder of a rulebook folder

_ID = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
Loc = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class Example:
    """One example: what stands in the file, where, and the answers as values.

    `renewed` are the warnings of ids of old, in whose place the model has the new ones.
    """

    id: str
    document: Document
    model: ExampleModel
    values: Mapping[str, Value]
    renewed: tuple[Problem, ...] = ()

    def mark(self, *steps: str | int) -> Mark:
        """The place of the example's id, or of the part of it that the steps lead to."""
        return self.document.position_of((SECTION, self.id, *steps), key=True)

    @property
    def right(self) -> frozenset[str]:
        """What the trouble really is: a cause, two at once, or none-of-the-listed; or not said."""
        expect = self.model.expect
        if expect.pair is not None:
            return frozenset(expect.pair)
        return frozenset() if expect.first is None else frozenset((expect.first,))


def read_examples(folder: Path, rulebook: Rulebook) -> tuple[Example, ...]:
    """The examples in every *.yaml file of `folder`; LoadError with every problem of all files."""
    reader = _Reader(rulebook)
    for path in _files(folder):
        if path.suffix == ".yml":
            message = f'"{path.name}" is not read, since its name ends in .yml'
            hint = "rename it to end in .yaml"
            reader.problems.append(file_problem(path.as_posix(), "unreadable-file", message, hint))
            continue
        try:
            document = read_yaml(path)
        except LoadError as error:
            reader.problems += error.problems
        else:
            reader.file(document)
    if not reader.examples and not reader.problems:
        message = "no file here holds an example, so nothing is proved"
        reader.problems.append(file_problem(folder.as_posix(), "missing-section", message))
    if reader.problems:
        raise LoadError(reader.problems)
    return tuple(reader.examples.values())


def _files(folder: Path) -> list[Path]:
    try:
        names = sorted(path.name for path in folder.iterdir())
    except FileNotFoundError:
        reason = "there is no such folder; a rulebook's examples lie in this sub-folder"
    except NotADirectoryError:
        reason = "it is a file, not a folder"
    except OSError as error:
        reason = system_reason(error)
    else:
        wanted = [one for one in names if one.endswith((".yaml", ".yml"))]
        return [
            folder / one
            for one in wanted
            if not one.startswith(".") and not one.endswith(".schema.yaml")
        ]
    message = f"the examples cannot be read: {reason}"
    raise LoadError([file_problem(folder.as_posix(), "unreadable-file", message)])


class _Reader:
    def __init__(self, rulebook: Rulebook) -> None:
        self.examples: dict[str, Example] = {}
        self.problems: list[Problem] = []
        self._rulebook = rulebook

    def file(self, document: Document) -> None:
        """Take the examples of one file."""
        data = document.data
        if not isinstance(data, dict):
            message = 'a file of examples is a mapping with the key "examples"'
            self.problems.append(document.problem((), "wrong-type", message))
            return
        for section, records in data.items():
            if section != SECTION:
                mark = document.position_of((section,), key=True)
                message = f'"{section}" is not a section of a file of examples'
                hint = did_you_mean(section, (SECTION,))
                self.problems.append(document.problem(mark, "unknown-field", message, hint))
            elif not isinstance(records, dict):
                message = '"examples" must be a mapping (id: example)'
                self.problems.append(document.problem((SECTION,), "wrong-type", message))
            else:
                for name, record in records.items():
                    self._record(document, name, record)

    def _record(self, document: Document, name: str, record: Any) -> None:
        loc = (SECTION, name)
        self.problems += self._id_problems(document, name)
        if not isinstance(record, dict):
            message = f'"{name}" must be a mapping (field: value)'
            self.problems.append(document.problem(loc, "wrong-type", message))
            return
        before = len(self.problems)
        renewed = rename(document, IN_EXAMPLE, self._rulebook.retired, at=loc)
        data = dict(record)
        values: dict[str, Value] = {}
        if isinstance(record.get("answers"), dict):
            data["answers"], values = self._answers(document, name, record["answers"])
        try:
            model = ExampleModel.model_validate(data)
        except ValidationError as error:
            self.problems += problems_of(error, document, loc, ExampleModel)
            return
        self.problems += name_problems(document, (*loc, "expect"), model.expect, self._rulebook)
        if len(self.problems) == before:
            self.examples.setdefault(name, Example(name, document, model, values, renewed))

    def _id_problems(self, document: Document, name: str) -> Iterator[Problem]:
        mark = document.position_of((SECTION, name), key=True)
        if not _ID.fullmatch(name):
            message = f'the id "{name[:80]}" is not in kebab-case (small letters, digits, hyphens)'
            yield document.problem(mark, "wrong-id", message)
        first = self.examples.get(name)
        if first is not None:
            where = first.document.related((SECTION, name), f'the first "{name}" stands here')
            message = f'the id "{name}" stands for two examples'
            hint = "give one another id"
            yield document.problem(mark, "duplicate-id", message, hint, (where,))

    def _answers(
        self, document: Document, name: str, raw: Mapping[str, Any]
    ) -> tuple[dict[str, Any], dict[str, Value]]:
        """The answers as text for the model, and as values."""
        texts: dict[str, Any] = {}
        values: dict[str, Value] = {}
        for question, answer in raw.items():
            loc = (SECTION, name, "answers", question)
            is_scalar = isinstance(answer, bool | int | float | str)
            texts[question] = str(answer) if is_scalar else answer
            if question not in self._rulebook.questions:
                mark = document.position_of(loc, key=True)
                self.problems.append(unknown_question(document, mark, question, self._rulebook))
            elif isinstance(answer, bool):
                if self._rulebook.questions[question].kind != Kind.YES_NO.value:
                    self.problems.append(not_yes_or_no(document, loc, question, answer))
                    continue
                texts[question] = "yes" if answer else "no"
                values[question] = answer
            elif isinstance(answer, int | float):
                self.problems.append(bare_number(document, loc, answer))
            elif isinstance(answer, str):
                try:
                    values[question] = self._rulebook.parse_answer(question, answer)
                except AnswerError as error:
                    self.problems.append(unreadable_answer(document, loc, question, answer, error))
        return texts, values
