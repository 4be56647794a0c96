"""Cases as JSON lines: one case a line, for keeping and reading millions of them.

A line holds what the YAML file of a case would. It is read as strictly: no key twice, no
control characters, no number that is none. A problem is told by file and line.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final, NoReturn

from advisor.rulebook import MAX_BYTES, Document, LoadError, Mark, Node, Retired
from advisor.rulebook.scalars import Refusal, Scalar, read_plain

from .casefile import CaseFile
from .reading import ReadCase, read_document

PRIVATE: Final = "private"  # a key of what was exported with private data, which nobody reads here
_ESCAPED = re.compile(r"\\[ubf]")
_ODD = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufeff]")


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a file, from 1; `text` ends early when it is longer than a case can be."""

    number: int
    text: bytes


def case_data(case: CaseFile) -> dict[str, Any]:
    """The case as plain data for JSON; what is at its default is left out."""
    return case.model_dump(mode="json", exclude_none=True, exclude_defaults=True)


def case_line(data: Mapping[str, Any]) -> str:
    """The data of a case as one line of JSON, in ASCII, with its end."""
    return json.dumps(data, allow_nan=False) + "\n"


def lines_of_cases(path: Path) -> Iterator[Line]:
    """The lines that are not blank, one at a time. OSError when the file can't be read."""
    with path.open("rb") as file:
        number = 0
        while text := file.readline(MAX_BYTES + 1):
            number += 1
            rest = text
            while len(rest) > MAX_BYTES and not rest.endswith(b"\n"):
                rest = file.readline(MAX_BYTES + 1)
            if not text.isspace():
                yield Line(number, text)


def read_case_line(line: Line, shown: str, retired: Retired | None = None) -> ReadCase:
    """The case of one line; LoadError with every problem. `shown` is the file's name.

    `retired` are the ids of old of the rulebook that the case will be held against.
    """
    data = _data(line, shown)
    if isinstance(data, dict):
        data.pop(PRIVATE, None)
    return read_document(_document(line, shown, data), retired)


def _document(line: Line, shown: str, data: Any = None) -> Document:
    """The data, all of it placed at the start of the line, whose text is too long to show."""
    return Document(shown, data, "", lambda: Node(Mark(line.number, 1, 1)))


def _data(line: Line, shown: str) -> Any:
    if len(line.text) > MAX_BYTES:
        message = f"the line is longer than {MAX_BYTES // 1024} KiB, so it was not read"
        raise _refusal(line, shown, "file-too-large", message, "write one case a line")
    try:
        text = line.text.decode("utf-8-sig" if line.number == 1 else "utf-8")
        data = _DECODER.decode(text)
    except UnicodeDecodeError as error:
        raise _refusal(line, shown, "not-utf-8", "the line is not text in UTF-8") from error
    except RecursionError as error:
        raise _refusal(line, shown, "too-deep", "values are nested too deeply") from error
    except json.JSONDecodeError as error:
        message = f"the line is not well-formed JSON at column {error.colno}"
        # JSON is a part of YAML, so the code of files that are not well-formed fits
        raise _refusal(line, shown, "yaml-syntax", message, "write one case a line") from error
    except _RefusedError as error:
        raise _refusal(line, shown, error.code, str(error)) from error
    if (_ESCAPED.search(text) or _ODD.search(text)) and _is_odd(data):
        message = "an invisible control character stands in the line"
        raise _refusal(line, shown, "control-character", message, "delete it")
    return data


def _refusal(line: Line, shown: str, code: str, message: str, hint: str = "") -> LoadError:
    return LoadError([_document(line, shown).problem((), code, message, hint)])


class _RefusedError(ValueError):
    def __init__(self, code: str, message: str) -> None:
        super().__init__(message)
        self.code = code


def _mapping(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    data = dict(pairs)
    if len(data) != len(pairs):
        counts = Counter(key for key, _ in pairs)
        twice = next(key for key in counts if counts[key] > 1)
        raise _RefusedError("duplicate-key", f'the key "{twice}" stands twice in one mapping')
    return data


def _number(text: str) -> Scalar:
    """The number, or the refusal, that a YAML file would give."""
    found = read_plain(text)
    if isinstance(found, Refusal):
        raise _RefusedError(found.code, found.message)
    return found


def _refuse_constant(name: str) -> NoReturn:
    raise _RefusedError("not-finite", f'"{name}" is no number')


_DECODER: Final = json.JSONDecoder(
    object_pairs_hook=_mapping,
    parse_int=_number,
    parse_float=_number,
    parse_constant=_refuse_constant,
)


def _is_odd(data: Any) -> bool:
    """Whether a text in the data holds a control character."""
    if isinstance(data, str):
        return _ODD.search(data) is not None
    if isinstance(data, dict):
        return any(_is_odd(one) for pair in data.items() for one in pair)
    return isinstance(data, list) and any(map(_is_odd, data))
