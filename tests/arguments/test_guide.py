"""What the program shows of itself: guide, help by groups, the verb nearest to a wrong one."""

from __future__ import annotations

import re

import pytest

from advisor import cli
from advisor.arguments import guide, parser
from advisor.cli import main
from advisor.layout import cells


def test_without_a_verb_the_guide_is_told_and_the_status_is_2(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "100")
    assert main([]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err == guide(100) + "\n"
    assert all(who in err for who in ("Service advisor", "Technician", "Trainer"))


def test_guide_is_no_wall_and_fits_the_window() -> None:
    assert len(guide(100).splitlines()) < 24
    assert max(map(cells, guide(100).splitlines())) <= 100
    assert max(map(cells, guide(40).splitlines()[1:])) <= 80


def test_every_command_of_the_guide_is_one() -> None:
    for words in re.findall(r"^  advisor ((?:[\w.-]+ ?)+)", guide(40), re.MULTILINE):
        assert parser().parse_args(words.split()).verb in cli.VERBS


@pytest.mark.parametrize("columns", ["40", "60", "100"])
def test_help_lists_every_verb_once_by_who_uses_it(
    columns: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", columns)
    text = parser().format_help()
    shown = re.findall(r"^    ([a-z][a-z-]*)(?: |$)", text, re.MULTILINE)
    assert sorted(shown) == sorted(cli.VERBS.keys() - {"complete-words"})
    assert "  for the trainer, about rules and learners:\n" in text


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("rnak", '"rnak" is no verb; did you mean rank?\n'),
        ("practice", '"practice" is no verb; did you mean practise?\n'),
        ("frobnicate", '"frobnicate" is no verb; see them all: advisor --help\n'),
        ("complete-word", '"complete-word" is no verb; did you mean completion'),
    ],
)
def test_wrong_verb_is_told_with_the_nearest(
    typed: str, said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as stopped:
        main([typed])
    assert stopped.value.code == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith(said)
