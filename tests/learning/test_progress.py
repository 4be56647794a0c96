"""The bar: only on a terminal, never wider than it."""

from __future__ import annotations

import io

import pytest

from advisor.learning.progress import ProgressBar, bar


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize("columns", [5, 20, 40, 100])
@pytest.mark.parametrize("done", [0, 3, 1_000_000])
def test_line_is_shorter_than_the_window(columns: int, done: int) -> None:
    assert len(bar(done, 1_000_000, columns)) < columns


def test_bar_is_filled_by_what_is_done() -> None:
    assert bar(50, 100, 80) == "[############            ] 50 of 100 cases"


def test_nothing_is_drawn_where_there_is_no_terminal() -> None:
    stream = io.StringIO()
    shown = ProgressBar(stream)
    shown(1, 2)
    shown.clear()
    assert stream.getvalue() == ""


def test_line_is_wiped_before_what_comes_next(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "60")
    stream = Terminal()
    shown = ProgressBar(stream)
    shown(1, 2)
    drawn = stream.getvalue()
    shown.clear()
    assert "1 of 2 cases" in drawn
    assert stream.getvalue().removeprefix(drawn).strip("\r ") == ""
