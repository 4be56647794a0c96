"""What a YAML parser says of a text that it cannot read, in words for the author of the file.

The parser's own words are about its workings, and the place that it gives is where it gave up;
here the complaint is moved to the line to be mended where that can be told.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

import yaml

from .document import Document
from .names import quoted
from .problems import FILE_START, Mark, Problem

_KEY = re.compile(r"\s*(?:- +)?[\w-]+:(?= |$)")
_KEY_WITHOUT_BLANK = re.compile(r"(\s*)([\w-]+):(\S.*)")
_QUOTES = ('"', "'")


class _Said(NamedTuple):
    """What the parser said, where it stood, and where the part begins that it was in."""

    words: str
    at: Mark
    begun: Mark


class _Told(NamedTuple):
    """Where the mistake is, what it is, and what to write instead."""

    at: Mark
    message: str
    hint: str = ""


def syntax_problem(page: Document, error: yaml.YAMLError) -> Problem:
    """The problem behind an error of the parser."""
    at = _mark(page, getattr(error, "problem_mark", None) or getattr(error, "context_mark", None))
    begun = _mark(page, getattr(error, "context_mark", None)) or at
    said = _Said(str(getattr(error, "problem", None) or "it cannot be read"), at, begun)
    if "nesting" in said.words:
        return page.problem(at, "too-deep", "values are nested too deeply")
    for words, tell in _TELLERS.items():
        if words in said.words:
            told = tell(page, said)
            return page.problem(told.at, "yaml-syntax", told.message, told.hint)
    return page.problem(at, "yaml-syntax", f"the file cannot be read from here on: {said.words}")


def _mark(page: Document, spot: Any) -> Mark:
    if spot is None:
        return FILE_START
    return Mark(min(spot.line, len(page.lines) - 1) + 1, spot.column + 1, spot.column + 2)


def _line(page: Document, mark: Mark) -> str:
    return page.lines[mark.line - 1] if mark.line <= len(page.lines) else ""


def _whole_line(page: Document, mark: Mark) -> Mark:
    """The line without its indent."""
    text = _line(page, mark).rstrip()
    start = len(text) - len(text.lstrip()) + 1
    return Mark(mark.line, start, max(len(text) + 1, start + 1))


def _colon(page: Document, said: _Said) -> _Told:
    line = _line(page, said.at)
    key = _KEY.match(line)
    if key is not None and said.at.column <= key.end():
        return _indented(page, said)
    hint = "put the whole text after the key into quotes"
    if key is not None:
        value = line[key.end() :].strip()
        quote = "'" if '"' in value else '"'
        hint = f"write {line[: key.end()].strip()} {quote}{value}{quote}" if value else hint
    message = "this text holds a colon and a blank, which makes a key of what stands before"
    return _Told(said.at, message, hint)


def _no_colon(page: Document, said: _Said) -> _Told:
    at = _whole_line(page, said.begun)
    glued = _KEY_WITHOUT_BLANK.match(_line(page, said.begun))
    if glued is not None:
        hint = f'write "{glued[2]}: {glued[3].strip()[:60]}"'
        return _Told(at, "a blank is missing after the colon", hint)
    message = "this line is no field: it has no colon after a key"
    return _Told(at, message, "write key: value, with a colon and a blank")


def _key(page: Document, said: _Said) -> _Told:
    before = _line(page, said.at)[: said.at.column - 1]
    if before.rstrip().endswith(_QUOTES):
        return _after_quote(page, said)
    if before.strip():
        message = "more text follows here, where the value has ended already"
        return _Told(said.at, message, "put the whole text after the key into quotes")
    return _indented(page, said)


def _after_quote(page: Document, said: _Said) -> _Told:
    line = _line(page, said.at)
    key = _KEY.match(line)
    value = line[key.end() :].strip() if key else ""
    if value[:1] == "'":
        hint = "put the text into double quotes, or write the apostrophe twice"
    else:
        hint = "put the whole text into single quotes, or leave the quotes out"
    return _Told(said.at, "the quotes were closed before here, and more text follows", hint)


def _indented(page: Document, said: _Said) -> _Told:
    """A line that begins in a column where nothing around it does."""
    at = _whole_line(page, said.at)
    open_columns = _open_columns(page, at.line)
    message = f"this line begins in column {at.column}, and nothing that it could go on with does"
    if not open_columns:
        return _Told(at, message, "give it the indent of the lines that it belongs with")
    near = sorted(open_columns, key=lambda column: abs(column - at.column))[:2]
    columns = " or ".join(str(column) for column in sorted(near))
    hint = f"begin it in column {columns}, as the lines that it belongs with; or mend one above"
    return _Told(at, message, hint)


def _open_columns(page: Document, line: int) -> list[int]:
    """The columns in which the blocks begin that are open before this line."""
    columns: list[int] = []
    for text in page.lines[: line - 1]:
        body = text.lstrip(" ")
        if body and not body.startswith("#"):
            column = len(text) - len(body) + 1
            columns = [*(one for one in columns if one < column), column]
    return columns


def _bracket(page: Document, said: _Said) -> _Told:
    opening = _line(page, said.begun)[said.begun.column - 1 : said.begun.column]
    closing = "}" if opening == "{" else "]"
    if said.begun.line < said.at.line:
        return _Told(said.begun, f'the bracket "{opening}" is opened here and not closed with '
                     f'"{closing}"', f'write "{closing}" at its end')  # fmt: skip
    message = f'a comma, or the closing "{closing}", is missing before here'
    return _Told(said.at, message, "put a text with brackets, commas or a colon into quotes")


def _never_closed(page: Document, said: _Said) -> _Told:
    sign = _line(page, said.begun)[said.begun.column - 1 : said.begun.column]
    what = "quote" if sign in _QUOTES else "bracket"
    return _Told(said.begun, f"the {what} that opens here is never closed", "close it")


def _first_sign(page: Document, said: _Said) -> _Told:
    return _not_first(page, said.at)


def _sign_before(page: Document, said: _Said) -> _Told:
    return _not_first(page, said.begun)  # the parser gave up behind the sign


def _not_first(page: Document, at: Mark) -> _Told:
    sign = _line(page, at)[at.column - 1 : at.column]
    hint = "put the text into quotes"
    if sign == ">":
        hint += ", or write a comparison such as {above: 0.5 mm}"
    return _Told(at, f"a text without quotes cannot begin with {quoted([sign])}", hint)


def _after_block_sign(page: Document, said: _Said) -> _Told:
    sign = _line(page, said.begun)[said.begun.column - 1 : said.begun.column]
    if sign not in ("|", ">"):
        return _not_first(page, said.begun)
    message = f"behind {quoted([sign])} a text begins on the next line"
    return _Told(said.begun, message, "put a text that begins with this sign into quotes")


def _no_value(_page: Document, said: _Said) -> _Told:
    message = "a value is missing before here, or there is a comma too much"
    return _Told(said.at, message, "write the value, or take the comma out")


def _list_item(page: Document, said: _Said) -> _Told:
    line = _line(page, said.at)
    if line[: said.at.column - 1].strip():
        message = "a list item cannot stand behind a key on its line"
        return _Told(said.at, message, "write each item on a line of its own, or [first, second]")
    return _indented(page, said)


def _escape(page: Document, said: _Said) -> _Told:
    at = said.at
    if _line(page, at)[at.column - 1 : at.column] != "\\":
        at = Mark(at.line, at.column - 1, at.column)  # PyYAML alone points behind the backslash
    message = "a backslash in double quotes begins a special sign, and this one is not known"
    return _Told(at, message, "write two backslashes, or put the text into single quotes")


# Part of what the parser says (libyaml's words, and those of PyYAML alone) -> what it means.
_TELLERS: Mapping[str, Callable[[Document, _Said], _Told]] = {
    "mapping values are not allowed": _colon,
    "could not find expected ':'": _no_colon,
    "did not find expected key": _key,
    "expected <block end>": _key,
    "expected '-' indicator": _indented,
    "sequence entries are not allowed": _list_item,
    "expected ',' or": _bracket,
    "unexpected end of stream": _never_closed,
    "cannot start any token": _first_sign,
    "alphabetic or numeric character": _sign_before,
    "unknown escape character": _escape,
    "expected directive name": _sign_before,
    "expected comment or line break": _after_block_sign,
    "expected chomping or indentation": _after_block_sign,
    "expected a digit or ' '": _sign_before,
    "expected a comment or a line break": _after_block_sign,
    "node content": _no_value,
    "did not find expected <document start>": _indented,
    "expected '<document start>'": _indented,
}
