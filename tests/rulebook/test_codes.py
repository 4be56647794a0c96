"""Every problem code has a file that causes it at an exact place, and the same file mended."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.rulebook import CODES, LoadError, Problem, load
from tests.helpers_rulebook import small_rulebook
from tests.rulebook.examples import EXAMPLES, Example

# These need other files than one more YAML text; tests named for them are in the other modules.
ELSEWHERE = {
    "file-not-read",
    "file-too-large",
    "missing-section",
    "not-utf-8",
    "outdated-overlay",
    "too-deep",
    "too-many-values",
    "unknown-format",
    "unlikely-value",
    "unreadable-file",
}


def problems_of(folder: Path) -> tuple[Problem, ...]:
    try:
        return load(folder).warnings
    except LoadError as error:
        return error.problems


def relevant(problems: tuple[Problem, ...], code: str) -> list[tuple[int, int, str]]:
    """Place and code of each; an example of another code may leave something unused."""
    kept = [one for one in problems if one.code != "unused" or code == "unused"]
    return [(one.line, one.column, one.code) for one in kept]


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example.code)
def test_faulty_file_gives_exactly_this_problem(tmp_path: Path, example: Example) -> None:
    problems = problems_of(small_rulebook(tmp_path, z_extra=example.bad))
    assert relevant(problems, example.code) == [(*example.at, example.code)]


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example.code)
def test_mended_file_gives_no_problem(tmp_path: Path, example: Example) -> None:
    problems = problems_of(small_rulebook(tmp_path, z_extra=example.good))
    assert relevant(problems, example.code) == []


def test_every_code_has_an_example_or_a_test_of_its_own() -> None:
    assert {example.code for example in EXAMPLES} | ELSEWHERE == set(CODES)
    assert not {example.code for example in EXAMPLES} & ELSEWHERE


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example.code)
def test_message_names_no_type_of_the_program(tmp_path: Path, example: Example) -> None:
    for problem in problems_of(small_rulebook(tmp_path, z_extra=example.bad)):
        words = f"{problem.message} {problem.hint}".split()
        assert not {"None", "dict", "str", "int", "float", "NoneType", "bool"} & set(words)
        assert not problem.message.endswith(".")
        assert problem.message[0] == problem.message[0].lower()
