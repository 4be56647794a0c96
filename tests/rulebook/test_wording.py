"""Pydantic's complaints become sentences for the author, each at its place in the file."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from pydantic import BaseModel, ValidationError

from advisor.rulebook import models as records
from advisor.rulebook import parse_yaml, problems_of
from advisor.rulebook.codes import CODES
from advisor.rulebook.fields import read_amount, read_rate
from advisor.rulebook.findingmodels import FINDING_KINDS, BandModel, BandsFinding
from advisor.rulebook.wording import WORDING, fields_at

MODELS: list[type[BaseModel]] = [
    records.MetaModel,
    records.PlaceModel,
    records.CautionModel,
    records.GaugeModel,
    records.TestModel,
    records.ComputedModel,
    records.CauseModel,
    *records.QUESTION_KINDS.values(),
    *FINDING_KINDS.values(),
]

# Kind of a core schema -> the error types that it can raise on plain data (pydantic's list of
# validation errors), apart from those of its constraints below. Lax tuples take any iterable that
# plain data has only as lists.
ERRORS_OF = {
    "any": (),
    "bool": ("bool_type",),
    "default": (),
    "dict": ("dict_type",),
    "float": ("float_type",),
    "function-before": (),
    "int": ("int_type",),
    "literal": ("literal_error",),
    "model": ("model_type",),
    "model-fields": ("missing", "extra_forbidden"),
    "none": ("none_required",),
    "nullable": (),
    "str": ("string_type",),
    "tuple": ("tuple_type",),
    "model-field": (),
    "definitions": (),
    "definition-ref": (),
}
ERRORS_OF_CONSTRAINT = {
    ("str", "min_length"): "string_too_short",
    ("str", "max_length"): "string_too_long",
    ("str", "pattern"): "string_pattern_mismatch",
    ("dict", "min_length"): "too_short",
    ("dict", "max_length"): "too_long",
    ("tuple", "min_length"): "too_short",
    ("tuple", "max_length"): "too_long",
    ("float", "gt"): "greater_than",
    ("float", "ge"): "greater_than_equal",
    ("float", "lt"): "less_than",
    ("float", "le"): "less_than_equal",
    ("float", "allow_inf_nan"): "finite_number",
}
OF_OUR_VALIDATORS = {"rate_form", "rate_range", "amount_form"}


def schemas(schema: Any) -> Iterator[dict[str, Any]]:
    """Every core schema inside a core schema."""
    if isinstance(schema, dict):
        if isinstance(schema.get("type"), str):
            yield schema
        for key, inner in schema.items():
            if key not in ("metadata", "serialization", "expected", "function"):
                yield from schemas(inner)
    elif isinstance(schema, list | tuple):
        for inner in schema:
            yield from schemas(inner)


def possible_errors() -> set[str]:
    found = set(OF_OUR_VALIDATORS)
    for model in MODELS:
        for schema in schemas(model.__pydantic_core_schema__):
            kind = schema["type"]
            found.update(ERRORS_OF[kind])
            found.update(
                error
                for (of, key), error in ERRORS_OF_CONSTRAINT.items()
                if of == kind and key in schema
            )
    return found


def test_every_error_that_our_models_can_raise_has_a_sentence() -> None:
    assert possible_errors() <= set(WORDING)
    assert {"string_too_short", "tuple_type", "greater_than", "too_long"} <= possible_errors()


def test_every_sentence_has_a_known_code_and_suits_a_person() -> None:
    for code, sentence in WORDING.values():
        assert code in CODES
        assert not sentence.endswith(".")


@pytest.mark.parametrize("read", ["", "8 of 10", "8 in 0", "-1 in 10", "8in10", "1 in 10 in 10"])
def test_rate_in_another_form_is_refused(read: str) -> None:
    with pytest.raises(Exception, match="rate"):
        read_rate(read)


@pytest.mark.parametrize(
    ("read", "rate"), [("8 in 10", 0.8), ("1 in 1000", 0.001), (0.999, 0.999), ("2.5 in 10", 0.25)]
)
def test_rate_is_read(read: Any, rate: float) -> None:
    assert read_rate(read) == pytest.approx(rate, abs=1e-12)


@pytest.mark.parametrize("read", [0, 1, 0.0009, 0.9991, "10 in 10", "0 in 10", True, 10**400])
def test_rate_that_would_be_certain_is_refused(read: Any) -> None:
    with pytest.raises(Exception, match="rate"):
        read_rate(read)


def test_bare_number_is_an_amount_as_written() -> None:
    assert [read_amount(one) for one in (8, 3.73, "1.5 mm ")] == ["8", "3.73", "1.5 mm"]


TEXT = """\
says: Something
source: 5
bands: end-play
values:
  low: {below: 1 mm, usual: 2 of 3, wit: {}}
  high: {between: [1 mm], with: {a: 0.5}}
"""


def test_each_error_points_at_its_place_in_the_file() -> None:
    document = parse_yaml(TEXT, "x.yaml")
    with pytest.raises(ValidationError) as caught:
        BandsFinding.model_validate(document.data)
    problems = problems_of(caught.value, document, (), BandsFinding)
    found = sorted((one.line, one.column, one.code, one.message, one.hint) for one in problems)
    assert found == [
        (2, 9, "wrong-type", '"source" must be text', 'put it into quotes: "5"'),
        (
            5,
            29,
            "wrong-rate",
            '"usual" must be a rate such as "8 in 10" or 0.8; read "2 of 3"',
            'write "2 in 3"',
        ),
        (5, 37, "unknown-field", '"wit" is not a field that is known here', 'did you mean "with"?'),
        (6, 3, "missing-field", '"usual" is missing', 'add a line "usual: ..."'),
        (6, 10, "wrong-value", '"between" must have at least 2 items', ""),
    ]


def test_item_of_a_list_is_named_by_its_number() -> None:
    document = parse_yaml("minutes: 1\nsteps: [Turn it., 3]\n", "x.yaml")
    with pytest.raises(ValidationError) as caught:
        records.VerifyModel.model_validate(document.data)
    (problem,) = problems_of(caught.value, document, (), records.VerifyModel)
    assert problem.message == 'item 2 of "steps" must be text'
    assert (problem.line, problem.column) == (2, 19)


@pytest.mark.parametrize(
    ("model", "loc", "field"),
    [
        (records.CauseModel, ("remedy",), "shows"),
        (records.CauseModel, ("verify",), "steps"),
        (BandsFinding, ("values", "low"), "with"),
        (BandsFinding, (), "bands"),
    ],
)
def test_known_fields_are_found_inside_records(
    model: type[BaseModel], loc: tuple[str, ...], field: str
) -> None:
    assert field in fields_at(model, loc)


def test_every_field_has_a_description() -> None:
    inner: list[type[BaseModel]] = [records.RemedyModel, records.VerifyModel, BandModel]
    for model in [*MODELS, *inner]:
        for name, field in model.model_fields.items():
            assert field.description, f"{model.__name__}.{name}"
