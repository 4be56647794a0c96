"""The small schemas that the fields of all files share: ids, rates, amounts and conditions."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Final

from advisor.rulebook.fields import HIGHEST_RATE, LOWEST_RATE

Schema = dict[str, Any]

LONGEST_ID: Final = 60
ID_PATTERN: Final = "^[a-z0-9]+(-[a-z0-9]+)*$"
_DASHES: Final = "\u2010\u2011\u2012\u2013\u2212-"  # what units take for a minus
_NUMBER: Final = rf"^\s*[+{_DASHES}]?\s*[.,]*[0-9]"
_UNIT: Final = rf".*[^0-9.,/+\s{_DASHES}]"


def ref(name: str) -> Schema:
    """A reference to one of the definitions of the same file."""
    return {"$ref": f"#/definitions/{name}"}


def names(reserved: Iterable[str] = (), longest: int = LONGEST_ID) -> Schema:
    """Keys that are ids, but none of the reserved words."""
    schema: Schema = {
        "pattern": ID_PATTERN,
        "patternErrorMessage": "an id is in kebab-case: small letters, digits, hyphens",
        "maxLength": longest,
    }
    return {**schema, "not": {"enum": list(reserved)}} if reserved else schema


RATE: Final[Schema] = {
    "description": f'a rate, "n in m" or a number, {LOWEST_RATE} to {HIGHEST_RATE}',
    "type": ["string", "number"],
    "minimum": LOWEST_RATE,
    "maximum": HIGHEST_RATE,
    "pattern": r"^\s*[0-9]+(\.[0-9]+)? in [0-9]+(\.[0-9]+)?\s*$",
    "patternErrorMessage": 'write a rate as "8 in 10" or 0.8',
    "maxLength": 40,
    "examples": ["8 in 10", 0.8],
}
AMOUNT: Final[Schema] = {
    "description": "a number with its unit; a number alone only where there is no unit",
    "type": ["string", "number"],
    "pattern": _NUMBER,
    "patternErrorMessage": "write a number with its unit, such as 0.5 mm",
    "examples": ["0.5 mm", "57.5 thou", "1 1/2 deg", "65 mph", 3.73],
}
AMOUNT_WITH_UNIT: Final[Schema] = {
    "description": "a number with its unit",
    "type": "string",
    "pattern": _NUMBER + _UNIT,
    "patternErrorMessage": "write a number with its unit, such as 0.5 mm",
    "examples": ["0.5 mm", "57.5 thou", "1 1/2 deg"],
}
ANSWER: Final[Schema] = {
    "description": 'the answer as typed, in quotes, with its unit; "dont-know" too',
    "type": ["string", "boolean"],
    "errorMessage": "write the answer in quotes, a measured one with its unit",
    "examples": ["57.5 thou", "yes", "dont-know"],
}
FACT_TEST: Final[Schema] = {
    "description": "what the fact must be: true or false, an option, or a comparison",
    "type": ["boolean", "string", "object"],
    "errorMessage": "write true, false, an option, or a comparison such as {above: 3 deg}",
    "minLength": 1,
    "minProperties": 1,
    "additionalProperties": False,
    "properties": {
        "above": {**ref("amount"), "description": "the number is above", "examples": ["3 deg"]},
        "below": {**ref("amount"), "description": "the number is below", "examples": ["3 deg"]},
        "between": {
            "description": "the number is within these two, both included",
            "type": "array",
            "items": ref("amount"),
            "minItems": 2,
            "maxItems": 2,
            "examples": [["0 mm", "0.05 mm"]],
        },
        "one_of": {
            "description": "the choice is one of these options",
            "type": "array",
            "items": {"type": "string", "minLength": 1},
            "minItems": 1,
            "examples": [["shake", "boom"]],
        },
        "known": {
            "description": "true: there is an answer at all; false: there is none",
            "type": "boolean",
            "examples": [True],
        },
    },
    "examples": [True, "two-piece", {"above": "3 deg"}, {"one_of": ["shake", "boom"]}],
}


def _several(meaning: str) -> Schema:
    example = [{"shaft-layout": "two-piece"}, {"joint-angle": {"above": "3 deg"}}]
    return {
        "description": meaning,
        "type": "array",
        "items": ref("condition"),
        "minItems": 1,
        "examples": [example],
    }


CONDITION: Final[Schema] = {
    "description": "a condition, {fact: value} and the like; several keys mean all of them",
    "type": "object",
    "minProperties": 1,
    "propertyNames": {"pattern": ID_PATTERN, "maxLength": LONGEST_ID},
    "properties": {
        "all": _several("true when all of these are"),
        "any": _several("true when at least one of these is"),
        "not": {
            **ref("condition"),
            "description": "true when this is not",
            "examples": [{"shaft-layout": "two-piece"}],
        },
    },
    "additionalProperties": ref("factTest"),
    "examples": [{"tube-fouled": True}, {"joint-angle": {"above": "3 deg"}}],
}
PARTS: Final[dict[str, Schema]] = {
    "rate": RATE,
    "amount": AMOUNT,
    "amountWithUnit": AMOUNT_WITH_UNIT,
    "answer": ANSWER,
    "factTest": FACT_TEST,
    "condition": CONDITION,
}
