"""Every check finds what it is for at an exact place, and nothing once that is mended."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.checking import CHECKS, likely_problems
from advisor.rulebook import LIKELY, Problem, Severity, load, shipped
from tests.checking.examples import EXAMPLES
from tests.helpers_rulebook import small_rulebook
from tests.rulebook.examples import Example


def found(tmp_path: Path, text: str) -> list[Problem]:
    """What is found in the further file; a place where it is driven shows up what others lack."""
    problems = likely_problems(load(small_rulebook(tmp_path, z_extra=text)))
    return [one for one in problems if Path(one.path).name == "z-extra.yaml"]


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example.code)
def test_faulty_file_gives_exactly_this_problem(tmp_path: Path, example: Example) -> None:
    places = [(one.line, one.column, one.code) for one in found(tmp_path, example.bad)]
    assert places == [(*example.at, example.code)]


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example.code)
def test_mended_file_gives_no_problem(tmp_path: Path, example: Example) -> None:
    assert found(tmp_path, example.good) == []


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example.code)
def test_message_is_a_warning_in_plain_words(tmp_path: Path, example: Example) -> None:
    (problem,) = found(tmp_path, example.bad)
    words = f"{problem.message} {problem.hint}".split()
    assert problem.severity is Severity.WARNING
    assert not {"None", "dict", "str", "int", "float", "bool"} & set(words)
    assert not problem.message.endswith(".")
    assert problem.message[0] == problem.message[0].lower()
    assert problem.source == example.bad.splitlines()[problem.line - 1]


def test_every_code_has_a_meaning_a_check_and_an_example_in_sorted_order() -> None:
    codes = [check.code for check in CHECKS]
    assert codes == sorted(codes)
    assert codes == list(LIKELY)
    assert codes == [example.code for example in EXAMPLES]


def test_small_rulebook_has_nothing_likely_wrong(tmp_path: Path) -> None:
    assert likely_problems(load(small_rulebook(tmp_path))) == ()


def test_shipped_rulebook_has_nothing_likely_wrong() -> None:
    assert [str(problem) for problem in likely_problems(load(shipped()))] == []


def test_loading_runs_no_check(tmp_path: Path) -> None:
    bad = next(one.bad for one in EXAMPLES if one.code == "causes-alike")
    assert load(small_rulebook(tmp_path, z_extra=bad)).warnings == ()
