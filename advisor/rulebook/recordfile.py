"""Reads a file that is one record as a whole, such as a user's settings."""

from __future__ import annotations

import os
from typing import TypeVar

from pydantic import BaseModel, ValidationError

from .document import Document
from .problems import LoadError
from .wording import problems_of
from .yamlfile import MAX_BYTES, read_yaml

M = TypeVar("M", bound=BaseModel)


def read_record(
    path: str | os.PathLike[str],
    model: type[M],
    called: str,
    understood: int,
    *,
    max_bytes: int = MAX_BYTES,
) -> tuple[Document, M]:
    """The record in this file, and the file; `called` is what it is: "the stock".

    `understood` is the number of the format that the program understands. Raises LoadError with
    every problem of the form.
    """
    document = read_yaml(path, max_bytes=max_bytes)
    data = document.data
    if not isinstance(data, dict):
        message = f"{called} must be a mapping (key: value)"
        raise LoadError([document.problem((), "wrong-type", message)])
    number = data.get("format")
    if isinstance(number, int) and not isinstance(number, bool) and number != understood:
        message = f"read format {number}; this program understands format {understood} here"
        hint = f"write format: {understood}" if number < understood else "update the program"
        raise LoadError([document.problem(("format",), "unknown-format", message, hint)])
    try:
        return document, model.model_validate(data)
    except ValidationError as error:
        raise LoadError(problems_of(error, document, (), model)) from error
