"""What the parser takes, as the scripts see it."""

from __future__ import annotations

import argparse
from pathlib import Path

import pytest

from advisor import cli
from advisor.arguments import ID_SOURCES, SHELLS, parser
from advisor.completion import SHELLS as SCRIPTS
from advisor.completion import SOURCES, ids_of, rulebook_on
from advisor.completion.words import Kind, Values, verbs_of
from advisor.rulebook import load, shipped


def test_verbs_are_those_of_the_program_but_for_the_hidden_one() -> None:
    names = {verb.name for verb in verbs_of(parser())}
    assert names == {"", *cli.VERBS} - {"complete-words"}


def test_names_on_the_command_line_are_those_of_the_package() -> None:
    assert tuple(sorted(SCRIPTS)) == SHELLS
    assert tuple(SOURCES) == ID_SOURCES


def test_each_form_of_argument_has_its_kind() -> None:
    whole = argparse.ArgumentParser(prog="p", add_help=False)
    verb = whole.add_subparsers().add_parser("v", help="does", add_help=False)
    verb.add_argument("case", type=Path)
    verb.add_argument("rest", nargs="*")
    verb.add_argument("--on", action="store_true")
    verb.add_argument("--in", type=Path, metavar="FOLDER")
    verb.add_argument("--size", choices=("a", "b"))
    verb.add_argument("--without", action="append", metavar="GAUGE")
    verb.add_argument("--seen", help=argparse.SUPPRESS)
    _, found = verbs_of(whole)
    assert [(one.flags, one.values, one.repeats) for one in found.options] == [
        (("--on",), Values(Kind.NOTHING), False),
        (("--in",), Values(Kind.FOLDER), False),
        (("--size",), Values(Kind.WORDS, ("a", "b")), False),
        (("--without",), Values(Kind.IDS, ids="gauges"), True),
    ]
    assert [(one.name, one.values.kind, one.repeats) for one in found.places] == [
        ("case", Kind.FILE, False),
        ("rest", Kind.TEXT, True),
    ]


@pytest.mark.slow  # loads the shipped rulebook
def test_ids_scanned_are_those_of_the_rulebook_loaded() -> None:
    rulebook = load(shipped())
    assert ids_of("causes") == sorted(rulebook.causes)
    assert ids_of("gauges") == sorted(rulebook.gauges)
    assert ids_of("questions") == sorted(rulebook.questions)


def test_folder_that_cannot_be_read_offers_nothing(tmp_path: Path) -> None:
    assert ids_of("causes", tmp_path / "absent") == []
    (tmp_path / "a.yaml").write_bytes(b"causes:\n  one:\n  \xff: {}\n  two-three: {}\nfindings:\n")
    assert ids_of("causes", tmp_path) == ["one", "two-three"]


@pytest.mark.parametrize(
    ("line", "folder"),
    [
        (["why", "a.yaml"], None),
        (["why", "--rulebook"], None),
        (["why", "--rulebook", "="], None),
        (["why", "--rulebook="], None),
        (["--rulebook", "mine"], "mine"),
        (["--rulebook=my rules"], "my rules"),
        (["--rulebook", "=", "mine", "x"], "mine"),
        (["--rulebook", "'my rules'"], "my rules"),
        (["--rulebook", "bob's"], "bob's"),
        (["--rulebook", "a", "--rulebook=b"], "b"),
        (["--rulebooks", "a"], None),
    ],
)
def test_rulebook_on_the_line_is_found_as_shells_split_it(
    line: list[str], folder: str | None
) -> None:
    assert rulebook_on(line) == (None if folder is None else Path(folder))


def test_home_is_found_in_the_rulebook_on_the_line() -> None:
    assert rulebook_on(["--rulebook", "~/rules"]) == Path.home() / "rules"
