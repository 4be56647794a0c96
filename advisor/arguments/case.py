"""The words of the verbs that ask about a case and show where it stands."""

from __future__ import annotations

import argparse
from pathlib import Path

from .common import (
    Verbs,
    add_by,
    add_case,
    add_json,
    add_overlay,
    add_plain,
    add_role,
    add_settings,
    add_stock,
    add_verb,
    add_without,
)

PAPERS = ("a4", "letter")


def add_case_verbs(verbs: Verbs) -> None:
    """ask, rank, page, why and rings."""
    ask = add_verb(verbs, "ask", "ask and advise, from a new case file or where one stopped")
    add_case(ask, "the case file; made when it does not exist")
    add_role(ask, "who answers")
    add_plain(ask)
    add_by(ask)
    ask.add_argument(
        "--private", action="store_true", help="ask for the customer's own data, kept apart"
    )

    rank = add_verb(verbs, "rank", "rank the causes of a case and say what to do next")
    add_case(rank)
    add_role(rank, "who works on it next")
    add_json(rank)
    page = _add_page(verbs)
    why = add_verb(verbs, "why", "show the trail of a cause, down to the answers")
    add_case(why)
    why.add_argument("cause", nargs="?", help="id of the cause; the leading one by default")
    add_json(why)

    rings = add_verb(verbs, "rings", "choose the retaining rings that cure a case")
    add_case(rings)
    add_stock(rings)
    rings.add_argument(
        "--cause", metavar="ID", help="the cause to cure; the leading one by default"
    )
    add_json(rings)
    for verb in (ask, rank, page):
        add_without(verb)
    for verb in (ask, rank, page, why, rings):
        add_overlay(verb)
        add_settings(verb)


def _add_page(verbs: Verbs) -> argparse.ArgumentParser:
    page = add_verb(verbs, "page", "make the report of a case as one page, for a screen or paper")
    add_case(page)
    page.add_argument(
        "--output",
        type=Path,
        metavar="FILE",
        help="where to write it, - for standard output; beside the case as .html by default",
    )
    page.add_argument("--paper", choices=PAPERS, help="the size of paper; the printer's by default")
    add_role(page, "who works on it next")
    page.add_argument(
        "--shims", type=Path, metavar="FILE", help="slopes and parts whose choice is drawn too"
    )
    return page
