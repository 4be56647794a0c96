"""What the verbs' words share: how a verb is added, the options of many verbs, kinds of numbers."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from pathlib import Path
from typing import Any, TypeAlias

from advisor.layout import clean

DEFAULT_ROLE = "technician"
ROLES = ("service-advisor", "technician", "trainer")


class CleanParser(argparse.ArgumentParser):
    """Cleans what it tells: usage and errors quote the words that were given."""

    def _print_message(self, message: str, file: Any = None) -> None:
        super()._print_message(clean(message), file)


class VerbParser(CleanParser):
    """Takes inputs behind options too; by itself argparse looks for them in one place only."""

    def parse_known_args(
        self, args: Iterable[str] | None = None, namespace: Any = None
    ) -> tuple[Any, list[str]]:
        known, rest = super().parse_known_args(args, namespace)
        if hasattr(known, "inputs"):
            known.inputs = [*known.inputs, *(word for word in rest if word[:1] != "-")]
            rest = [word for word in rest if word[:1] == "-"]
        return known, rest


Verbs: TypeAlias = "argparse._SubParsersAction[VerbParser]"


def add_verb(
    verbs: Verbs,
    name: str,
    summary: str,
    *,
    with_rulebook: bool = True,
) -> argparse.ArgumentParser:
    """The parser of a new verb, which its own words are to be added to."""
    sentence = f"{summary[:1].upper()}{summary[1:]}."  # "JSON" keeps its capitals
    parser = verbs.add_parser(name, help=summary, description=sentence)
    if with_rulebook:
        parser.add_argument(
            "--rulebook",
            type=Path,
            metavar="FOLDER",
            help="the folder of a rulebook; the shipped one by default",
        )
    return parser


def add_case(verb: argparse.ArgumentParser, text: str = "the case file") -> None:
    """The case that a verb is about."""
    verb.add_argument("case", type=Path, help=text)


def add_json(verb: argparse.ArgumentParser) -> None:
    """The result as JSON."""
    verb.add_argument("--json", action="store_true", help="as JSON, for a program")


def add_plain(verb: argparse.ArgumentParser) -> None:
    """A conversation in plain lines."""
    verb.add_argument("--plain", action="store_true", help="plain lines, no full-screen editing")


def add_by(verb: argparse.ArgumentParser) -> None:
    """Who works on the case."""
    verb.add_argument("--by", metavar="NAME", help="your name or initials, to be kept")


def add_role(verb: argparse.ArgumentParser, text: str) -> None:
    """The role, which says where one may go."""
    text += f"; as the settings say, else {DEFAULT_ROLE}"
    verb.add_argument("--role", choices=ROLES, help=text)


def add_without(verb: argparse.ArgumentParser) -> None:
    """The gauges that are not there."""
    verb.add_argument(
        "--without",
        action="append",
        default=[],
        metavar="GAUGE",
        help="id of a gauge that is not there; once for each",
    )


def add_stock(verb: argparse.ArgumentParser) -> None:
    """The shop's rings."""
    verb.add_argument("--stock", type=Path, metavar="FILE", help="the rings that the shop has")


def add_overlay(verb: argparse.ArgumentParser) -> None:
    """Rates that were learnt from closed cases."""
    verb.add_argument(
        "--overlay",
        type=Path,
        metavar="FILE",
        help="rates from closed cases, in a file that calibrate --write made",
    )


def add_settings(verb: argparse.ArgumentParser) -> None:
    """The user's own settings."""
    verb.add_argument(
        "--settings",
        type=Path,
        metavar="FILE",
        help="your settings; the usual file by default, see: advisor settings",
    )


def a_count(text: str) -> int:
    """A whole number from 1 to a million."""
    if not (text.isascii() and text.isdigit() and len(text) < 8 and 0 < int(text) <= 10**6):
        raise argparse.ArgumentTypeError(f'read "{text}"; write a whole number, 1 or more')
    return int(text)


def a_share(text: str) -> float:
    """A number from 0 to 1."""
    try:
        number = float(text)
    except ValueError:
        number = -1.0
    if not 0.0 <= number <= 1.0:
        raise argparse.ArgumentTypeError(f'read "{text}"; write a number from 0 to 1, such as 0.05')
    return number
