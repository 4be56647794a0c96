"""Cases as JSON lines: read as strictly as YAML, with the line of every problem."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from advisor.cases import CaseFile, Record, Result, RulebookRef
from advisor.cases.lines import Line, case_data, case_line, lines_of_cases, read_case_line
from advisor.rulebook import MAX_BYTES, LoadError
from tests.fuzzing.watch import limited

CASE = CaseFile(
    format=1,
    id="van",
    rulebook=RulebookRef(id="world", version="1.0.0"),
    complaint='It "shakes" \\ und brummt: ü',
    answers=(
        Record(question="speed", answer="40 mph", at="2024-05-01T09:30:00Z"),
        Record(question="speed", taken_back=True),
    ),
    outcome=Result(causes=("worn",)),
)
TEXT = case_line(case_data(CASE))


def refused(text: str | bytes) -> tuple[str, int, str]:
    """File, line and code of the first problem of a text in the third line."""
    data = text.encode() if isinstance(text, str) else text
    with pytest.raises(LoadError) as caught:
        read_case_line(Line(3, data), "cases.jsonl")
    first = caught.value.problems[0]
    return first.path, first.line, first.code


def test_a_case_comes_back_from_its_line() -> None:
    assert TEXT.count("\n") == 1
    assert read_case_line(Line(1, TEXT.encode()), "x").case == CASE


def test_a_line_in_ascii_or_with_private_data_is_the_same_case() -> None:
    data = json.loads(TEXT) | {"private": {"customer": "nobody"}}
    assert read_case_line(Line(1, json.dumps(data).encode()), "x").case == CASE


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("{", "yaml-syntax"),
        (TEXT + TEXT, "yaml-syntax"),
        ("[]", "wrong-type"),
        ("[" * 100_000, "too-deep"),
        (b"\xff\n", "not-utf-8"),
        (TEXT.replace('"van"', '"van","id":"car"'), "duplicate-key"),
        (TEXT.replace('"van"', "NaN"), "not-finite"),
        (TEXT.replace('"format": 1', '"format": 1e999'), "not-finite"),
        (TEXT.replace('"format": 1', f'"format": {"9" * 5000}'), "not-finite"),
        (TEXT.replace('"format": 1', f'"format": {"9" * 4000}'), "not-finite"),
        (TEXT.replace('"format": 1', f'"format": {"9" * 250}'), "unknown-format"),
        (TEXT.replace('"complaint"', f'"minutes_spent": -{"1" * 400}, "complaint"'), "not-finite"),
        (TEXT.replace("brummt", "\\u0007"), "control-character"),
        (TEXT.replace("brummt", "\\ud800"), "control-character"),
        (TEXT.replace('"van"', '"Van"'), "wrong-id"),
        (TEXT.replace('"complaint"', '"complain"'), "unknown-field"),
        (TEXT.replace('"40 mph"', "40"), "wrong-type"),
        (TEXT.replace("2024-05-01T09:30:00Z", "yesterday"), "wrong-value"),
        (TEXT.replace('"format": 1', '"format": 2'), "unknown-format"),
        (b" " * (MAX_BYTES + 1), "file-too-large"),
    ],
)
def test_a_line_that_is_no_case_is_told_by_file_and_line(text: str | bytes, code: str) -> None:
    assert refused(text)[:2] == ("cases.jsonl", 3)
    assert refused(text)[2] == code


def test_key_that_stands_twice_among_many_is_found_at_once() -> None:
    many = ",".join(f'"key-{number}":1' for number in range(40_000))
    with limited(2.0):
        assert refused(f'{{{many},"key-39999":2}}') == ("cases.jsonl", 3, "duplicate-key")


def test_blank_and_overlong_lines_leave_the_count_of_lines_right(tmp_path: Path) -> None:
    path = tmp_path / "cases.jsonl"
    long = b"x" * (2 * MAX_BYTES + 5)
    path.write_bytes(b"\n" + long + b"\n \r\n" + TEXT.encode().rstrip())
    found = list(lines_of_cases(path))
    assert [line.number for line in found] == [2, 4]
    assert [len(line.text) for line in found] == [MAX_BYTES + 1, len(TEXT.encode()) - 1]
