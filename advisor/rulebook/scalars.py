"""What a plain YAML word means: true, false, a number or text; and the spellings that are refused.

PyYAML as it comes reads `1:30` as 90, `no` as false, `010` as 8 and `1e3` as text, each without
a word. Here every such spelling is a complaint that names one that works.
"""

from __future__ import annotations

import math
import re
from functools import lru_cache
from typing import NamedTuple

Scalar = bool | int | float | str


class Refusal(NamedTuple):
    """Why a plain word is refused: problem code, message, and what to write instead."""

    code: str
    message: str
    hint: str


_INTEGER = re.compile(r"[-+]?(0|[1-9][0-9]*)")
_FLOAT = re.compile(r"[-+]?([0-9]+\.[0-9]*|\.[0-9]+|[0-9]+)([eE][-+]?[0-9]+)?")
_LEADING_ZERO = re.compile(r"[-+]?0[0-9]+(\.[0-9]*)?")
_UNDERSCORED = re.compile(r"[-+]?[0-9][0-9_]*_[0-9_]*(\.[0-9_]*)?([eE][-+]?[0-9]+)?")
_OTHER_BASE = re.compile(r"[-+]?0[xXoObB][0-9a-fA-F_]+")
_SEXAGESIMAL = re.compile(r"[-+]?[0-9][0-9_]*(:[0-5]?[0-9])+(\.[0-9_]*)?")
_DATE = re.compile(r"[0-9]{4}-[0-9]{1,2}-[0-9]{1,2}([Tt ].*)?", re.DOTALL)
_NOT_FINITE = re.compile(r"[-+]?\.(inf|Inf|INF)|\.(nan|NaN|NAN)")
_BOOLEAN_LIKE = {
    "yes": "true", "y": "true", "on": "true", "true": "true",
    "no": "false", "n": "false", "off": "false", "false": "false",
}  # fmt: skip
_NULL = frozenset({"", "~", "null", "Null", "NULL"})
_LONGEST_WORD = 60  # characters; longer texts seldom come twice
_LONGEST_NUMBER = 400  # digits; more cannot be finite and only cost time


def read_plain(text: str) -> Scalar | Refusal:
    """The value of a plain (unquoted) YAML word, or why it is refused."""
    return _read_word(text) if len(text) <= _LONGEST_WORD else _read(text)


def _read(text: str) -> Scalar | Refusal:
    if text == "true":
        return True
    if text == "false":
        return False
    first = text[:1]
    if first and first in "0123456789-+.":
        return _read_number_like(text)
    return _refused_word(text) or text


_read_word = lru_cache(maxsize=4096)(_read)  # ids and rates stand in a rulebook again and again


def _refused_word(text: str) -> Refusal | None:
    if text in _NULL:
        return Refusal(
            "empty-value", "no value stands here", "write the value, or leave the key out"
        )
    meant = _BOOLEAN_LIKE.get(text.lower())
    if meant:
        return Refusal(
            "ambiguous-boolean",
            f'"{text}" without quotes is read as true or false by some programs, as text by others',
            f'write {meant} for a yes or no, or "{text}" in quotes for the word',
        )
    if text in ("<<", "="):
        return Refusal(
            "merge-key",
            f'"{text}" without quotes has a special meaning that not every program knows',
            "write out the fields, or put the text into quotes",
        )
    return None


def _read_number_like(text: str) -> Scalar | Refusal:
    number_like = len(text) <= _LONGEST_NUMBER
    if number_like and _INTEGER.fullmatch(text):
        return int(text) if len(text) < 300 else _not_finite(text)
    refusal = _refused_number(text)
    if refusal:
        return refusal
    if _FLOAT.fullmatch(text):
        number = float(text) if number_like else math.inf
        return number if math.isfinite(number) else _not_finite(text)
    return text


def _refused_number(text: str) -> Refusal | None:
    if _SEXAGESIMAL.fullmatch(text):
        return Refusal(
            "ambiguous-number",
            f'"{text}" without quotes is read to the base 60 by some programs',
            f'write "{text}" in quotes, or one number with its unit',
        )
    if _DATE.fullmatch(text):
        return Refusal(
            "ambiguous-date",
            f'"{text}" without quotes is read as a date by some programs, as text by others',
            f'write "{text}" in quotes',
        )
    return _not_finite(text) if _NOT_FINITE.fullmatch(text) else _refused_spelling(text)


def _refused_spelling(text: str) -> Refusal | None:
    if _UNDERSCORED.fullmatch(text):
        return _spelled(text, text.replace("_", ""), "with underscores")
    if _OTHER_BASE.fullmatch(text):
        return _spelled(text, "the number to the base 10", "to another base than 10")
    if _LEADING_ZERO.fullmatch(text):
        plain = text.lstrip("-+0") or "0"
        plain = f"0{plain}" if plain.startswith(".") else plain
        return _spelled(text, text[0] * (text[0] == "-") + plain, "with a leading zero")
    return None


def _spelled(text: str, better: str, what: str) -> Refusal:
    return Refusal(
        "ambiguous-number",
        f'"{text[:40]}" is a number {what}, which programs read differently',
        f'write {better[:40]}, or "{text[:40]}" in quotes for text',
    )


def _not_finite(text: str) -> Refusal:
    return Refusal(
        "not-finite",
        f'"{text[:40]}" is not a finite number',
        "write a finite number, or put the word into quotes",
    )
