"""The plain-lines port: readable in a pipe, within the width of the window."""

from __future__ import annotations

import io
import os
from pathlib import Path

import pytest

from advisor.cases import read_case
from advisor.interview import PlainPort, Prompt, Tone, run_interview, tell_how_to_go_on
from advisor.interview.plain import LONGEST_LINE
from advisor.layout import cells
from advisor.rulebook import Rulebook
from tests.interview.talk import closing


def test_prompt_is_written_before_it_waits_for_the_line() -> None:
    target = io.StringIO()

    class Waiting(io.StringIO):
        def readline(self, size: int = -1, /) -> str:  # type: ignore[override]
            assert target.getvalue() == "\nIs it loose?\n> "
            return super().readline(size)

    port = PlainPort(Waiting("yes\r\n"), target)
    assert port.ask(Prompt("Is it loose?")) == "yes"


def test_end_of_input_is_raised() -> None:
    port = PlainPort(io.StringIO("last line without an end"), io.StringIO())
    assert port.ask(Prompt("?")) == "last line without an end"
    with pytest.raises(EOFError):
        port.ask(Prompt("?"))


@pytest.mark.parametrize("length", [9_999, 10_000, 10_001, 25_000])
def test_line_that_hardly_ends_is_cut_and_the_next_one_is_whole(length: int) -> None:
    class Bounded(io.StringIO):
        def readline(self, size: int = -1, /) -> str:  # type: ignore[override]
            assert 0 < size <= LONGEST_LINE
            return super().readline(size)

    port = PlainPort(Bounded("x" * length + "\nyes\n"), io.StringIO())
    assert port.ask(Prompt("?")) == "x" * min(length, LONGEST_LINE)
    assert port.ask(Prompt("?")) == "yes"


def test_heading_has_a_blank_line_before_it() -> None:
    target = io.StringIO()
    PlainPort(io.StringIO(), target).tell("next", Tone.HEADING)
    assert target.getvalue() == "\nnext\n"


def test_command_to_copy_is_never_broken() -> None:
    command, out = f"advisor ask {'long-name/' * 30}van.yaml", io.StringIO()
    tell_how_to_go_on(PlainPort(io.StringIO(), out, width=30), "saved", command + "\x07")
    assert out.getvalue() == f"saved. Go on with:\n{command}\n"


def test_control_characters_of_people_do_not_reach_the_output(shop: Rulebook, van: Path) -> None:
    text = van.read_text(encoding="utf-8").replace("A van", "A \\e]0;title\\a van\\x9B31m")
    van.write_text(text, encoding="utf-8")
    target = io.StringIO()
    port = PlainPort(io.StringIO(), target)
    run_interview(shop, van, port=port, role="technician", render=closing)
    assert "vehicle: A ]0;title van31m\n" in target.getvalue()


@pytest.mark.parametrize("width", [1, 20, 40, 80])
def test_whole_interview_fits_the_window(shop: Rulebook, van: Path, width: int) -> None:
    target = io.StringIO()
    typed = "2\nno\n1, hum\nnone\n?\nno\nhelp\nwhy\nranking\n\n0.3\nhow\nstop\n"
    port = PlainPort(io.StringIO(typed), target, width=width)
    run_interview(
        shop, van, port=port, role="technician", render=closing, resume="advisor resume van"
    )
    assert "The cross" in target.getvalue()
    assert max(map(cells, target.getvalue().split("\n"))) <= max(width, 20)


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "utf-8"])
def test_character_that_the_output_lacks_is_replaced(encoding: str) -> None:
    raw = io.BytesIO()
    target = io.TextIOWrapper(raw, encoding=encoding)
    PlainPort(io.StringIO(), target).tell("漢 is a character")
    assert raw.getvalue().decode(encoding) in {"? is a character\n", "漢 is a character\n"}


def test_bytes_that_are_no_utf_8_do_not_end_the_interview(shop: Rulebook, van: Path) -> None:
    source = io.TextIOWrapper(io.BytesIO(b"1\nnone\nnew \xff rings\n"), encoding="utf-8")
    port = PlainPort(source, io.StringIO())
    assert run_interview(shop, van, port=port, role="technician", render=closing) == 0
    assert read_case(van).latest()["history"] == "new \N{REPLACEMENT CHARACTER} rings"


def test_bad_answer_has_a_caret_under_the_fault_and_the_reason(shop: Rulebook, van: Path) -> None:
    target = io.StringIO()
    port = PlainPort(io.StringIO("1\n1, hum\nclunk\n"), target)
    run_interview(shop, van, port=port, role="technician", render=closing)
    assert '  1, hum\n     ^\n"hum" is none of the options' in target.getvalue()


def test_nobody_reading_any_more_is_the_callers_to_handle(shop: Rulebook, van: Path) -> None:
    reading, writing = os.pipe()
    with os.fdopen(writing, "w", encoding="utf-8") as target:
        port = PlainPort(io.StringIO("1\n"), target)
        os.close(reading)
        with pytest.raises(BrokenPipeError):
            run_interview(shop, van, port=port, role="technician", render=closing)
        # What could not be written is dropped, or closing the file would raise again.
        os.dup2(os.open(os.devnull, os.O_WRONLY), target.fileno())
    assert [entry.name for entry in van.parent.iterdir()] == [van.name]


def test_answers_before_the_pipe_broke_are_on_disk(shop: Rulebook, van: Path) -> None:
    class Breaking(io.StringIO):
        def write(self, text: str, /) -> int:
            if "Which noises" in text:
                raise BrokenPipeError
            return super().write(text)

    with pytest.raises(BrokenPipeError):
        run_interview(
            shop,
            van,
            port=PlainPort(io.StringIO("1\n"), Breaking()),
            role="technician",
            render=closing,
        )
    assert read_case(van).latest() == {"layout": "one-piece"}
