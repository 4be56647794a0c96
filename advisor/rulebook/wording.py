"""Turns what pydantic says to programmers into problems for the author of a file."""

from __future__ import annotations

import types
import typing
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Union, get_args, get_origin

from pydantic import BaseModel, ValidationError

from .document import Document
from .names import did_you_mean
from .problems import Problem
from .spelling import better_spelling

# Error type of pydantic -> problem code and sentence; "{...}" are fields of the error's context.
WORDING: Mapping[str, tuple[str, str]] = {
    "amount_form": ("wrong-type", "must be an amount with its unit, such as 0.5 mm"),
    "bool_type": ("wrong-type", "must be true or false"),
    "dict_type": ("wrong-type", "must be a mapping (key: value)"),
    "extra_forbidden": ("unknown-field", "is not a field that is known here"),
    "finite_number": ("wrong-value", "must be a finite number"),
    "float_type": ("wrong-type", "must be a number without a unit"),
    "greater_than": ("wrong-value", "must be greater than {gt:g}"),
    "greater_than_equal": ("wrong-value", "must be {ge:g} or more"),
    "int_type": ("wrong-type", "must be a whole number"),
    "less_than": ("wrong-value", "must be less than {lt:g}"),
    "less_than_equal": ("wrong-value", "must be {le:g} or less"),
    "list_type": ("wrong-type", 'must be a list ("- ..." lines, or [..., ...])'),
    "literal_error": ("wrong-value", "must be {expected}"),
    "missing": ("missing-field", "is missing"),
    "model_type": ("wrong-type", "must be a mapping (key: value)"),
    "none_required": ("unknown-field", 'is only for a finding with "when"'),
    "rate_form": ("wrong-rate", 'must be a rate such as "8 in 10" or 0.8'),
    "rate_range": ("wrong-rate", "must be a rate from 0.001 to 0.999; nothing is certain"),
    "string_pattern_mismatch": ("wrong-value", "is not written in the form that is wanted here"),
    "string_too_long": ("wrong-value", "must have at most {max_length} characters"),
    "string_too_short": ("wrong-value", "must not be empty"),
    "string_type": ("wrong-type", "must be text"),
    "too_long": ("wrong-value", "must have at most {max_length} items"),
    "too_short": ("wrong-value", "must have at least {min_length} items"),
    "tuple_type": ("wrong-type", 'must be a list ("- ..." lines, or [..., ...])'),
}
UNFORESEEN = ("wrong-value", "cannot be used here")


def problems_of(
    error: ValidationError,
    document: Document,
    prefix: Sequence[str | int] = (),
    model: type[BaseModel] | None = None,
) -> list[Problem]:
    """The problems behind a pydantic error on the data at `prefix`, one for each of its errors.

    A missing field points at the mapping that lacks it, an unknown one at its key with the
    nearest field of `model`, anything else at the value.
    """
    return [
        _problem(entry["type"], (*prefix, *entry["loc"]), entry, document, fields)
        for entry, fields in _with_fields(error, model)
    ]


def _with_fields(
    error: ValidationError, model: type[BaseModel] | None
) -> Iterator[tuple[Any, tuple[str, ...]]]:
    for entry in error.errors(include_url=False):
        yield entry, fields_at(model, entry["loc"][:-1]) if model else ()


def _problem(
    kind: str, loc: tuple[str | int, ...], entry: Any, document: Document, fields: tuple[str, ...]
) -> Problem:
    code, sentence = WORDING.get(kind, UNFORESEEN)
    name = next((step for step in reversed(loc) if isinstance(step, str)), "this")
    subject = f'"{name}"'
    if loc and isinstance(loc[-1], int):
        subject = f'item {loc[-1] + 1} of "{name}"'
    message = f"{subject} {sentence.format_map(entry.get('ctx') or {})}"
    if kind == "missing":
        return document.problem(loc[:-1], code, message, _place_hint(fields, name))
    if code == "unknown-field":
        mark = document.position_of(loc, key=True)
        hint = did_you_mean(name, fields) if kind == "extra_forbidden" else ""
        return document.problem(mark, code, message, hint)
    value = entry.get("input")
    read = _as_read(value)
    if kind == "string_type" and read:
        written = _as_written(document, loc) or read
        return document.problem(loc, code, message, f'put it into quotes: "{written}"')
    if read:
        message = f'{message}; read "{read}"'
    return document.problem(loc, code, message, better_spelling(kind, name, value))


def _as_written(document: Document, loc: tuple[str | int, ...]) -> str:
    """The value as it stands in the file, where a number has its zeros; "" for other files."""
    mark = document.position_of(loc)
    if mark.line > len(document.lines):
        return ""
    return document.lines[mark.line - 1][mark.column - 1 : mark.end_column - 1]


def _place_hint(fields: tuple[str, ...], name: str) -> str:
    return f'add a line "{name}: ..."' if name in fields else ""


def _as_read(value: Any) -> str:
    """A short value as the author wrote it; "" for a list, mapping or long text."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int | float | str):
        text = str(value) if isinstance(value, str) else f"{value:.15g}"
        return text if len(text) <= 60 and text.isprintable() else ""
    return ""


def fields_at(model: type[BaseModel], loc: Sequence[str | int]) -> tuple[str, ...]:
    """Names, as written in a file, of the fields of the record that `loc` leads to in `model`."""
    here: Any = model
    for step in loc:
        here = _inside(here, step)
    if isinstance(here, type) and issubclass(here, BaseModel):
        return tuple(field.alias or name for name, field in here.model_fields.items())
    return ()


def _inside(annotation: Any, step: str | int) -> Any:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        for name, field in annotation.model_fields.items():
            if (field.alias or name) == step:
                return _bare(field.annotation)
        return None
    arguments = [one for one in get_args(annotation) if one is not Ellipsis]
    return _bare(arguments[-1]) if arguments else None


def _bare(annotation: Any) -> Any:
    """The annotation without Annotated and without an optional None."""
    while get_origin(annotation) is typing.Annotated:
        annotation = get_args(annotation)[0]
    if get_origin(annotation) in (Union, types.UnionType):
        return _bare(next(one for one in get_args(annotation) if one is not type(None)))
    return annotation
