"""The scripts, run by the shells that they are for; a shell that is not installed is skipped."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from advisor.arguments import parser
from advisor.completion import SHELLS, script

ROOT = Path(__file__).parents[2]
BASH_ASKS = """
COMP_WORDS=({words}); COMP_CWORD=$((${{#COMP_WORDS[@]}} - 1)); _advisor
printf '%s\\n' "${{COMPREPLY[@]}}"
"""
# What _arguments would be told; zsh itself then chooses by it.
ZSH_STUBS = """
compdef() { }
_describe() { }
_arguments() { [[ $1 == -C ]] && state=rest; print -rl -- "$@" }
words=(rank)
"""


def program(folder: Path) -> Path:
    """A command called advisor that runs this program."""
    path = folder / "advisor"
    path.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m advisor "$@"\n', encoding="utf-8")
    path.chmod(0o755)
    return path


def said_by(shell: str, text: str, folder: Path) -> list[str]:
    """The lines that a shell prints when it runs the text in `folder`, with advisor to be found."""
    found = shutil.which(shell)
    if found is None:
        pytest.skip(f"{shell} is not installed")
    program(folder)
    path = f"{folder}{os.pathsep}{os.environ['PATH']}"
    environ = os.environ | {"PATH": path, "PYTHONPATH": str(ROOT), "HOME": str(folder)}
    done = subprocess.run(
        [found, "-c", text],
        cwd=folder,
        env=environ,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
        timeout=60,
    )
    assert done.returncode == 0, done.stderr
    assert done.stderr == ""
    return done.stdout.split("\n")[:-1]


def bash(folder: Path, *lines: str) -> list[list[str]]:
    """What bash offers for the last word of each line, sorted."""
    asked = "echo ---".join(BASH_ASKS.format(words=line) for line in lines)
    answers = "\n".join(said_by("bash", f"{script('bash', parser())}\n{asked}", folder))
    return [sorted(part.split()) for part in answers.split("---")]


def test_bash_offers_verbs_options_and_choices(tmp_path: Path) -> None:
    verbs, options, choices, behind_equals = bash(
        tmp_path,
        "advisor re",
        "advisor rank --r",
        "advisor rank case.yaml --role t",
        "advisor rank --role = t",
    )
    assert verbs == ["reopen", "replay"]
    assert options == ["--role", "--rulebook"]
    assert choices == behind_equals == ["technician", "trainer"]


def test_bash_offers_files_and_folders_where_they_are_wanted(tmp_path: Path) -> None:
    (tmp_path / "car.yaml").touch()
    (tmp_path / "cars").mkdir()
    files, folders, value = bash(
        tmp_path, "advisor rank ca", "advisor check --rulebook ca", "advisor page x --output ca"
    )
    assert files == value == ["car.yaml", "cars"]
    assert folders == ["cars"]


def test_bash_offers_ids_in_their_place_alone(tmp_path: Path) -> None:
    first, second, gauges, free = bash(
        tmp_path,
        "advisor why rings-",
        "advisor why case.yaml rings-too",
        "advisor rank case.yaml --without calip",
        "advisor close case.yaml --note rings-",
    )
    assert first == free == []
    assert second == ["rings-too-thick", "rings-too-thin"]
    assert gauges == ["caliper"]


def own_rulebook(folder: Path, name: str) -> None:
    """A rulebook folder with two causes whose ids no other rulebook has."""
    (folder / name).mkdir()
    text = "causes:\n  own-one: {}\n  own-two: {}\n"
    (folder / name / "causes.yaml").write_text(text, encoding="utf-8")


def test_bash_offers_the_ids_of_the_rulebook_on_the_line(tmp_path: Path) -> None:
    own_rulebook(tmp_path, "my rules")
    found = bash(
        tmp_path,
        "advisor why --rulebook 'my rules' a.yaml own-t",
        "advisor why --rulebook = my\\ rules a.yaml own-t",
        'advisor why --rulebook ~/"my rules" a.yaml own-t',
        "advisor why --rulebook 'my rules' a.yaml rings-too",
        "advisor why a.yaml own-t",
    )
    assert found == [["own-two"]] * 3 + [[], []]


def test_fish_offers_the_ids_of_the_rulebook_on_the_line(tmp_path: Path) -> None:
    own_rulebook(tmp_path, "my rules")
    (tmp_path / "words.fish").write_text(script("fish", parser()), encoding="utf-8")
    for named in ("--rulebook 'my rules'", "--rulebook=my\\\\ rules"):
        asked = f'source words.fish; complete -C "advisor why {named} a.yaml own-t"'
        assert [one.split("\t")[0] for one in said_by("fish", asked, tmp_path)] == ["own-two"]


ZSH_OFFERS = """
compdef() { }
compadd() { print -rl -- "${@[2,-1]}" }
advisor_program=advisor
"""


def test_zsh_offers_the_ids_of_the_rulebook_on_the_line(tmp_path: Path) -> None:
    own_rulebook(tmp_path, "my rules")
    line = "words=(why --rulebook \\'my\\ rules\\' a.yaml '')"
    text = f"{ZSH_OFFERS}\n{script('zsh', parser())}\n{line}\n_advisor_ids causes"
    assert said_by("zsh", text, tmp_path) == ["own-one", "own-two"]


def test_bash_keeps_a_file_name_with_blanks_whole(tmp_path: Path) -> None:
    (tmp_path / "my car.yaml").touch()
    asked = BASH_ASKS.format(words="advisor rank my")
    assert said_by("bash", f"{script('bash', parser())}\n{asked}", tmp_path) == ["my car.yaml"]


def test_fish_offers_verbs_choices_and_ids(tmp_path: Path) -> None:
    (tmp_path / "words.fish").write_text(script("fish", parser()), encoding="utf-8")
    asked = "source words.fish; complete -C 'advisor re'; complete -C 'advisor rank --role t'"
    offered = [line.split("\t")[0] for line in said_by("fish", asked, tmp_path)]
    assert offered == ["reopen", "replay", "technician", "trainer"]
    (ids,) = said_by("fish", "source words.fish; complete -C 'advisor why a rings-uneq'", tmp_path)
    assert ids.split("\t")[0] == "rings-unequal"


def test_zsh_is_told_the_options_of_the_verb(tmp_path: Path) -> None:
    text = f"{ZSH_STUBS}\n{script('zsh', parser())}\n_advisor"
    told = said_by("zsh", text, tmp_path)
    starts = {line.partition("[")[0]: line.rpartition("]:")[2] for line in told}
    assert starts["--role="] == "value:(service-advisor technician trainer)"
    assert starts["*--without="] == "value:_advisor_ids gauges"


@pytest.mark.parametrize("shell", sorted(SHELLS))
def test_script_is_the_same_each_time_and_plain_ascii(shell: str) -> None:
    assert script(shell, parser()) == script(shell, parser())
    assert script(shell, parser()).isascii()
