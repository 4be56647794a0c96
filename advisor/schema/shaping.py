"""From the JSON Schema that pydantic makes of a model to one that an editor makes most of."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from pydantic import BaseModel, TypeAdapter

from advisor.rulebook.fields import Amount, Rate

from .examples import EXAMPLES
from .parts import PARTS, Schema, ref
from .rules import FIELDS, RECORDS

_KEEP: Final = ("description", "default")  # what stays of a field whose form is replaced
_FREE: Final = ({"type": "object"}, {"type": "object", "additionalProperties": True})
_ORDER: Final = (
    *("$schema", "title", "description", "$ref", "type", "const", "enum", "default", "examples"),
    *("required", "properties", "if", "then", "else"),
)


class Shaper:
    """Collects the definitions of one schema; `amount` is the definition for plain amounts."""

    def __init__(self, amount: str = "amount") -> None:
        self.definitions: dict[str, Schema] = {}
        self._known = (
            (_plain(TypeAdapter(Amount).json_schema()), amount),
            (_plain(TypeAdapter(Rate).json_schema()), "rate"),
            *((free, "condition") for free in _FREE),
        )

    def add(self, model: type[BaseModel]) -> Schema:
        """A reference to the model's schema, which is added with all that it needs."""
        whole = model.model_json_schema(ref_template="#/definitions/{model}")
        inner = whole.pop("$defs", {})
        for name, schema in {**inner, model.__name__: whole}.items():
            self.definitions[name] = self._record(name, schema)
        return ref(model.__name__)

    def file(self, title: str, schema: Schema) -> Schema:
        """The whole schema of a file, with the definitions that it uses, in a fixed order."""
        used: dict[str, Schema] = {}
        waiting = _references(schema)
        while waiting:
            name = waiting.pop()
            if name not in used:
                used[name] = self.definitions.get(name) or PARTS[name]
                waiting |= _references(used[name])
        head = {"$schema": "http://json-schema.org/draft-07/schema#", "title": title}
        ordered = {name: used[name] for name in sorted(used)}
        tidied: Schema = _tidy({**head, **schema, "definitions": ordered})
        return tidied

    def _record(self, name: str, schema: Schema) -> Schema:
        fields = {
            field: self._field(name, field, _plain(raw))
            for field, raw in schema.get("properties", {}).items()
            if raw.get("type") != "null"  # a field of the base that this record must not have
        }
        record = {**_plain(schema), "properties": fields}
        return {**record, **RECORDS.get(name, {})}

    def _field(self, name: str, field: str, raw: Schema) -> Schema:
        added = FIELDS.get((name, field), {})
        if {"type", "$ref"} & added.keys():
            raw = {key: raw[key] for key in _KEEP if key in raw}
        shaped = self._shared({**raw, **added})
        return {**shaped, "examples": [EXAMPLES[name][field]]}

    def _shared(self, schema: Any) -> Any:
        """The schema with references where it spells out an amount, a rate or a condition."""
        if isinstance(schema, list):
            return [self._shared(one) for one in schema]
        if not isinstance(schema, dict):
            return schema
        form = {
            key: value
            for key, value in schema.items()
            if key not in (*_KEEP, "minProperties", "examples")
        }
        for known, part in self._known:
            if form == known:
                return {**{key: schema[key] for key in _KEEP if key in schema}, **ref(part)}
        return {key: self._shared(value) for key, value in schema.items()}


def _plain(schema: Schema) -> Schema:
    """Without what differs between releases of pydantic, or says nothing to an author."""
    plain: Schema = {}
    for key, value in schema.items():
        if key == "properties":
            plain[key] = value
        elif isinstance(value, dict):
            plain[key] = _plain(value)
        elif key in ("anyOf", "allOf"):
            plain[key] = [_plain(one) for one in value if one != {"type": "null"}]
        elif isinstance(value, float) and value.is_integer():
            plain[key] = int(value)
        elif key != "title" and not (key == "default" and not isinstance(value, bool | str)):
            plain[key] = value
    if plain.get("default") == "":
        del plain["default"]
    if "const" in plain:
        plain.pop("enum", None)
    for key in ("anyOf", "allOf"):
        if len(plain.get(key, ())) == 1:
            plain |= plain.pop(key)[0]
    return plain


def _references(node: Any) -> set[str]:
    if isinstance(node, list):
        return set().union(*map(_references, node))
    if not isinstance(node, Mapping):
        return set()
    found = set().union(*map(_references, node.values()))
    target = node.get("$ref")
    return found | {target.rpartition("/")[2]} if isinstance(target, str) else found


def _tidy(node: Any, *, are_names: bool = False) -> Any:
    """The same with its keywords in a fixed order; names of fields stay in theirs."""
    if isinstance(node, list):
        return [_tidy(one) for one in node]
    if not isinstance(node, dict):
        return node
    if are_names:
        return {name: _tidy(value) for name, value in node.items()}
    rank = {key: place for place, key in enumerate(_ORDER)}
    keys = sorted(node, key=lambda key: (rank.get(key, len(rank)), key))
    return {
        key: _tidy(node[key], are_names=key in ("properties", "definitions"))
        if key not in ("examples", "default", "const", "enum")
        else node[key]
        for key in keys
    }
