"""The terminal port: what it completes, refuses and shows. No byte that is drawn is checked."""

from __future__ import annotations

import io
import sys
from pathlib import Path

import pytest
from prompt_toolkit.completion import CompleteEvent
from prompt_toolkit.data_structures import Size
from prompt_toolkit.document import Document
from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.output import DummyOutput
from prompt_toolkit.output.vt100 import Vt100_Output
from prompt_toolkit.validation import ValidationError

from advisor.interview import Fault, PlainPort, Prompt, Tone, choose_port, run_interview
from advisor.interview.terminal import TerminalPort, _PromptValidator, _WordsCompleter
from advisor.layout import cells
from advisor.rulebook import Rulebook
from tests.interview.talk import CTRL_C, closing

RED = "\x1b[0;31"


def no_hum(typed: str) -> Fault | None:
    return Fault("hum is no noise", typed.index("hum")) if "hum" in typed else None


def ask(keys: str, prompt: Prompt) -> str:
    with create_pipe_input() as source:
        source.send_text(keys)
        return TerminalPort(source, DummyOutput()).ask(prompt)


def words(typed: str, *, tab: bool = True) -> list[str]:
    event = CompleteEvent(completion_requested=tab)
    completer = _WordsCompleter(("clunk", "boom", "back"))
    return [found.text for found in completer.get_completions(Document(typed), event)]


def screen(columns: int = 80) -> tuple[Vt100_Output, io.StringIO]:
    drawn = io.StringIO()
    return Vt100_Output(drawn, lambda: Size(rows=24, columns=columns), term="xterm"), drawn


def test_line_that_passes_the_check_is_returned() -> None:
    assert ask("boom\r", Prompt("Which?", check=no_hum)) == "boom"


def test_line_with_a_fault_is_not_taken() -> None:
    assert ask("hum\r\x05\x15boom\r", Prompt("Which?", check=no_hum)) == "boom"


def test_fault_puts_the_cursor_at_its_place() -> None:
    with pytest.raises(ValidationError) as caught:
        _PromptValidator(Prompt("Which?", check=no_hum)).validate(Document("a hum"))
    assert caught.value.cursor_position == 2
    assert caught.value.message == "hum is no noise"


def test_damaged_report_of_the_mouse_is_passed_over() -> None:
    """Found by inputs by chance: the library's own handler ended in an error."""
    assert ask("bo\x1b[<1Mom\r", Prompt("Which?")) == "boom"


def test_ctrl_c_is_raised() -> None:
    with pytest.raises(KeyboardInterrupt):
        ask(CTRL_C, Prompt("Which?"))


def test_ctrl_d_is_the_end_of_the_input() -> None:
    with pytest.raises(EOFError):
        ask("\x04", Prompt("Which?"))


def test_closed_pipe_is_the_end_of_the_input() -> None:
    with create_pipe_input() as source:
        port = TerminalPort(source, DummyOutput())
        source.close()
        with pytest.raises(EOFError):
            port.ask(Prompt("Which?"))


def test_last_word_is_completed() -> None:
    assert words("cl") == ["clunk"]
    assert words("clunk, b") == ["boom", "back"]
    assert words("B") == ["boom", "back"]


def test_all_words_are_offered_on_tab_only() -> None:
    assert words("") == ["clunk", "boom", "back"]
    assert words("", tab=False) == []


def test_question_offers_its_options_units_and_words(shop: Rulebook, van: Path) -> None:
    asked: list[Prompt] = []

    class Asking:
        columns = 80

        def ask(self, prompt: Prompt) -> str:
            asked.append(prompt)
            return ["1", "none", "?", "?", "", "stop"][len(asked) - 1]

        def tell(self, text: str, tone: Tone = Tone.PLAIN) -> None:
            pass

    run_interview(shop, van, port=Asking(), role="technician", render=closing)
    assert asked[0].completions[:2] == ("one-piece", "two-piece")
    assert asked[2].completions[:2] == ("/back", "/skip")
    assert asked[3].completions[:2] == ("yes", "no")
    assert asked[4].completions[0] == "measure-play"
    assert asked[5].completions[0] == "mm"
    assert "back" in asked[5].completions


def test_status_names_minutes_and_leading_causes(shop: Rulebook, van: Path) -> None:
    with create_pipe_input() as source:
        source.send_text("\x04")
        port = TerminalPort(source, DummyOutput())
        seen: list[tuple[str, ...]] = []
        real = port.ask

        def ask_and_keep(prompt: Prompt) -> str:
            seen.append(prompt.status)
            return real(prompt)

        port.ask = ask_and_keep  # type: ignore[method-assign]
        run_interview(shop, van, port=port, role="technician", render=closing)
    assert seen[0][0] == "0\u00a0min spent"
    assert [part.count("%") for part in seen[0][1:]] == [1, 1, 1]


@pytest.mark.parametrize("columns", [40, 80])
def test_told_text_is_wrapped_to_the_window(columns: int) -> None:
    output, drawn = screen(columns)
    with create_pipe_input() as source:
        TerminalPort(source, output).tell("a cause that leads " * 12)
    lines = drawn.getvalue().replace("\x1b[0m", "").replace("\r", "").split("\n")
    assert all("\x1b" in line or cells(line) <= columns for line in lines)
    assert len(lines) > 3


def test_command_to_copy_is_left_to_the_terminal_to_wrap() -> None:
    command = f"advisor ask {'long-name/' * 30}van.yaml"
    output, drawn = screen(40)
    with create_pipe_input() as source:
        TerminalPort(source, output).tell(command, Tone.COMMAND)
    assert command in drawn.getvalue()


def test_caution_is_coloured_and_says_so_in_words(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("NO_COLOR", raising=False)
    output, drawn = screen()
    with create_pipe_input() as source:
        TerminalPort(source, output).tell("caution: wear gloves", Tone.CAUTION)
    assert RED in drawn.getvalue()
    assert "caution: wear gloves" in drawn.getvalue()


def test_no_color_is_honoured(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    output, drawn = screen()
    with create_pipe_input() as source:
        TerminalPort(source, output).tell("caution: wear gloves", Tone.CAUTION)
    assert RED not in drawn.getvalue()
    assert "caution: wear gloves" in drawn.getvalue()


def test_control_characters_of_people_do_not_reach_the_terminal() -> None:
    output, drawn = screen()
    with create_pipe_input() as source:
        TerminalPort(source, output).tell("a \x1b]0;title\x07 van\x9b31m")
    assert "a ]0;title van31m" in drawn.getvalue()


class _Window(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(
    ("term", "plain", "source", "target"),
    [
        ("xterm", True, _Window, _Window),
        ("dumb", False, _Window, _Window),
        ("xterm", False, io.StringIO, _Window),
        ("xterm", False, _Window, io.StringIO),
    ],
    ids=["on request", "dumb terminal", "input is a pipe", "output is a pipe"],
)
def test_plain_lines_are_chosen(
    monkeypatch: pytest.MonkeyPatch,
    term: str,
    plain: bool,
    source: type[io.StringIO],
    target: type[io.StringIO],
) -> None:
    monkeypatch.setenv("TERM", term)
    monkeypatch.setattr(sys, "stdin", source())
    monkeypatch.setattr(sys, "stdout", target())
    assert isinstance(choose_port(plain=plain), PlainPort)


def test_terminal_port_is_chosen_in_a_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setattr(sys, "stdin", _Window())
    monkeypatch.setattr(sys, "stdout", _Window())
    monkeypatch.setattr("advisor.interview.terminal.create_input", lambda: None)
    monkeypatch.setattr("advisor.interview.terminal.create_output", DummyOutput)
    assert isinstance(choose_port(), TerminalPort)
