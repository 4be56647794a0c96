"""The verbs that look into a folder of cases."""

from __future__ import annotations

import argparse
import os
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from .given import overlay_of, rulebook_of, session_of, settings_of
from .output import DONE, WrongUse, say, show, show_json

if TYPE_CHECKING:
    from datetime import date

    from advisor.library import Library
    from advisor.rulebook import Problem

MANY_FILES = 500  # as many take seconds to read, so that is said
T = TypeVar("T")


def find(options: argparse.Namespace) -> int:
    from advisor.library import Wanted, findings_text, search

    wanted = Wanted(
        words=tuple(options.words),
        facts=tuple(options.fact),
        cause=options.cause,
        since=_day(options.since, "--since"),
        until=_day(options.until, "--until"),
        closed=True if options.closed else False if options.open else None,
    )
    findings = _in_library(options, lambda library: search(library, wanted, options.most))
    if options.json:
        show_json(findings.as_data())
    else:
        show(findings_text(findings))
    return _with_problems(findings.unreadable)


def similar(options: argparse.Namespace) -> int:
    from advisor.library import similar, similar_text

    session = session_of(options)
    alike = _in_library(options, lambda library: similar(library, session, options.most))
    if options.json:
        show_json(alike.as_data())
    else:
        show(similar_text(alike))
    return _with_problems(alike.unreadable)


def figures(options: argparse.Namespace) -> int:
    from advisor.library import figures, figures_text

    found = _in_library(options, figures)
    if options.json:
        show_json(found.as_data())
    else:
        show(figures_text(found))
    return _with_problems(found.unreadable)


def export(options: argparse.Namespace) -> int:
    from advisor.library import export, write_export

    exported = _in_library(
        options,
        lambda library: export(
            library,
            closed_only=options.closed,
            with_private=options.private,
            with_words=not options.without_words,
        ),
    )
    if options.output is None:
        print(exported.text, end="", flush=True)  # before it is said to be exported
    else:
        write_export(options.output, exported)
    say(exported.summary)
    return _with_problems(exported.unreadable)


def _in_library(options: argparse.Namespace, work: Callable[[Library], T]) -> T:
    """What the work finds in the folder of cases that the words, or the settings, name."""
    from advisor.library import consult, index_path, light_of
    from advisor.rulebook import shipped

    settings = settings_of(options)
    folder = options.library or settings.library or Path()
    index = index_path(folder, options.index, os.environ)
    book = options.rulebook or shipped()
    light = light_of(book, settings.own.gauges, overlay_of(options), lambda: rulebook_of(options))

    def tell(doing: str, count: int) -> None:
        if count >= MANY_FILES:
            say(f"{folder}: {doing} {count} cases; the next time only what changed")

    return consult(folder, index, light, work, tell=tell)


def _with_problems(problems: Sequence[Problem]) -> int:
    """Tell what could not be looked into; the rest went on."""
    from advisor.library import unreadable_lines

    for line in unreadable_lines(problems):
        say(f"left out: {line}")
    return DONE


def _day(text: str | None, option: str) -> date | None:
    from datetime import date

    try:
        return None if text is None else date.fromisoformat(text)
    except ValueError:
        raise WrongUse(f'{option}: read "{text}"; write a day such as 2024-05-01') from None
