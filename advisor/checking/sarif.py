"""Problems as SARIF, the form in which code hosts and editors take what checkers find.

Source: OASIS Static Analysis Results Interchange Format (SARIF) version 2.1.0: 3.13 sarifLog,
3.14 run, 3.27 result, 3.30 region, 3.49 reportingDescriptor. Its JSON Schema is tested against.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path
from typing import Any
from urllib.parse import quote

from advisor import __version__
from advisor.rulebook import CODES, LIKELY, Problem
from advisor.rulebook.codes import WARNINGS

VERSION = "2.1.0"
SCHEMA = "https://json.schemastore.org/sarif-2.1.0.json"


def as_sarif(problems: Iterable[Problem]) -> dict[str, Any]:
    """The problems as plain data for a SARIF file, with a rule for every code there is."""
    meanings = sorted({**CODES, **LIKELY}.items())
    place_of = {code: place for place, (code, _) in enumerate(meanings)}
    driver = {
        "name": "advisor",
        "version": __version__,
        "rules": [_rule(code, meaning) for code, meaning in meanings],
    }
    results = [_result(problem, place_of[problem.code]) for problem in problems]
    run = {"tool": {"driver": driver}, "columnKind": "unicodeCodePoints", "results": results}
    return {"$schema": SCHEMA, "version": VERSION, "runs": [run]}


def _rule(code: str, meaning: str) -> dict[str, Any]:
    return {
        "id": code,
        "shortDescription": {"text": meaning},
        "defaultConfiguration": {"level": "warning" if code in WARNINGS else "error"},
    }


def _result(problem: Problem, rule: int) -> dict[str, Any]:
    text = f"{problem.message}\n{problem.hint}" if problem.hint else problem.message
    region = {"startLine": problem.line, "startColumn": problem.column}
    if problem.end_column > problem.column:
        region["endColumn"] = problem.end_column
    result: dict[str, Any] = {
        "ruleId": problem.code,
        "ruleIndex": rule,
        "level": problem.severity.value,
        "message": {"text": text},
        "locations": [_location(problem.path, region)],
    }
    if problem.related:
        result["relatedLocations"] = [
            _location(one.path, {"startLine": one.line, "startColumn": one.column})
            | {"id": place, "message": {"text": one.message}}
            for place, one in enumerate(problem.related)
        ]
    return result


def _location(path: str, region: dict[str, int]) -> dict[str, Any]:
    physical = {"artifactLocation": {"uri": _uri(path)}, "region": region}
    return {"physicalLocation": physical}


def _uri(path: str) -> str:
    """A relative path stays relative, as hosts want it; an absolute one becomes a file URI."""
    place = Path(path)
    return place.as_uri() if place.is_absolute() else quote(os.fsencode(place.as_posix()))
