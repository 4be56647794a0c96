"""The words of the verbs that learn from closed cases."""

from __future__ import annotations

import argparse
from pathlib import Path

from .common import Verbs, a_count, add_json, add_overlay, add_settings, add_verb


def add_learning_verbs(verbs: Verbs) -> None:
    """replay and calibrate."""
    replay = add_verb(verbs, "replay", "rank closed cases again, and score the rulebook by them")
    replay.add_argument(
        "--walks", action="store_true", help="also the planner's own minutes; takes far longer"
    )
    add_overlay(replay)
    calibrate = add_verb(verbs, "calibrate", "propose better rates from closed cases")
    calibrate.add_argument(
        "--strength",
        type=_strength,
        default=20.0,
        metavar="CASES",
        help="how many cases an author's rate counts as: 20 by default; or estimate",
    )
    calibrate.add_argument(
        "--least",
        type=a_count,
        default=20,
        metavar="CASES",
        help="the fewest cases that change a rate: 20 by default",
    )
    calibrate.add_argument(
        "--write", type=Path, metavar="FILE", help="write the proposal into this new file"
    )
    for verb in (replay, calibrate):
        verb.epilog = "Exit status 1 when a case cannot be read, or none is closed."
        verb.add_argument(
            "cases",
            type=Path,
            metavar="FOLDER",
            help="the folder with the case files, or a file of JSON lines with a case a line",
        )
        add_json(verb)
        who = verb.add_mutually_exclusive_group()
        who.add_argument(
            "--processes", type=a_count, default=1, metavar="N", help="work in N processes"
        )
        who.add_argument(
            "--cluster", metavar="ADDRESS", help="work on a dask cluster: tcp://10.0.0.5:8786"
        )
        add_settings(verb)


def _strength(text: str) -> float | None:
    """A number of cases; None for "estimate"."""
    if text == "estimate":
        return None
    try:
        number = float(text)
    except ValueError:
        number = 0.0
    if not 0.001 <= number <= 1e6:
        message = f'read "{text}"; write a number from 0.001 to 1000000, or estimate'
        raise argparse.ArgumentTypeError(message)
    return number
