"""A record as the YAML text that a person would write: plain words, short lists on one line."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from advisor.rulebook import LoadError, parse_yaml

WIDTH = 100  # columns of a line
_LONG_TEXT = 45  # characters; a list or mapping with a longer text has a line for each
_STEP = "  "


class Quoted(str):
    """A text that stands in quotes whatever it holds, as answers do."""

    __slots__ = ()


def record_text(name: str, record: Mapping[str, Any], indent: str = _STEP) -> str:
    """The lines of one record under its id, each with its line end."""
    return "".join(f"{line}\n" for line in [f"{indent}{name}:", *_fields(record, indent + _STEP)])


def _fields(record: Mapping[str, Any], indent: str) -> list[str]:
    lines: list[str] = []
    for key, value in record.items():
        head = f"{indent}{_scalar(key)}:"
        short = _flow(value)
        if short is not None and len(head) + 1 + len(short) <= WIDTH:
            lines.append(f"{head} {short}")
        elif isinstance(value, Mapping):
            lines += [head, *_fields(value, indent + _STEP)]
        elif isinstance(value, list):
            lines += [head, *_items(value, indent + _STEP)]
        else:
            lines += [f"{head} >-", *_folded(str(value), indent + _STEP)]
    return lines


def _items(values: list[Any], indent: str) -> list[str]:
    lines: list[str] = []
    for value in values:
        line = f"{indent}- {_flow(value) or _in_flow(value)}"
        if len(line) > WIDTH and isinstance(value, str):
            lines += [f"{indent}- >-", *_folded(value, indent + _STEP)]
        else:
            lines.append(line)
    return lines


def _flow(value: Any) -> str | None:
    """The value on one line; None for what reads better on several."""
    if isinstance(value, Mapping):
        if any(isinstance(one, Mapping | Quoted) for one in value.values()):
            return None
        is_long = any(_is_long(one) for one in value.values())
        return None if is_long else _in_flow(value)
    if isinstance(value, list):
        return None if any(_is_sentence(one) for one in value) else _in_flow(value)
    return _scalar(value)


def _is_long(value: Any) -> bool:
    if isinstance(value, list):
        return any(_is_sentence(one) for one in value)
    return isinstance(value, str) and len(value) > _LONG_TEXT


def _is_sentence(value: Any) -> bool:
    return isinstance(value, str) and value.count(" ") > 1


def _in_flow(value: Any) -> str:
    if isinstance(value, Mapping):
        return f"{{{', '.join(f'{_inner(key)}: {_in_flow(one)}' for key, one in value.items())}}}"
    if isinstance(value, list):
        return f"[{', '.join(map(_in_flow, value))}]"
    return _inner(value)


def _inner(value: Any) -> str:
    """A scalar between brackets, where more signs need quotes."""
    text = _scalar(value)
    is_plain = not isinstance(value, str) or _reads_as(f"a: [{text}]\n", [value])
    return text if is_plain else _q(value)


def _scalar(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int | float):
        return f"{value:g}"
    text = str(value)
    if isinstance(value, Quoted):
        return _q(text)
    return text if _reads_as(f"a: {text}\n", text) else _q(text)


def _q(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)


def _reads_as(yaml_text: str, wanted: Any) -> bool:
    """Whether the strict reader takes the text for this value and nothing else."""
    try:
        data = parse_yaml(yaml_text, "").data
    except LoadError:
        return False
    return bool(data == {"a": wanted})


def _folded(text: str, indent: str) -> list[str]:
    """The words of a long text in lines of the width; folding joins them again."""
    lines, current = [], ""
    for word in text.split():
        if current and len(indent) + len(current) + 1 + len(word) > WIDTH:
            lines.append(indent + current)
            current = word
        else:
            current = f"{current} {word}".strip()
    return [*lines, indent + current]
