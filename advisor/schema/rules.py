"""What the program checks beyond its models, as far as a schema can say it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from advisor import settings, stock
from advisor.cases import LONGEST_ANSWER, casefile
from advisor.computing import shimsfile
from advisor.driveline.catalog import FUNCTIONS, Function
from advisor.life import private
from advisor.rulebook import models, overlaymodels
from advisor.rulebook.findingmodels import ANYTHING_ELSE
from advisor.units import DIMENSIONS, UNITS

from .parts import Schema, names, ref

_ID: Final[Schema] = {"type": "string", **names()}
_UNIT: Final[Schema] = {
    "anyOf": [{"enum": [unit.symbol for unit in UNITS]}, {"type": "string", "minLength": 1}]
}
_OPTIONS: Final[Schema] = {"propertyNames": names(("dont-know", ANYTHING_ELSE))}
_VALUES: Final[Schema] = {"propertyNames": names()}
_TOGETHER: Final[Schema] = {
    "dependencies": {"place": ["minutes"], "minutes": ["place"], "cautions": ["place"]}
}
_SIZES: Final = ("span", "width")
_OLD_STACK: Final = ("old_ring_1", "old_ring_2", "old_end_play")
_WIDTHS: Final = ("old_width", "new_width")
_LENGTH: Final = ref("amountWithUnit")
_EFFECTS: Final = "change of each member's slope, front to rear"


def _without(group: tuple[str, ...], name: str) -> list[str]:
    return [other for other in group if other != name]


def _either(flag: str, field: str, when_true: Schema, otherwise: Schema) -> Schema:
    """A record where a flag that is true takes the place of a field."""
    is_true = {"required": [flag], "properties": {flag: {"const": True}}}
    return {
        "if": is_true,
        "then": when_true,
        "else": {"required": [field], **otherwise},
    }


def _inputs(function: Function) -> Schema:
    """The inputs of one computed fact, once its function is written."""
    parameters = function.parameters
    inputs: Schema = {
        "title": f"inputs of {function.name}",
        "description": "parameter: fact id",
        "type": "object",
        "additionalProperties": False,
        "required": [one.name for one in parameters if not one.optional],
        "properties": {
            one.name: {
                "description": f"fact id: {one.meaning}",
                "type": "string",
                "minLength": 1,
                "examples": [one.name.replace("_", "-")],
            }
            for one in parameters
        },
    }
    inputs["examples"] = [{name: name.replace("_", "-") for name in inputs["required"]}]
    is_this = {"required": ["function"], "properties": {"function": {"const": function.name}}}
    name = {"description": function.formula, "const": function.name, "examples": [function.name]}
    return {"if": is_this, "then": {"properties": {"function": name, "inputs": inputs}}}


# (model, field): its form, where the model leaves it open. A new "type" replaces the old form.
FIELDS: Final[Mapping[tuple[str, str], Schema]] = {
    ("MetaModel", "format"): {"type": "integer", "const": models.FORMAT},
    ("CaseFile", "format"): {"type": "integer", "const": casefile.FORMAT},
    ("Private", "format"): {"type": "integer", "const": private.FORMAT},
    ("SettingsModel", "units"): {"propertyNames": {"enum": list(DIMENSIONS)}},
    ("SettingsModel", "format"): {"type": "integer", "const": settings.FORMAT},
    ("OverlayModel", "format"): {"type": "integer", "const": overlaymodels.FORMAT},
    ("StockModel", "format"): {"type": "integer", "const": stock.FORMAT},
    ("FrameModel", "format"): {"type": "integer", "const": shimsfile.FORMAT},
    ("MetaModel", "id"): _ID,
    ("NumberQuestion", "unit"): _UNIT,
    ("ComputedModel", "unit"): _UNIT,
    ("ComputedModel", "function"): {"type": "string", "enum": list(FUNCTIONS)},
    ("ChoiceQuestion", "options"): _OPTIONS,
    ("ChoicesQuestion", "options"): _OPTIONS,
    ("ChoiceFinding", "values"): _VALUES,
    ("BandsFinding", "values"): _VALUES,
    ("RingsModel", "axes"): {"minItems": 1},
    ("RingsModel", "limit"): _LENGTH,
    ("RingsModel", "largest_offset"): _LENGTH,
    ("CaseFile", "id"): {"type": "string", **names(longest=casefile.LONGEST_ID)},
    ("CaseFile", "answers"): {
        "type": ["array", "object"],
        "items": ref("Record"),
        "additionalProperties": ref("answer"),
        "description": "question id: answer as typed; or the log of records, oldest first",
    },
    ("Record", "answer"): {"type": ["string", "boolean"], "maxLength": LONGEST_ANSWER},
    ("ExampleModel", "answers"): {"type": "object", "additionalProperties": ref("answer")},
    ("ExpectModel", "findings"): {
        "type": "object",
        "minProperties": 1,
        "additionalProperties": {"type": ["boolean", "string"], "minLength": 1},
    },
    ("StockModel", "rings"): {"additionalProperties": ref("BoxModel")},
    ("FrameModel", "loads"): {"additionalProperties": ref("LoadModel")},
    ("FrameModel", "adjustments"): {"items": ref("adjustment")},
    **{
        (model, "name"): {"description": "the part in words; each name once"}
        for model in ("WedgeModel", "MountShimModel", "SupportShimModel", "DirectModel")
    },
    **{
        (model, "kind"): {"description": "what the part is: wedge, mount-shim and the like"}
        for model in ("WedgeModel", "MountShimModel", "SupportShimModel", "DirectModel")
    },
    **{
        (model, "sizes"): {"description": "sizes at hand, with sign; a positive one raises it"}
        for model in ("MountShimModel", "SupportShimModel")
    },
    ("DirectModel", "effects"): {"description": _EFFECTS},
}
# model: what holds for several of its fields at once
RECORDS: Final[Mapping[str, Mapping[str, Any]]] = {
    **{f"{kind}Question": _TOGETHER for kind in ("YesNo", "Choice", "Choices", "Number", "Text")},
    "BandModel": {"oneOf": [{"required": [end]} for end in ("below", "between", "above")]},
    "ComputedModel": {"allOf": [_inputs(function) for function in FUNCTIONS.values()]},
    "RingAxisModel": {
        "anyOf": [{"required": list(_SIZES)}, {"required": list(_OLD_STACK)}],
        "dependencies": {
            **{name: _without(group, name) for group in (_SIZES, _OLD_STACK) for name in group},
            **{name: [*_without(_WIDTHS, name), *_OLD_STACK] for name in _WIDTHS},
        },
    },
    "Record": _either("taken_back", "answer", {"not": {"required": ["answer"]}}, {}),
    "Result": _either(
        "none_of_the_listed",
        "causes",
        {"properties": {"causes": {"maxItems": 0}}},
        {"properties": {"causes": {"minItems": 1}}},
    ),
    "ExpectModel": {"minProperties": 1},
}
