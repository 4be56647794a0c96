"""The lesson as a conversation, the same in a terminal and as plain lines."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path

import pytest
from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.output import DummyOutput

from advisor.interview import Interrupted, PlainPort, Port, Tone
from advisor.interview.terminal import TerminalPort
from advisor.rulebook import Rulebook
from advisor.teaching.choosing import Drawn
from advisor.teaching.lesson import Lesson, practice_of
from advisor.teaching.practicefile import Step, write_practice
from advisor.teaching.talk import Talk
from tests.interview.talk import CTRL_C, Recorder
from tests.teaching.conftest import LOOSE

SCORE, RESUME = "the score itself", "advisor practise lesson.yaml"
Sitting = Callable[..., Recorder]


class _Keys(io.StringIO):
    """Lines of which one may be Ctrl-C."""

    def readline(self, size: int = -1, /) -> str:  # type: ignore[override]
        line = super().readline(size)
        if line.startswith(CTRL_C):
            raise KeyboardInterrupt
        return line


def plain(lesson: Lesson, *lines: str) -> Recorder:
    typed = "".join(f"{line}\n" for line in lines)
    return sit(lesson, PlainPort(_Keys(typed), io.StringIO(), width=60))


def terminal(lesson: Lesson, *lines: str) -> Recorder:
    with create_pipe_input() as keys:
        for line in lines:
            keys.send_text(line if line == CTRL_C else f"{line}\r")
        keys.send_text("\x05\x15\x04")  # end, clear, Ctrl-D: ends what a script leaves open
        return sit(lesson, TerminalPort(keys, DummyOutput()))


def sit(lesson: Lesson, port: Port) -> Recorder:
    screen = Recorder(port)
    Talk(lesson, screen, lambda: SCORE, RESUME).run()
    return screen


@pytest.fixture(params=[plain, terminal], ids=["plain", "terminal"])
def sitting(request: pytest.FixtureRequest) -> Sitting:
    found: Sitting = request.param
    return found


@pytest.fixture
def lesson(tmp_path: Path, book: Rulebook) -> Lesson:
    practice = practice_of(book, 7, Drawn(0, LOOSE))
    path = tmp_path / "lesson.yaml"
    return Lesson(path, book, LOOSE, practice, text=write_practice(path, practice))


def cautions(screen: Recorder) -> list[str]:
    return [text for tone, text in screen.told if tone is Tone.CAUTION]


def test_history_is_told_first(lesson: Lesson, sitting: Sitting) -> None:
    screen = sitting(lesson, "stop")
    assert "What was the last work on the driveline? None known" in screen.text
    assert screen.told[-2:] == [(Tone.PLAIN, "saved. Go on with:"), (Tone.COMMAND, RESUME)]


def test_test_is_done_with_its_cautions_before_it(lesson: Lesson, sitting: Sitting) -> None:
    screen = sitting(lesson, "measure yoke", "", "stop")
    assert lesson.practice.steps == (Step(test="measure-joint"),)
    order = [text for _, text in screen.told]
    caution = next(k for k, text in enumerate(order) if "Wear eye protection" in text)
    result = next(k for k, text in enumerate(order) if "80.00 mm" in text)
    assert caution < result


def test_place_lists_its_tests_and_a_number_chooses(lesson: Lesson, sitting: Sitting) -> None:
    sitting(lesson, "1", "1", "yes", "stop")
    (step,) = lesson.practice.steps
    assert step.test in {"bolts-loose", "bolts-missing", "layout", "note"}


def test_refused_test_is_not_done(lesson: Lesson, sitting: Sitting) -> None:
    sitting(lesson, "measure yoke", "no", "stop")
    assert lesson.practice.steps == ()


def test_stop_driving_is_told_and_enter_does_not_drive(lesson: Lesson, sitting: Sitting) -> None:
    screen = sitting(lesson, "bolts-loose", "", "vibrates", "", "stop")
    assert lesson.practice.steps == (Step(test="bolts-loose"),)
    assert any("STOP DRIVING" in text and "Do not drive" in text for text in cautions(screen))


def test_word_drives_an_unsafe_vehicle_all_the_same(lesson: Lesson, sitting: Sitting) -> None:
    sitting(lesson, "bolts-loose", "", "vibrates", "drive", "stop")
    assert lesson.practice.steps[-1] == Step(test="vibrates")


def test_cure_ends_the_lesson_with_its_proof_and_the_score(
    lesson: Lesson, sitting: Sitting
) -> None:
    screen = sitting(lesson, "repair", "loose flange", "yes")
    assert "CURED. proof:\n- Look again." in screen.text
    assert SCORE in screen.text
    assert lesson.work.end is not None


def test_wrong_repair_goes_on_with_its_cautions_before_it(lesson: Lesson, sitting: Sitting) -> None:
    screen = sitting(lesson, "repair", "rings", "yes", "stop")
    assert any("Wear eye protection" in text for text in cautions(screen))
    assert "NOT CURED" in screen.text
    assert SCORE not in screen.text


def test_repair_wants_a_yes(lesson: Lesson, sitting: Sitting) -> None:
    sitting(lesson, "repair", "rings", "", "stop")
    assert lesson.practice.steps == ()


def test_hint_shows_the_ranking_and_is_noted(lesson: Lesson, sitting: Sitting) -> None:
    screen = sitting(lesson, "ranking", "stop")
    assert "none of the listed causes" in screen.text
    assert lesson.practice.steps == (Step(hint="ranking"),)


def test_handing_on_ends_it(lesson: Lesson, sitting: Sitting) -> None:
    assert SCORE in sitting(lesson, "hand-on", "yes").text
    assert lesson.practice.steps == (Step(handed_on=True),)


def test_help_and_facts_take_no_step(lesson: Lesson, sitting: Sitting) -> None:
    screen = sitting(lesson, "help", "facts", "back", "", "stop")
    assert "known so far:" in screen.text
    assert lesson.practice.steps == ()


def test_ctrl_c_leaves_with_everything_saved(lesson: Lesson, sitting: Sitting) -> None:
    with pytest.raises(Interrupted):
        sitting(lesson, "bolts-loose", "", CTRL_C)
    assert lesson.practice.steps == (Step(test="bolts-loose"),)


def test_end_of_input_leaves(lesson: Lesson, sitting: Sitting) -> None:
    assert "saved." in sitting(lesson).text


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("9", 'read "9"; expected a number from 1 to'),
        ("no such thing", 'read "no such thing"; expected'),
    ],
)
def test_what_means_nothing_is_told(lesson: Lesson, typed: str, told: str) -> None:
    screen = plain(lesson, typed, "stop")
    assert any(tone is Tone.PROBLEM and told in text for tone, text in screen.told)


def test_part_of_several_names_is_told_when_one_is_wanted(lesson: Lesson) -> None:
    screen = plain(lesson, "repair", "a", "", "stop")
    assert "have these words; expected a number" in screen.text
