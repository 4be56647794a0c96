"""The JSON that the verbs print with --json: what is in it, as JSON Schema, one schema a verb.

Where the JSON is made from records of the program, those are the schema; where it is put together
from others, records here say what must come out, and the tests hold each verb to them. A field may
be added within a format, so a reader passes over fields that it doesn't know.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final

from pydantic import TypeAdapter

from advisor.life import ReopenedView
from advisor.life.statement import Statement
from advisor.life.timeline import Timeline
from advisor.report import Assessment, RingReport, TrailView
from advisor.settingstext import SettingsView

from . import computing, library, proving, teaching


@dataclass(frozen=True, slots=True)
class Output:
    """The JSON of one verb: its records, of which exactly one comes out."""

    verb: str
    records: tuple[type, ...]


OUTPUTS: Final[Mapping[str, Output]] = MappingProxyType(
    {
        verb: Output(verb, records)
        for verb, records in {
            "calibrate": (proving.Calibrated,),
            "check": (proving.Checked,),
            "close": (Statement,),
            "compare": (proving.Compared,),
            "compute": (
                computing.Computations,
                computing.Needs,
                computing.Result,
                computing.SweepResult,
            ),
            "figures": (library.FiguresRecord,),
            "find": (library.FoundCases,),
            "history": (Timeline,),
            "orders": (computing.FormNeeds, computing.Orders),
            "practise": (teaching.ScoreRecord,),
            "prove": (proving.Proved,),
            "rank": (Assessment,),
            "reopen": (ReopenedView,),
            "replay": (proving.Replayed,),
            "rings": (RingReport,),
            "settings": (SettingsView,),
            "shims": (computing.Shims,),
            "similar": (library.AlikeFound,),
            "statement": (Statement,),
            "trial-weights": (computing.FormNeeds, computing.TrialWeights),
            "why": (TrailView,),
        }.items()
    }
)


def output_schema(verb: str) -> dict[str, Any]:
    """The JSON Schema (2020-12) of what a verb of OUTPUTS prints with --json."""
    definitions: dict[str, Any] = {}
    choices = []
    for record in OUTPUTS[verb].records:
        whole = TypeAdapter(record).json_schema(mode="serialization")
        definitions |= whole.pop("$defs", {})
        if "$ref" not in whole:
            definitions[record.__name__] = whole
        choices.append({"$ref": f"#/$defs/{record.__name__}"})
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"advisor {verb} --json",
        **(choices[0] if len(choices) == 1 else {"oneOf": choices}),
        "$defs": {name: _plain(definitions[name]) for name in sorted(definitions)},
    }


def _plain(node: Any, *, are_fields: bool = False) -> Any:
    """The schema without pydantic's titles; every field of a record comes out, by default too."""
    if isinstance(node, list):
        return [_plain(one) for one in node]
    if not isinstance(node, dict):
        return node
    plain = {
        key: _plain(value, are_fields=key == "properties")
        for key, value in node.items()
        if are_fields or key not in ("title", "default")
    }
    if "properties" in node and not are_fields:
        plain["required"] = list(node["properties"])
    return plain
