"""What may stand on the command line, read off its parser: verbs, options, places, values."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import Enum
from pathlib import Path
from typing import Any, Final


class Kind(Enum):
    """What is written in one place of the command line."""

    NOTHING = "nothing"  # an option that takes no value
    TEXT = "text"  # whatever the user says: nothing can be offered
    WORDS = "words"
    FILE = "file"
    FOLDER = "folder"
    IDS = "ids"


@dataclass(frozen=True, slots=True)
class Values:
    """The values of one place: the words themselves, or where their ids are found."""

    kind: Kind
    words: tuple[str, ...] = ()
    ids: str = ""


@dataclass(frozen=True, slots=True)
class Option:
    """An option with all its spellings, the long one last; `repeats` when it may stand again."""

    flags: tuple[str, ...]
    meaning: str
    values: Values
    repeats: bool


@dataclass(frozen=True, slots=True)
class Place:
    """A word without a hyphen; the last place of a verb may take any number of them."""

    name: str
    values: Values
    repeats: bool


@dataclass(frozen=True, slots=True)
class Verb:
    """One verb with what it takes; the program itself is the verb without a name."""

    name: str
    meaning: str
    options: tuple[Option, ...]
    places: tuple[Place, ...]


_FOLDERS: Final = ("FOLDER", "folder", "OLD", "NEW")
# verb (or "" for any), and what the parser calls the value: where its ids are found
_IDS: Final = {
    ("", "ID"): "causes",
    ("", "GAUGE"): "gauges",
    ("why", "cause"): "causes",
    ("close", "QUESTION=ANSWER"): "questions",
    ("find", "QUESTION=VALUE"): "questions",
    ("compute", "name"): "functions",
}


def verbs_of(parser: argparse.ArgumentParser) -> tuple[Verb, ...]:
    """The program itself, then each verb that its help shows, in the order of the help."""
    verbs = [_verb("", parser.description or "", parser)]
    for group in parser._actions:
        if isinstance(group, argparse._SubParsersAction):
            for choice in group._choices_actions:
                one = group.choices[choice.dest]
                verbs.append(_verb(choice.dest, choice.help or "", one))
    return tuple(verbs)


def _verb(name: str, meaning: str, parser: argparse.ArgumentParser) -> Verb:
    actions = [one for one in parser._actions if one.help != argparse.SUPPRESS]
    return Verb(name, meaning, tuple(_options(name, actions)), tuple(_places(name, actions)))


def _options(verb: str, actions: Iterable[argparse.Action]) -> Iterator[Option]:
    for one in actions:
        if one.option_strings:
            meaning = (one.help or "").replace("%%", "%")
            repeats = isinstance(one, argparse._AppendAction)
            yield Option(tuple(one.option_strings), meaning, _values(verb, one), repeats)


def _places(verb: str, actions: Iterable[argparse.Action]) -> Iterator[Place]:
    for one in actions:
        if not one.option_strings and not isinstance(one, argparse._SubParsersAction):
            yield Place(str(one.metavar or one.dest), _values(verb, one), one.nargs in ("*", "+"))


def _values(verb: str, action: argparse.Action) -> Values:
    if action.nargs == 0:
        return Values(Kind.NOTHING)
    if action.choices is not None:
        return Values(Kind.WORDS, tuple(map(str, action.choices)))
    name: Any = action.metavar or action.dest
    ids = _IDS.get((verb, name)) or _IDS.get(("", name))
    if ids is not None:
        return Values(Kind.IDS, ids=ids)
    if action.type is Path:
        return Values(Kind.FOLDER if name in _FOLDERS else Kind.FILE)
    return Values(Kind.TEXT)
