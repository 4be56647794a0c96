"""What an author most likely meant by a value that is spelled another way than is wanted."""

from __future__ import annotations

import re
from typing import Any

_MINUTES = ("", "m", "min", "mins", "minute", "minutes")
_CONDITIONS = ("when", "ask_if", "applies_if")
_NUMBER_FIRST = re.compile(r"\s*([0-9]+(?:\.[0-9]+)?)\s*([a-zA-Z ]*)")
_PER_CENT = re.compile(r"\s*([0-9]+(?:[.,][0-9]+)?)\s*(?:%|per ?cent)")
_TWO_NUMBERS = re.compile(r"\s*([0-9]+)\s*(?:of|/|out of|:)\s*([0-9]+)\s*")
_COMMA = re.compile(r"\s*([0-9]*),([0-9]+)\s*")


def better_spelling(kind: str, name: str, value: Any) -> str:
    """A hint for a refused value of the field `name`; `kind` is pydantic's or ours; "" for none."""
    if kind.startswith("rate_"):
        return _rate(value)
    if kind in ("float_type", "int_type"):
        return _number(value)
    if kind == "tuple_type" and isinstance(value, str):
        if value.startswith("-"):
            return "write a blank after the hyphen of each item"
        return "write it as a list: each item on a line of its own after a hyphen and a blank"
    if kind == "dict_type" and name in _CONDITIONS:
        return "write {fact: value}, or for a number {fact: {above: ...}}"
    return ""


def _number(value: Any) -> str:
    if not isinstance(value, str):
        return ""
    comma = _COMMA.fullmatch(value)
    if comma is not None:
        return f"write {comma[1] or '0'}.{comma[2]}"
    found = _NUMBER_FIRST.fullmatch(value)
    if found is None or found[2].strip() not in _MINUTES:
        return ""
    return f"write {found[1]}" + ("" if found[2].strip() else ", without quotes")


def _rate(value: Any) -> str:
    """The rate that a share in per cent, with a comma or with another word was meant to be."""
    if isinstance(value, int | float) and not isinstance(value, bool):
        return f"for {value:g} per cent write {value / 100:g}" if 1 < value < 100 else ""
    if not isinstance(value, str):
        return ""
    if (found := _PER_CENT.fullmatch(value)) is not None:
        return f"write {float(found[1].replace(',', '.')) / 100:g}"
    if (found := _TWO_NUMBERS.fullmatch(value)) is not None:
        return f'write "{found[1]} in {found[2]}"'
    if (found := _COMMA.fullmatch(value)) is not None:
        return f"write {found[1] or '0'}.{found[2]}"
    return ""
