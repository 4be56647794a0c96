"""The schemas for editors: current, whole, and of one mind with the program on a file's form."""

from __future__ import annotations

import contextlib
import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft7Validator

from advisor import units
from advisor.cases.reading import read_case
from advisor.cli import main
from advisor.computing.shimsreading import read_task
from advisor.proof.reading import read_examples
from advisor.rulebook import LoadError, load, parse_yaml, read_yaml
from advisor.schema import KINDS, schema_path, schema_text, write_schemas
from advisor.schema import SCHEMAS as NAMES
from advisor.settings import read_settings
from advisor.stock import read_stock
from tests.helpers_rulebook import FILES, small_rulebook
from tests.rulebook.examples import EXAMPLES, YAML_EXAMPLES, Example, when

DRAFT = "http://json-schema.org/draft-07/schema#"
ROOT = Path(__file__).parents[1]
KEPT = ROOT / "rulebooks" / "schema"
SCHEMAS: dict[str, dict[str, Any]] = {kind: json.loads(schema_text(kind)) for kind in KINDS}
FILES_OF_KIND = {
    "rulebook": sorted((ROOT / "rulebooks").glob("*/*.yaml")),
    "examples": sorted((ROOT / "rulebooks").glob("*/examples/*.yaml")),
    "case": sorted((ROOT / "cases").glob("*.yaml")),
    "stock": sorted((ROOT / "cases" / "stock").glob("*.yaml")),
    "shims": sorted((ROOT / "cases" / "shims").glob("*.yaml")),
}

# Problem codes of the loader that a schema sees, because they are about the form of one file.
SEEN = {
    *("missing-field", "unknown-field", "wrong-type", "wrong-value", "wrong-rate", "wrong-id"),
    *("question-kind", "question-place", "finding-kind", "axis-form", "band-shape"),
    *("wrong-condition", "unknown-function", "unknown-parameter", "missing-parameter"),
}
# Those that hang on other records or files, on dimensions, or on arithmetic: for the loader alone.
UNSEEN = {
    *("duplicate-id", "question-in-no-test", "question-in-two-tests", "unused", "cycle"),
    *("unknown-fact", "unknown-question", "unknown-test", "unknown-place", "unknown-caution"),
    *("unknown-gauge", "unknown-cause", "unknown-computed", "unknown-option", "unknown-unit"),
    *("wrong-quantity", "reversed-range", "wrong-kind", "wrong-dimension"),
    *("never-true", "always-true", "tells-nothing", "missing-outcome", "missing-cause-rate"),
    *("rates-do-not-add-up", "band-gap", "band-overlap"),
    *("retired-id", "retired-in-use", "retired-circle"),
}


def validator(kind: str, part: dict[str, Any] | None = None) -> Draft7Validator:
    """Checks a whole file of the kind, or what one part of its schema describes."""
    whole = SCHEMAS[kind]
    return Draft7Validator({**part, "definitions": whole["definitions"]} if part else whole)


def faults(kind: str, data: Any) -> list[str]:
    """Where the schema refuses the data and by which of its words, "a/b/0 type", sorted."""
    found = set()
    for error in validator(kind).iter_errors(data):
        place = "/".join(map(str, error.absolute_path))
        found.add(f"{place} {error.validator}")
    return sorted(found)


def data_of(text: str) -> Any:
    return parse_yaml(text, "file.yaml").data


def fields(node: Any, path: str = "") -> Iterator[tuple[str, dict[str, Any]]]:
    """Every field of every record, with its path in the schema."""
    if isinstance(node, list):
        node = {str(index): one for index, one in enumerate(node)}
    if isinstance(node, dict):
        if "additionalProperties" in node:
            for name, schema in node.get("properties", {}).items():
                yield f"{path}/{name}", schema
        for key, value in node.items():
            if key not in ("examples", "default"):
                yield from fields(value, f"{path}/{key}")


@pytest.mark.parametrize("kind", NAMES)
def test_kept_file_is_current(kind: str) -> None:
    """When it is not: advisor schema --write rulebooks/schema"""
    assert (KEPT / schema_path(kind)).read_bytes() == schema_text(kind).encode()


def test_no_other_file_is_kept_beside_them() -> None:
    kept = {path.relative_to(KEPT) for path in KEPT.rglob("*.json")}
    assert kept == {schema_path(name) for name in NAMES}
    assert {path for path in KEPT.rglob("*") if path.is_file()} == {KEPT / path for path in kept}


@pytest.mark.parametrize("kind", KINDS)
def test_schema_is_a_right_schema_of_its_draft(kind: str) -> None:
    assert SCHEMAS[kind]["$schema"] == Draft7Validator.META_SCHEMA["$schema"] == DRAFT
    Draft7Validator.check_schema(SCHEMAS[kind])


@pytest.mark.parametrize("kind", KINDS)
def test_every_field_has_a_description_and_examples_that_fit_it(kind: str) -> None:
    described = dict(fields(SCHEMAS[kind]))
    assert len(described) > 3
    wrong = [
        path
        for path, schema in described.items()
        if not schema.get("description")
        or not schema.get("examples")
        or not all(map(validator(kind, schema).is_valid, schema["examples"]))
    ]
    assert wrong == []


@pytest.mark.parametrize(
    ("kind", "path"),
    [
        pytest.param(kind, path, id=path.relative_to(ROOT).as_posix())
        for kind, paths in FILES_OF_KIND.items()
        for path in paths
    ],
)
def test_file_of_this_project_fits_its_schema(kind: str, path: Path) -> None:
    assert faults(kind, read_yaml(path).data) == []


def test_there_are_files_of_each_kind() -> None:
    assert [kind for kind, paths in FILES_OF_KIND.items() if not paths] == []


@pytest.mark.parametrize("name", FILES)
def test_file_of_the_small_rulebook_fits(name: str) -> None:
    assert faults("rulebook", data_of(FILES[name])) == []


QUESTION = "questions:\n  q: {ask: Is it so?, why: It tells., "
BAD_RULEBOOKS = {
    "unknown section": ("question: {}", [" additionalProperties"]),
    "unknown field": (QUESTION + "kind: yes-no, unit: mm}", ["questions/q additionalProperties"]),
    "no kind": (QUESTION + "place: desk}", ["questions/q required"]),
    "wrong kind": (QUESTION + "kind: yesno}", ["questions/q/kind enum"]),
    "missing field": (QUESTION + "kind: number}", ["questions/q required"]),
    "one option": (
        QUESTION + "kind: choice, options: {a: A}}",
        ["questions/q/options minProperties"],
    ),
    "reserved option": (
        QUESTION + "kind: choice, options: {dont-know: A, b: B}}",
        ["questions/q/options not"],
    ),
    "place without minutes": (QUESTION + "kind: text, place: desk}", ["questions/q dependencies"]),
    "rate of 2": (when("{a: true}").replace("0.1", "2"), ["findings/extra/usual maximum"]),
    "rate of 0": (when("{a: true}").replace("0.1", "0"), ["findings/extra/usual minimum"]),
    "rate in other words": (
        when("{a: true}").replace("0.8", "8 of 10"),
        ["findings/extra/with/rings-too-thin pattern"],
    ),
    "wrong operator": (
        when("{a: {over: 3 mm}}"),
        ["findings/extra/when/a additionalProperties"],
    ),
    "wrong operator deep inside": (
        when("{all: [{b: true}, {not: {any: [{a: {over: 3 mm}}]}}]}"),
        ["findings/extra/when/all/1/not/any/0/a additionalProperties"],
    ),
    "all without a list": (when("{all: {a: true}}"), ["findings/extra/when/all type"]),
    "any of nothing": (when("{any: []}"), ["findings/extra/when/any minItems"]),
    "between of one": (
        when("{a: {between: [1 mm]}}"),
        ["findings/extra/when/a/between minItems"],
    ),
    "known of a word": (when("{a: {known: maybe}}"), ["findings/extra/when/a/known type"]),
    "limit without a number": (
        when("{a: {above: high}}"),
        ["findings/extra/when/a/above pattern"],
    ),
    "number without above or below": (when("{a: 3}"), ["findings/extra/when/a type"]),
    "list of options": (when("{a: [b, c]}"), ["findings/extra/when/a type"]),
    "two forms at once": (when("{a: true}") + "    choice: b\n", ["findings/extra oneOf"]),
    "gauge without a source": (
        "gauges:\n  g: {name: G, step: 1 mm, limit: 1 mm}",
        ["gauges/g required"],
    ),
    "minutes below 0": (
        "places:\n  p: {name: P, minutes: -1}",
        ["places/p/minutes minimum"],
    ),
    "newer format": (
        FILES["rulebook"].replace("format: 1", "format: 2"),
        ["rulebook/format const"],
    ),
}


@pytest.mark.parametrize(("text", "where"), BAD_RULEBOOKS.values(), ids=BAD_RULEBOOKS)
def test_bad_rulebook_file_is_refused_at_its_place(text: str, where: list[str]) -> None:
    assert faults("rulebook", data_of(text)) == where


CASE = "format: 1\nid: a\nrulebook: {id: r, version: v}\n"
SHIMS = (ROOT / "cases" / "shims" / "lifted-pickup.yaml").read_text(encoding="utf-8")
BAD_FILES = {
    "answer without quotes": ("case", CASE + "answers: {q: 3.5}", ["answers/q type"]),
    "record of neither": ("case", CASE + "answers: [{question: q}]", ["answers/0 required"]),
    "record of both": (
        "case",
        CASE + "answers: [{question: q, answer: a, taken_back: true}]",
        ["answers/0 not"],
    ),
    "outcome of neither": ("case", CASE + "outcome: {note: it was}", ["outcome required"]),
    "outcome of both": (
        "case",
        CASE + "outcome: {causes: [c], none_of_the_listed: true}",
        ["outcome/causes maxItems"],
    ),
    "id of a case": ("case", CASE.replace("id: a", "id: A b"), ["id pattern"]),
    "nothing expected": (
        "examples",
        "examples: {e: {says: s, answers: {}, expect: {}}}",
        ["examples/e/expect minProperties"],
    ),
    "probability above 1": (
        "examples",
        "examples: {e: {says: s, answers: {}, expect: {at_least: {c: 1.5}}}}",
        ["examples/e/expect/at_least/c maximum"],
    ),
    "gauge with another field": (
        "settings",
        "format: 1\ngauges: {caliper: {steps: 1 mm}}",
        ["gauges/caliper additionalProperties"],
    ),
    "thickness without a unit": (
        "stock",
        "format: 1\nrings: {a: {thickness: 1.5, count: 1}}",
        ["rings/a/thickness type"],
    ),
    "thickness without a unit in quotes": (
        "stock",
        'format: 1\nrings: {a: {thickness: "1.5", count: 1}}',
        ["rings/a/thickness pattern"],
    ),
    "count of a half": (
        "stock",
        "format: 1\nrings: {a: {thickness: 1.5 mm, count: 0.5}}",
        ["rings/a/count type"],
    ),
    "kind of shim": (
        "shims",
        SHIMS.replace("kind: wedge", "kind: wegde"),
        ["adjustments/0/kind enum"],
    ),
    "field of another shim": (
        "shims",
        SHIMS.replace("pinion_length", "mount_distance"),
        ["adjustments/0 additionalProperties", "adjustments/0 required"],
    ),
    "two slopes": (
        "shims",
        SHIMS.replace("-3.0 deg, -5.6 deg, -1.4 deg", "-3.0 deg, -5.6 deg"),
        ["loads/unladen/slopes minItems"],
    ),
}


@pytest.mark.parametrize(("kind", "text", "where"), BAD_FILES.values(), ids=BAD_FILES)
def test_bad_file_is_refused_at_its_place(kind: str, text: str, where: list[str]) -> None:
    assert faults(kind, data_of(text)) == where


@pytest.mark.parametrize(("kind", "text", "_where"), BAD_FILES.values(), ids=BAD_FILES)
def test_program_refuses_what_the_schema_refuses(
    kind: str, text: str, _where: list[str], tmp_path: Path
) -> None:
    rulebook = load(small_rulebook(tmp_path))
    path = tmp_path / "bad" / "file.yaml"
    path.parent.mkdir()
    path.write_text(text, encoding="utf-8")
    readers: dict[str, Callable[[], object]] = {
        "case": lambda: read_case(path),
        "examples": lambda: read_examples(path.parent, rulebook),
        "settings": lambda: read_settings(path),
        "shims": lambda: read_task(path),
        "stock": lambda: read_stock(path, rulebook),
    }
    with pytest.raises(LoadError):
        readers[kind]()


def test_settings_of_the_readme_fit() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    blocks = [block.split("```")[0] for block in readme.split("```yaml\n")[1:]]
    (settings,) = [block for block in blocks if "gauges:" in block]
    assert faults("settings", data_of(settings)) == []


STRUCTURAL = [one for one in EXAMPLES if one not in YAML_EXAMPLES]


@pytest.mark.parametrize("example", STRUCTURAL, ids=lambda example: example.code)
def test_schema_and_loader_agree_on_the_form(example: Example) -> None:
    assert faults("rulebook", data_of(example.good)) == []
    assert bool(faults("rulebook", data_of(example.bad))) == (example.code in SEEN)


def test_each_code_of_the_examples_is_seen_or_not() -> None:
    assert not SEEN & UNSEEN
    assert {example.code for example in STRUCTURAL} == SEEN | UNSEEN


@pytest.mark.parametrize(("text", "_where"), BAD_RULEBOOKS.values(), ids=BAD_RULEBOOKS)
def test_loader_refuses_what_the_schema_refuses(
    text: str, _where: list[str], tmp_path: Path
) -> None:
    changes: dict[str, str | None] = {"z_extra": text}
    if text.startswith("rulebook"):
        changes = {"rulebook": text}
    with pytest.raises(LoadError):
        load(small_rulebook(tmp_path, **changes))


AMOUNT_SIGNS = "0123456789 .,+-\u2212/eE'\"\u00b0\u00a0%"
AMOUNT = {"$ref": "#/definitions/amount"}
AMOUNT_WITH_UNIT = {"$ref": "#/definitions/amountWithUnit"}


@given(
    st.text(alphabet=AMOUNT_SIGNS, max_size=12),
    st.sampled_from(["mm", "thou", "deg", "", " 30'", "%"]),
)
def test_no_amount_that_the_program_reads_is_refused(number: str, unit: str) -> None:
    text = number + unit
    for dimension in ("length", "angle", "ratio"):
        with contextlib.suppress(units.UnitError):
            units.parse(text, dimension)
            stripped = text.strip()
            assert validator("rulebook", AMOUNT).is_valid(stripped)
            if dimension != "ratio":
                assert validator("stock", AMOUNT_WITH_UNIT).is_valid(stripped)


def test_records_are_closed() -> None:
    """All but those of records whose kind is not written yet."""
    open_records = {
        name
        for whole in SCHEMAS.values()
        for name, schema in whole["definitions"].items()
        if name[0].isupper() and schema.get("additionalProperties") is not False
    }
    assert open_records == {"QuestionModel", "FindingModel"}


class TestVerb:
    def test_lists_the_kinds(self, capsys: pytest.CaptureFixture[str]) -> None:
        assert main(["schema"]) == 0
        lines = capsys.readouterr().out.splitlines()
        assert [line.split()[0] for line in lines] == list(NAMES)

    def test_prints_one(self, capsys: pytest.CaptureFixture[str]) -> None:
        assert main(["schema", "stock"]) == 0
        assert capsys.readouterr().out == schema_text("stock")

    def test_writes_all_into_a_new_folder(
        self, tmp_path: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        folder = tmp_path / "new" / "schema"
        assert main(["schema", "--write", str(folder)]) == 0
        printed = capsys.readouterr()
        assert printed.out == ""
        assert printed.err == f"{folder}: {len(NAMES)} schemas written\n"
        assert {path.name for path in folder.iterdir()} == {path.name for path in KEPT.iterdir()}

    def test_writes_one(self, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
        assert main(["schema", "case", "--write", str(tmp_path)]) == 0
        assert capsys.readouterr().err == f"{tmp_path}: 1 schema written\n"
        (path,) = tmp_path.iterdir()
        assert path.read_text(encoding="utf-8") == schema_text("case")

    def test_names_the_near_kind(self, capsys: pytest.CaptureFixture[str]) -> None:
        assert main(["schema", "rulebok"]) == 2
        printed = capsys.readouterr()
        assert printed.out == ""
        assert printed.err == ('"rulebok" is the name of no schema; did you mean "rulebook"?\n')

    def test_folder_that_cannot_be_made_is_told(
        self, tmp_path: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        taken = tmp_path / "taken"
        taken.write_text("a file", encoding="utf-8")
        assert main(["schema", "--write", str(taken)]) == 2
        assert capsys.readouterr().err == f"{taken}: the schemas cannot be written: file exists\n"

    def test_written_text_is_ascii_with_plain_line_ends(self, tmp_path: Path) -> None:
        for path in write_schemas(tmp_path):
            raw = path.read_bytes()
            assert raw.isascii()
            assert b"\r" not in raw
