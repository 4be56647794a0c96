"""What the words of the command line name: the rulebook, the case, the stock, who asks."""

from __future__ import annotations

import argparse
import os
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from advisor.arguments import DEFAULT_ROLE

from .output import WrongUse, say

if TYPE_CHECKING:
    from advisor.cases import CaseSession
    from advisor.report import Assessment
    from advisor.rulebook import Overlay, Own, Rulebook
    from advisor.settings import Settings
    from advisor.stock import Stock


def rulebook_of(options: argparse.Namespace) -> Rulebook:
    return load_rulebook(options, settings_of(options).own)


def load_rulebook(options: argparse.Namespace, own: Own | None = None) -> Rulebook:
    """The rulebook with the overlay, if one is given; what is out of date in it is told."""
    from advisor.rulebook import load, shipped, usual_cache

    overlay, cache = overlay_of(options), usual_cache(os.environ)
    folder = options.rulebook or shipped()
    rulebook = load(folder, own=own, overlay=overlay, cache=cache)
    for warning in rulebook.warnings:
        if overlay is not None and warning.path == overlay.document.path:
            say(str(warning))
    return rulebook


def overlay_of(options: argparse.Namespace) -> Overlay | None:
    from advisor.rulebook import read_overlay

    given: Path | None = getattr(options, "overlay", None)
    return read_overlay(given) if given else None


def settings_of(options: argparse.Namespace) -> Settings:
    from advisor.settings import find_settings

    return find_settings(options.settings, os.environ)


def stock_of(options: argparse.Namespace, rulebook: Rulebook) -> Stock | None:
    """The rings of the verb's own option, else of the settings, with the warnings told."""
    from advisor.stock import read_stock

    given: Path | None = getattr(options, "stock", None)
    stock = read_stock(given, rulebook) if given else settings_of(options).read_stock(rulebook)
    for warning in stock.warnings if stock else ():
        say(str(warning))
    return stock


def session_of(options: argparse.Namespace) -> CaseSession:
    """The case, read only, with the warnings told."""
    from advisor.cases import open_case

    session = open_case(options.case, rulebook_of(options))
    for warning in session.warnings:
        say(f"warning: {warning}")
    return session


def assessment_of(options: argparse.Namespace, session: CaseSession) -> Assessment:
    """The case as it stands, for the chosen role, gauges and stock."""
    from advisor.report import assess

    return assess(
        session.case,
        session.rulebook,
        session.diagnosis,
        places=places_of(options, session),
        closed=closed_questions(options, session.rulebook),
        stock=stock_of(options, session.rulebook),
    )


def places_of(options: argparse.Namespace, session: CaseSession) -> frozenset[str]:
    """The places where the chosen role can do tests."""
    from advisor.interview import ROLES as INTERVIEW_ROLES

    return INTERVIEW_ROLES[role_of(options)].places(session.rulebook.rules)


def closed_questions(options: argparse.Namespace, rulebook: Rulebook) -> frozenset[str]:
    """The questions whose gauge is not there, by the command line or the settings."""
    from advisor.rulebook import did_you_mean

    for gauge in options.without:
        if gauge not in rulebook.gauges:
            raise WrongUse(
                f'"{gauge}" is no gauge of this rulebook; {did_you_mean(gauge, rulebook.gauges)}'
            )
    missing = settings_of(options).gauges_missing(rulebook)
    return rulebook.read_with({*options.without, *missing})


def role_of(options: argparse.Namespace) -> str:
    """Who works: the role of the command line, else of the settings, else a technician."""
    return options.role or settings_of(options).role or DEFAULT_ROLE


def who_of(options: argparse.Namespace) -> str | None:
    """The name to keep, cleaned; None when none was given."""
    from advisor.cases import LONGEST_NAME
    from advisor.layout import clean_line

    name = clean_line(options.by or "") or None
    if name is not None and len(name) > LONGEST_NAME:
        raise WrongUse(f"--by has {len(name)} characters; a name has at most {LONGEST_NAME}")
    return name


def are_causes(ids: Sequence[str], rulebook: Rulebook) -> bool:
    """Whether all ids are causes of the rulebook; tells the first that is none."""
    from advisor.rulebook import did_you_mean

    for cause in ids:
        if cause not in rulebook.causes:
            new = rulebook.retired.get(("causes", cause))
            hint = did_you_mean(cause, rulebook.causes)
            if new is not None:
                instead = f'write "{new.id}"' if new.id else "nothing took its place"
                hint = f"it was retired in {new.retired_in}; {instead}"
            say(f'"{cause}" is no cause of this rulebook' + (f"; {hint}" if hint else ""))
            return False
    return True


def resume_command(options: argparse.Namespace) -> str:
    """The command that goes on with the case as it was begun, to be pasted into a shell."""
    from advisor.layout import command

    words: list[str | Path] = [options.verb, options.case]
    if getattr(options, "role", None):
        words += ["--role", options.role]
    words += common_words(options)
    for gauge in getattr(options, "without", ()):
        words += ["--without", gauge]
    for name in ("stock", "settings", "overlay", "by"):
        if getattr(options, name, None) is not None:
            words += [f"--{name}", getattr(options, name)]
    return command(*words)


def common_words(options: argparse.Namespace) -> list[str | Path]:
    """The words of --plain and --rulebook, as they were given."""
    words: list[str | Path] = ["--plain"] if options.plain else []
    return words if options.rulebook is None else [*words, "--rulebook", options.rulebook]
