"""Every field of every kind of file, from the schemas that are made from the models."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from typing import Any

from advisor.schema import KINDS

Schema = dict[str, Any]

INTRO = """\
# Fields of every file

Every field of every file that people write, as the program checks them.
How to use them stands in [README.md](README.md); what the program says of a mistake in [problems.md](problems.md).

A number with a unit is written with any unit of its dimension, such as `1.46 mm` or `57.5 thou`.
Minutes and shares are bare numbers.
A rate is `n in m` or a number, 0.001 to 0.999.
"""
TITLES = {
    "BandModel": "a band, in `values` of a finding by bands",
    "BandsFinding": "finding by bands of a number",
    "BoxModel": "a box of rings",
    "CauseModel": "cause",
    "CautionModel": "caution",
    "ChoiceFinding": "finding by the options of a choice",
    "ChoiceQuestion": "question: choice",
    "ChoicesQuestion": "question: choices",
    "Closing": "`closing` of a case",
    "Comeback": "`comeback_of` of a case",
    "CommonnessChange": "a change of `commonness`",
    "ComputedModel": "computed fact",
    "ConcernModel": "`concern` of a question",
    "DirectModel": "adjustment: direct",
    "ExampleModel": "example",
    "ExpectModel": "`expect` of an example",
    "FindingChange": "the changes of a finding",
    "GaugeChange": "a gauge of your own",
    "GaugeModel": "gauge",
    "InclinometerModel": "`inclinometer`",
    "LimitsModel": "`limits`",
    "LoadModel": "a load",
    "MinutesModel": "`minutes` of the settings",
    "MetaModel": "the rulebook itself",
    "MountShimModel": "adjustment: mount-shim",
    "NoLonger": "`retired` of a case",
    "Noted": "a record of `noted`, in `closing`",
    "NumberQuestion": "question: number",
    "OverlayRulebook": "`rulebook` of an overlay",
    "PlaceModel": "place",
    "ProofStep": "a record of `proof`, in `closing`",
    "RateChange": "the change of a rate",
    "RateChanges": "the changes of a value, in `values` of a finding",
    "RatesModel": "a value, in `values` of a finding by a choice",
    "Reading": "a reading after the work, in `closing`",
    "Record": "a record of `answers`",
    "RemedyModel": "`remedy` of a cause",
    "Repair": "a record of `repairs`",
    "Result": "`outcome`",
    "RetiredModel": "a retired id",
    "RingAxisModel": "an axis, in `axes` of `rings`",
    "RingUse": "rings taken from a box, in `closing`",
    "RingsModel": "`rings` of a remedy",
    "RulebookRef": "`rulebook` of a case",
    "ShareChange": "the change of `none_of_the_listed`",
    "SupportShimModel": "adjustment: support-shim",
    "TakenModel": "a record of `taken`",
    "TestModel": "test",
    "TextQuestion": "question: text",
    "VerifyModel": "`verify` of a cause",
    "WedgeModel": "adjustment: wedge",
    "YesNoFinding": "finding by a condition",
    "YesNoQuestion": "question: yes-no",
}
BASES = {"FindingModel", "QuestionModel"}  # what all kinds share; each kind has it in its table
PARTS = {
    "amount": "number with unit",
    "amountWithUnit": "number with unit",
    "answer": "text in quotes, or true or false",
    "condition": "condition",
    "factTest": "what a fact must be",
    "rate": "rate",
}


def fields_page() -> str:
    """The page as Markdown."""
    return "\n".join([INTRO, *(line for kind in KINDS for line in _kind(kind))])


def _kind(kind: str) -> Iterator[str]:
    schema = KINDS[kind].make()
    yield f"## {KINDS[kind].meaning[0].upper()}{KINDS[kind].meaning[1:]}\n"
    yield from _table(schema)
    for name, part in schema["definitions"].items():
        if "properties" in part and name in TITLES:
            yield f"### {TITLES[name][:1].upper()}{TITLES[name][1:]}\n"
            yield from _table(part)
        elif (
            name not in PARTS and name not in BASES and "properties" in part and "allOf" not in part
        ):
            raise ValueError(f"{name} has no title in tests/pages/fields.py")


def _table(schema: Schema) -> Iterator[str]:
    required = set(schema.get("required", ()))
    yield "| field | is | needed | meaning | example |"
    yield "| --- | --- | --- | --- | --- |"
    for name, field in schema["properties"].items():
        needed = "yes" if name in required else _default(field)
        meaning = _cell(field.get("description", ""))
        yield f"| `{name}` | {_form(field)} | {needed} | {meaning} | {_example(field)} |"
    yield ""


def _default(field: Schema) -> str:
    return f"no; `{json.dumps(field['default'])}`" if "default" in field else "no"


def _form(field: Schema) -> str:
    """What a value is, with its range."""
    if "$ref" in field:
        name = field["$ref"].rpartition("/")[2]
        return PARTS.get(name) or TITLES.get(name, name)
    if "const" in field:
        return f"`{json.dumps(field['const'])}`"
    if "enum" in field and len(field["enum"]) <= 6:
        return " or ".join(f"`{one}`" for one in field["enum"])
    kinds = field.get("type", "mapping")
    kinds = [kinds] if isinstance(kinds, str) else kinds
    words = " or ".join(dict.fromkeys(_kind_words(kind, field) for kind in kinds))
    return f"{words}{_range(field)}"


def _kind_words(kind: str, field: Schema) -> str:
    if kind == "array":
        of = _form(field["items"]) if isinstance(field.get("items"), dict) else "values"
        return f"list: {of}"
    if kind == "object":
        inner = field.get("additionalProperties")
        return f"mapping, id: {_form(inner)}" if isinstance(inner, dict) else "mapping"
    names = {"boolean": "true or false", "integer": "whole number", "string": "text"}
    return names.get(kind, kind)


def _range(field: Schema) -> str:
    parts = [
        f"{words} {field[key]:g}"
        for key, words in (
            ("minimum", "from"), ("exclusiveMinimum", "above"),
            ("maximum", "to"), ("exclusiveMaximum", "below"),
        )
        if key in field
    ]  # fmt: skip
    if "minItems" in field or "maxItems" in field:
        least, most = field.get("minItems", 0), field.get("maxItems")
        parts.append(f"{least} items" if least == most else f"{least} to {most or 'any'} items")
    return f", {' '.join(parts)}" if parts else ""


def _example(field: Schema) -> str:
    found = field.get("examples", [""])[0]
    return f"`{_cell(_flow(found))}`" if found != "" else ""


def _flow(value: Any) -> str:
    if isinstance(value, dict):
        return f"{{{', '.join(f'{key}: {_flow(one)}' for key, one in value.items())}}}"
    if isinstance(value, list):
        return f"[{', '.join(map(_flow, value))}]"
    return value if isinstance(value, str) else json.dumps(value)


def _cell(text: str) -> str:
    return re.sub(r"\s+", " ", text).replace("|", "\\|")
