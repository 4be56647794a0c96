"""The verbs that learn from closed cases."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from .given import rulebook_of, settings_of
from .output import DONE, FOUND, say, show, show_json

if TYPE_CHECKING:
    from advisor.learning import Source
    from advisor.learning.intake import Intake

L = TypeVar("L")


def replay(options: argparse.Namespace) -> int:
    from advisor.learning import replay_cases, replay_text

    replay = _over_cases(options, partial(replay_cases, with_walks=options.walks))
    status = _tell_unreadable(replay.intake)
    if options.json:
        show_json(replay.as_data())
    else:
        show(replay_text(replay))
    return status


def calibrate(options: argparse.Namespace) -> int:
    from advisor.learning import (
        Terms,
        calibrate,
        calibration_data,
        calibration_text,
        refuse_existing,
        write_overlay,
    )

    if options.write is not None:
        refuse_existing(options.write)  # before the long work, not after it
    terms = Terms(options.strength, options.least)
    found = _over_cases(options, partial(calibrate, terms=terms))
    status = _tell_unreadable(found.intake)
    if options.json:
        show_json(calibration_data(found))
    else:
        show(calibration_text(found))
    if options.write is not None:
        write_overlay(options.write, found)
        say(f"{options.write}: the proposal is written; use it by --overlay {options.write}")
    return status


def _over_cases(options: argparse.Namespace, learn: Callable[..., L]) -> L:
    """What is learnt from the cases, with a bar on the terminal meanwhile."""
    from advisor.learning import ProgressBar, Workers

    bar = ProgressBar(sys.stderr)
    workers = Workers(options.processes, options.cluster)
    try:
        return learn(options.cases, _source(options), workers=workers, progress=bar)
    finally:
        bar.clear()


def _tell_unreadable(intake: Intake) -> int:
    """Tell the problems of the cases that cannot be read; gives the exit status."""
    for problem in intake.problems:
        say(str(problem))
    if intake.untold:
        say(f"and {intake.untold} further cases that cannot be read")
    return FOUND if intake.unreadable or not intake.closed else DONE


def _source(options: argparse.Namespace) -> Source:
    """Where each worker gets the rulebook from; loaded once here, to tell its warnings."""
    from advisor.learning import Source
    from advisor.rulebook import shipped

    rulebook_of(options)
    document = settings_of(options).document
    return Source(
        options.rulebook or shipped(),
        None if document is None else Path(document.path),
        getattr(options, "overlay", None),
    )
