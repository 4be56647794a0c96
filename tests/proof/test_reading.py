"""Examples are read strictly, and every mistake of every file is told at its place in one go."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.engine.values import UNKNOWN, Number
from advisor.proof import read_examples
from advisor.proof.models import ExampleModel
from advisor.rulebook import LoadError, load
from advisor.rulebook.wording import WORDING
from tests.proof.book import example_text, folder_of, read, write_examples
from tests.rulebook.test_wording import ERRORS_OF, ERRORS_OF_CONSTRAINT, schemas

HEAD = "examples:\n  van:\n    says: A van\n"  # three lines
GOOD = HEAD + "    answers: {}\n    expect: {stops: []}\n"


def refused(tmp_path: Path, text: str) -> LoadError:
    folder = folder_of(tmp_path)
    with pytest.raises(LoadError) as caught:
        read_examples(write_examples(folder, text), load(folder))
    return caught.value


def places(error: LoadError) -> list[tuple[int, int, str]]:
    return [(one.line, one.column, one.code) for one in error.problems]


def test_answers_become_values_as_in_a_case(tmp_path: Path) -> None:
    answers = 'bolts-loose: true, layout: "Two p", ring-1: "59.1 thou", vibrates: dont-know'
    _, (example,) = read(folder_of(tmp_path), example_text(answers, "stops: []"))
    assert example.values["bolts-loose"] is True
    assert example.values["layout"] == "two-piece"
    ring = example.values["ring-1"]
    assert isinstance(ring, Number)
    assert ring.value == pytest.approx(59.1 * 25.4e-6, rel=1e-12)  # 1 thou = 25.4 um
    assert ring.u > 0.0
    assert example.values["vibrates"] is UNKNOWN


@pytest.mark.parametrize(("why", "column"), [('""', 16), ("true", 16), ("[a, b]", 5)])
def test_known_gap_must_say_why(tmp_path: Path, why: str, column: int) -> None:
    error = refused(tmp_path, GOOD.replace("    expect", f"    known_gap: {why}\n    expect"))
    assert [(one.line, one.column) for one in error.problems] == [(5, column)]


def test_files_are_read_by_name_and_other_files_are_not(tmp_path: Path) -> None:
    folder = folder_of(tmp_path)
    write_examples(folder, GOOD.replace("van", "second"), "b")
    write_examples(folder, GOOD.replace("van", "first"), "a")
    write_examples(folder, "nonsense", "examples.schema")
    examples = read_examples(folder / "examples", load(folder))
    assert [example.id for example in examples] == ["first", "second"]


def test_rulebook_loader_does_not_read_examples(tmp_path: Path) -> None:
    folder = folder_of(tmp_path)
    write_examples(folder, "nonsense")
    assert load(folder).warnings == ()


ANSWERS = [
    ('{last-work: "joint-replacd"}', 26, "wrong-value"),
    ("{layout: true}", 23, "wrong-type"),
    ("{ring-1: 1.5}", 23, "wrong-type"),
    ("{ring-1: [1.5 mm]}", 15, "wrong-type"),
    ('{ring-1: "1.5"}', 23, "wrong-value"),
    ('{rnig-1: "1.5 mm"}', 15, "unknown-question"),
    ("3", 14, "wrong-type"),
]


@pytest.mark.parametrize(("answers", "column", "code"), ANSWERS)
def test_faulty_answer_is_told_at_its_place(
    tmp_path: Path, answers: str, column: int, code: str
) -> None:
    text = f"{HEAD}    answers: {answers}\n    expect: {{stops: []}}\n"
    assert places(refused(tmp_path, text)) == [(4, column, code)]


EXPECTATIONS = [
    ("{}", 13, "missing-field"),
    ("{first: rings-to-thin}", 21, "unknown-cause"),
    ("{near_miss_of: none-of-the-listed}", 28, "unknown-cause"),
    ("{not_first: [none-of-the-listed, tyres]}", 46, "unknown-cause"),
    ("{not_first: []}", 25, "wrong-value"),
    ("{pair: [flange-loose]}", 14, "wrong-value"),
    ("{pair: [flange-loose, flange-loose]}", 14, "wrong-value"),
    ("{at_least: {flange: 0.5}}", 25, "unknown-cause"),
    ("{at_least: {flange-loose: 50}}", 39, "wrong-value"),
    ("{at_least: {flange-loose: 0.5}, at_most: {flange-loose: 0.4}}", 39, "wrong-value"),
    ("{at_lest: {flange-loose: 0.5}}", 14, "unknown-field"),
    ("{first: flange-loose, near_miss_of: flange-loose}", 21, "wrong-value"),
    ("{first: flange-loose, not_first: [flange-loose]}", 21, "wrong-value"),
    ("{first_three: [a, b, c, d]}", 14, "wrong-value"),
    ("{too_close_to_call: 1}", 33, "wrong-value"),
    ("{findings: {bolts: true}}", 25, "unknown-fact"),
    ("{findings: {stack-end-play: to-much}}", 41, "unknown-option"),
    ("{findings: {bolts-unsafe: 3}}", 39, "wrong-type"),
    ("{stops: [bolts]}", 22, "unknown-fact"),
    ("{stops: [stack-end-play]}", 22, "wrong-value"),
]


@pytest.mark.parametrize(("expect", "column", "code"), EXPECTATIONS)
def test_faulty_expectation_is_told_at_its_place(
    tmp_path: Path, expect: str, column: int, code: str
) -> None:
    text = f"{HEAD}    answers: {{}}\n    expect: {expect}\n"
    assert places(refused(tmp_path, text)) == [(5, column, code)]


FILES = [
    ("- 3\n", (1, 1, "wrong-type")),
    (GOOD + "exmaples: {}\n", (6, 1, "unknown-field")),
    ("examples: 3\n", (1, 11, "wrong-type")),
    ("examples:\n  van: 3\n", (2, 8, "wrong-type")),
    ("examples: {}\n", (1, 1, "missing-section")),
    (GOOD.replace("van", "Van"), (2, 3, "wrong-id")),
    (GOOD.replace("says: A van", 'says: ""'), (3, 11, "wrong-value")),
    (GOOD.replace("    says: A van\n", ""), (2, 3, "missing-field")),
    (GOOD + "    held_back: 1\n", (6, 16, "wrong-value")),
    (GOOD + "  van: {}\n", (6, 3, "duplicate-key")),
    ("examples:\n\tvan: 3\n", (2, 1, "tab")),
]


@pytest.mark.parametrize(("text", "place"), FILES)
def test_faulty_file_is_told_at_its_place(
    tmp_path: Path, text: str, place: tuple[int, int, str]
) -> None:
    assert places(refused(tmp_path, text)) == [place]


def test_unknown_names_come_with_the_nearest_known_one(tmp_path: Path) -> None:
    text = HEAD + (
        '    answers: {rnig-1: "1.5 mm"}\n'
        "    expect: {first: rings-to-thin, findings: {bolts-unsaf: true}}\n"
    )
    hints = [problem.hint for problem in refused(tmp_path, text).problems]
    assert hints == [
        'did you mean one of "ring-1", "ring-2"?',
        'did you mean "rings-too-thin"?',
        'did you mean "bolts-unsafe"?',
    ]


def test_problems_of_all_files_come_in_one_go(tmp_path: Path) -> None:
    folder = folder_of(tmp_path)
    write_examples(folder, GOOD, "a")
    write_examples(folder, GOOD, "b")
    write_examples(folder, "examples: [\n", "c")
    (folder / "examples" / "d.yml").write_text(GOOD, encoding="utf-8")
    with pytest.raises(LoadError) as caught:
        read_examples(folder / "examples", load(folder))
    found = [(Path(one.path).name, one.code) for one in caught.value.problems]
    assert found == [
        ("b.yaml", "duplicate-id"),
        ("c.yaml", "yaml-syntax"),
        ("d.yml", "unreadable-file"),
    ]
    assert Path(caught.value.problems[0].related[0].path).name == "a.yaml"


@pytest.mark.parametrize("is_file", [False, True], ids=["no folder", "a file"])
def test_folder_that_is_not_there_is_refused(tmp_path: Path, is_file: bool) -> None:
    folder = folder_of(tmp_path)
    if is_file:
        (folder / "examples").write_text("", encoding="utf-8")
    with pytest.raises(LoadError, match="the examples cannot be read") as caught:
        read_examples(folder / "examples", load(folder))
    assert places(caught.value) == [(1, 1, "unreadable-file")]


def test_every_error_that_the_models_can_raise_has_a_sentence() -> None:
    """Our own validator lets only true and false through to "bool"."""
    errors_of = {**ERRORS_OF, "bool": ()}
    for schema in schemas(ExampleModel.__pydantic_core_schema__):
        assert set(errors_of[schema["type"]]) <= set(WORDING)
        for (kind, key), error in ERRORS_OF_CONSTRAINT.items():
            assert error in WORDING or kind != schema["type"] or key not in schema
