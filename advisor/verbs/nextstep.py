"""The command that most likely comes next, told where a person is watching."""

from __future__ import annotations

import argparse
import contextlib
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Final

from advisor.layout import command

from .given import role_of
from .output import say

Word = str | Path


def tell_next_step(options: argparse.Namespace) -> None:
    """One line on standard error after a verb that went well; none with --json or in a pipe."""
    if getattr(options, "json", False) or not sys.stderr.isatty():
        return
    words = _NEXT.get(options.verb, _nothing)(options)
    if words:
        say(f"next: {command(*words, *_kept(options, words))}")


def _kept(options: argparse.Namespace, words: list[Word]) -> list[Word]:
    """The options that hold for the next command too, unless it has its own."""
    kept: list[Word] = []
    for name in ("rulebook", "settings"):
        given = getattr(options, name, None)
        if given is not None and f"--{name}" not in words:
            kept += [f"--{name}", given]
    return kept


def _is_closed(case: Path) -> bool | None:
    """Whether the case has its outcome; None when nothing can be read there (any more)."""
    from advisor.cases import CaseError, read_case
    from advisor.rulebook import LoadError

    with contextlib.suppress(OSError, CaseError, LoadError):
        return read_case(case).outcome is not None
    return None


def _nothing(_: argparse.Namespace) -> list[Word]:
    return []


def _after_asking(options: argparse.Namespace) -> list[Word]:
    """The interview itself says how to go on; the desk hands the vehicle over."""
    closed = _is_closed(options.case)
    at_desk = closed is False and role_of(options) == "service-advisor"
    return ["statement", options.case] if closed or at_desk else []


def _after_looking(options: argparse.Namespace) -> list[Word]:
    closed = _is_closed(options.case)
    if closed is None:
        return []
    return ["statement" if closed else "ask", options.case]


def _after_closing(options: argparse.Namespace) -> list[Word]:
    return ["statement", options.case] if _is_closed(options.case) else []


def _after_new(options: argparse.Namespace) -> list[Word]:
    if options.copy is not None:
        return ["new", "cause", "--rulebook", options.copy]
    return ["prove"]


def _after_calibrating(options: argparse.Namespace) -> list[Word]:
    if options.write is None:
        return []
    return ["replay", options.cases, "--overlay", options.write]


_NEXT: Final[Mapping[str, Callable[[argparse.Namespace], list[Word]]]] = {
    "ask": _after_asking,
    "rank": _after_looking,
    "why": _after_looking,
    "rings": _after_looking,
    "close": _after_closing,
    "new": _after_new,
    "check": lambda options: [] if options.codes or options.sarif else ["prove"],
    "replay": lambda options: ["calibrate", options.cases],
    "calibrate": _after_calibrating,
}
