"""Text fits its window and steers no terminal."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.layout import (
    NARROWEST,
    cells,
    clean,
    clean_line,
    status_line,
    under_caret,
    wrap,
)


def test_control_and_direction_characters_are_stripped() -> None:
    assert clean("a\x1b[31mb\x07\x00\x9b\u202e\u200bc\ud800\td\r\ne") == "a[31mbc d\ne"


def test_line_from_a_person_has_no_line_ends_and_single_blanks() -> None:
    assert clean_line("  a \n b\r c ") == "a b c"


@given(st.text(max_size=300), st.integers(0, 90))
def test_no_line_is_wider_than_the_window(text: str, width: int) -> None:
    lines = wrap(clean(text), width).split("\n")
    assert max(map(cells, lines)) <= max(width, NARROWEST)


@given(st.text(max_size=200), st.integers(0, 90))
def test_wrapping_loses_no_character_but_blanks(text: str, width: int) -> None:
    shown = clean(text)
    assert "".join(wrap(shown, width).split()) == "".join(shown.split())


def test_list_item_hangs_under_its_text() -> None:
    assert wrap("2. one two three four five", 20) == "2. one two three\n   four five"


def test_indent_is_kept() -> None:
    assert wrap("  alpha beta gamma delta", 20) == "  alpha beta gamma\n  delta"


@pytest.mark.parametrize(
    ("typed", "position", "expected"),
    [
        ("0.3 foo", 4, "  0.3 foo\n      ^"),
        ("", 0, "  \n  ^"),
        ("abc", 99, "  abc\n     ^"),
        ("漢字 x", 2, "  漢字 x\n      ^"),
    ],
)
def test_caret_stands_under_the_fault(typed: str, position: int, expected: str) -> None:
    assert under_caret(typed, position, 40) == expected


STATUS = ("3 min spent", "45 % A tyre is out of round", "20 % Shaft bent", "9 % none of them")


@pytest.mark.parametrize(
    ("width", "expected"),
    [
        (80, "3 min spent | 45 % A tyre is out of round | 20 % Shaft bent | 9 % none of them"),
        (76, "3 min spent | 45 % A tyre is o.. | 20 % Shaft bent | 9 % none of them"),
        (60, "3 min spent | 45 % A tyre is out.. | 20 % Shaft bent"),
        (40, "3 min spent | 45 % A ty.. | 20 % Shaf.."),
        (24, "3 min spent | 45 % A t.."),
    ],
)
def test_narrow_status_names_fewer_causes_but_each_with_its_percent(
    width: int, expected: str
) -> None:
    assert status_line(STATUS, width) == expected


@given(st.lists(st.text(max_size=30), max_size=5), st.integers(20, 90))
def test_status_is_never_wider_than_the_window(parts: list[str], width: int) -> None:
    assert cells(status_line(parts, width)) <= width


@given(st.text(max_size=120), st.integers(0, 130), st.integers(0, 60))
def test_caret_lines_fit_the_window(typed: str, position: int, width: int) -> None:
    shown, caret = under_caret(typed, position, width).split("\n")
    assert max(cells(shown), cells(caret)) <= max(width, NARROWEST)
