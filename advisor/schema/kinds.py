"""The kinds of files that people write, and the schema of each."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final

from pydantic import BaseModel

from advisor.cases import CaseFile, Record
from advisor.computing.shimsfile import KINDS as ADJUSTMENT_KINDS
from advisor.computing.shimsfile import FrameModel, LoadModel
from advisor.life import Private
from advisor.proof.models import ExampleModel
from advisor.rulebook import (
    CauseModel,
    CautionModel,
    ComputedModel,
    FindingModel,
    GaugeModel,
    MetaModel,
    PlaceModel,
    QuestionModel,
    RetiredModel,
    TestModel,
)
from advisor.rulebook.findingmodels import FINDING_KINDS
from advisor.rulebook.models import QUESTION_KINDS
from advisor.rulebook.overlaymodels import CommonnessChange, FindingChange, OverlayModel
from advisor.rulebook.retired import KINDS as RETIRED_KINDS
from advisor.settings import SettingsModel
from advisor.stock import BoxModel, StockModel

from .examples import SECTIONS
from .parts import Schema, names, ref
from .shaping import Shaper

_LOGIC_WORDS: Final = ("all", "any", "not")


@dataclass(frozen=True, slots=True)
class FileKind:
    """One kind of file: what it is, and how its schema is made."""

    name: str
    meaning: str
    make: Callable[[], Schema]


def _rulebook() -> Schema:
    shaper = Shaper()
    shaper.definitions["question"] = _by_kind(shaper, QuestionModel, QUESTION_KINDS)
    shaper.definitions["finding"] = _by_field(shaper, FindingModel, FINDING_KINDS)
    sections = {
        "rulebook": shaper.add(MetaModel),
        "places": _records(shaper.add(PlaceModel)),
        "cautions": _records(shaper.add(CautionModel)),
        "questions": _records(ref("question"), _LOGIC_WORDS),
        "tests": _records(shaper.add(TestModel)),
        "gauges": _records(shaper.add(GaugeModel)),
        "computed": _records(shaper.add(ComputedModel), _LOGIC_WORDS),
        "findings": _records(ref("finding"), _LOGIC_WORDS),
        "causes": _records(shaper.add(CauseModel)),
        "retired": _retired(_records(shaper.add(RetiredModel))),
    }
    return shaper.file("rulebook file", _sections(sections))


def _examples() -> Schema:
    shaper = Shaper()
    records = _records(shaper.add(ExampleModel), longest=None)
    return shaper.file("examples file", _sections({"examples": records}))


def _case() -> Schema:
    shaper = Shaper()
    shaper.add(Record)
    return _whole(shaper, "case file", CaseFile)


def _settings() -> Schema:
    return _whole(Shaper(), "settings file", SettingsModel)


def _overlay() -> Schema:
    shaper = Shaper()
    shaper.add(FindingChange)
    shaper.add(CommonnessChange)
    return _whole(shaper, "overlay file", OverlayModel)


def _private() -> Schema:
    return _whole(Shaper(), "file of private data", Private)


def _stock() -> Schema:
    shaper = Shaper("amountWithUnit")
    shaper.add(BoxModel)
    return _whole(shaper, "stock file", StockModel)


def _shims() -> Schema:
    shaper = Shaper("amountWithUnit")
    shaper.add(LoadModel)
    shaper.definitions["adjustment"] = _by_kind(shaper, None, ADJUSTMENT_KINDS)
    return _whole(shaper, "shims file", FrameModel)


def _whole(shaper: Shaper, title: str, model: type[BaseModel]) -> Schema:
    """The schema of a file that is one record."""
    shaper.add(model)
    return shaper.file(title, shaper.definitions.pop(model.__name__))


def _sections(sections: Mapping[str, Schema]) -> Schema:
    return {
        "type": "object",
        "additionalProperties": False,
        "properties": {
            name: {
                **schema,
                "description": SECTIONS[name][0],
                "examples": [SECTIONS[name][1]],
            }
            for name, schema in sections.items()
        },
    }


def _retired(records: Schema) -> Schema:
    """Retired ids by the section that they were in."""
    kinds = {name: {**records, **_field_words(name)} for name in RETIRED_KINDS}
    return {"type": "object", "additionalProperties": False, "properties": kinds}


def _field_words(kind: str) -> Schema:
    record = {"replaced_by": "new-id", "retired_in": "0.2.0", "reason": "renamed"}
    return {"description": f"old id of one of the {kind}: record", "examples": [{"old-id": record}]}


def _records(record: Schema, reserved: Iterable[str] = (), longest: int | None = 60) -> Schema:
    """A mapping of ids to records."""
    keys = names(reserved)
    if longest is None:
        del keys["maxLength"]
    return {"type": "object", "propertyNames": keys, "additionalProperties": record}


def _by_kind(
    shaper: Shaper, base: type[BaseModel] | None, kinds: Mapping[str, type[BaseModel]]
) -> Schema:
    """A record whose field `kind` says which other fields it has."""
    branches: list[Schema] = []
    for kind, model in kinds.items():
        is_kind = {"required": ["kind"], "properties": {"kind": {"const": kind}}}
        branches.append({"if": is_kind, "then": shaper.add(model)})
    if base is not None:
        branches.append({"if": {"required": ["kind"]}, "else": _open(shaper, base)})
    meanings = [_first_line(model) for model in kinds.values()]
    kind_field = {"type": "string", "enum": list(kinds), "enumDescriptions": meanings}
    return {
        "description": _first_line(base) if base else "A place where a part can be put.",
        "type": "object",
        "required": ["kind"],
        "properties": {"kind": kind_field},
        "allOf": branches,
    }


def _by_field(
    shaper: Shaper, base: type[BaseModel], kinds: Mapping[str, type[BaseModel]]
) -> Schema:
    """A record that has exactly one of several fields, which says what else it has."""
    branches: list[Schema] = []
    for field, model in kinds.items():
        others = [{"required": [other]} for other in kinds if other != field]
        is_alone = {"required": [field], "not": {"anyOf": others}}
        branches.append({"if": is_alone, "then": shaper.add(model)})
    none = {"not": {"anyOf": [{"required": [field]} for field in kinds]}}
    fields = {
        field: shaper.definitions[model.__name__]["properties"][field]
        for field, model in kinds.items()
    }
    branches.append({"if": none, "then": {"allOf": [_open(shaper, base), {"properties": fields}]}})
    return {
        "description": _first_line(base),
        "type": "object",
        "oneOf": [{"required": [field]} for field in kinds],
        "allOf": branches,
    }


def _open(shaper: Shaper, base: type[BaseModel]) -> Schema:
    """The fields that all kinds have, for a record that does not yet say its kind."""
    reference = shaper.add(base)
    record = shaper.definitions[base.__name__]
    for keyword in ("required", "additionalProperties"):
        record.pop(keyword, None)
    return reference


def _first_line(model: Any) -> str:
    return (model.__doc__ or "").strip().splitlines()[0]


KINDS: Final[Mapping[str, FileKind]] = MappingProxyType(
    {
        kind.name: kind
        for kind in (
            FileKind("case", "a case: one vehicle's answers", _case),
            FileKind("examples", "the examples of a rulebook", _examples),
            FileKind("overlay", "rates from closed cases, beside a rulebook", _overlay),
            FileKind("private", "a customer's own data, apart from the case", _private),
            FileKind("rulebook", "any file of a rulebook", _rulebook),
            FileKind("settings", "your gauges, and where your stock and cases are", _settings),
            FileKind("shims", "the slopes and parts of the verb shims", _shims),
            FileKind("stock", "the retaining rings that a shop has", _stock),
        )
    }
)
