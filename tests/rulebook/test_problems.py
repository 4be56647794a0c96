"""The record of a problem, as text, as data, and in order."""

from __future__ import annotations

import pickle

import pytest

from advisor.rulebook import LoadError, Problem, Related, Severity
from advisor.rulebook.problems import LONGEST_SOURCE, LONGEST_WORDS


def problem(
    line: int = 2, column: int = 3, code: str = "unknown-fact", path: str = "a.yaml"
) -> Problem:
    return Problem(path, line, column, column + 4, code, "what is wrong")


def test_text_shows_place_line_carets_hint_and_related_places() -> None:
    shown = Problem(
        path="rules/findings.yaml",
        line=41,
        column=7,
        end_column=18,
        code="unknown-fact",
        message='finding "boom" reads "shaft_angel", which nothing sets',
        hint='did you mean "shaft_angle"?',
        related=(Related("rules/questions.yaml", 88, 3, '"shaft_angle" stands here'),),
        source="      shaft_angel: {above: 3 deg}",
    )
    assert str(shown) == (
        'rules/findings.yaml:41:7: error[unknown-fact]: finding "boom" reads "shaft_angel", '
        "which nothing sets\n"
        "   41 |       shaft_angel: {above: 3 deg}\n"
        "      |       ^~~~~~~~~~~\n"
        '   did you mean "shaft_angle"?\n'
        '   rules/questions.yaml:88:3: "shaft_angle" stands here'
    )


def test_line_under_the_text_keeps_its_tabs() -> None:
    shown = Problem("a.yaml", 1, 4, 6, "tab", "a tab", source="a\t\tbc")
    assert str(shown).splitlines()[2] == "      | " + " \t\t" + "^~"


def test_carets_stop_at_the_end_of_the_line() -> None:
    shown = Problem("a.yaml", 1, 2, 99, "tab", "a tab", source="abc")
    assert str(shown).splitlines()[2] == "      |  ^~"


def test_line_number_of_six_digits_keeps_the_carets_under_the_text() -> None:
    lines = str(Problem("a.yaml", 123456, 1, 2, "tab", "a tab", source="abc")).splitlines()
    assert lines[1].index("abc") == lines[2].index("^")


def test_data_for_json_holds_every_field() -> None:
    related = (Related("b.yaml", 1, 2, "here"),)
    shown = Problem("a.yaml", 2, 3, 4, "unused", "nothing uses it", "take it out", related)
    assert shown.as_dict() == {
        "path": "a.yaml",
        "line": 2,
        "column": 3,
        "end_column": 4,
        "code": "unused",
        "severity": "warning",
        "message": "nothing uses it",
        "hint": "take it out",
        "related": [{"path": "b.yaml", "line": 1, "column": 2, "message": "here"}],
    }


def test_problems_are_sorted_by_file_line_column_and_code() -> None:
    wanted = [
        problem(path="a.yaml", line=2, column=1),
        problem(path="a.yaml", line=2, column=10, code="cycle"),
        problem(path="a.yaml", line=2, column=10, code="never-true"),
        problem(path="a.yaml", line=10),
        problem(path="b.yaml", line=1),
    ]
    assert LoadError(reversed(wanted)).problems == tuple(wanted)


@pytest.mark.parametrize(("line", "column", "end"), [(0, 1, 1), (1, 0, 1), (1, 5, 4)])
def test_place_that_does_not_start_at_one_is_a_mistake_of_ours(
    line: int, column: int, end: int
) -> None:
    with pytest.raises(ValueError, match="start at 1"):
        Problem("a.yaml", line, column, end, "tab", "a tab")


def test_unknown_code_is_a_mistake_of_ours() -> None:
    with pytest.raises(ValueError, match="no-such-code"):
        problem(code="no-such-code")


def test_severity_hangs_on_the_code() -> None:
    assert problem(code="unused").severity is Severity.WARNING
    assert problem(code="cycle").severity is Severity.ERROR


def test_error_gets_from_one_process_to_another() -> None:
    error = LoadError([problem(line=9), problem(line=2)])
    copied = pickle.loads(pickle.dumps(error))
    assert copied.problems == error.problems
    assert str(copied) == str(error)


LONG_LINE = 1_000_000


@pytest.mark.parametrize("column", [1, 150, 5000, LONG_LINE - 50, LONG_LINE])
def test_of_a_very_long_line_only_the_part_about_the_place_is_shown(column: int) -> None:
    line = "x" * (column - 1) + "!" + "x" * (LONG_LINE - column)
    one = Problem("a.yaml", 2, column, column + 1, "unknown-fact", "what is wrong", source=line)
    _, text, carets = str(one).split("\n")
    assert len(text) < LONGEST_SOURCE + 20
    assert text[carets.index("^")] == "!"


def test_carets_of_a_very_long_stretch_end_with_the_part_that_is_shown() -> None:
    line = "x" * LONG_LINE
    one = Problem("a.yaml", 2, 1, LONG_LINE, "unknown-fact", "what is wrong", source=line)
    assert max(map(len, str(one).split("\n"))) < LONGEST_SOURCE + 20


def test_of_very_long_words_the_ends_are_shown() -> None:
    words = f"no cause has the id {'x' * LONG_LINE}; write another"
    one = Problem("a.yaml", 1, 1, 1, "unknown-fact", words, hint=words)
    assert len(str(one)) < 2 * LONGEST_WORDS + 100
    assert str(one).count("no cause has the id x") == str(one).count("; write another") == 2
