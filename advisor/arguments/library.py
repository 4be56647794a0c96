"""The words of the verbs that look into a folder of cases."""

from __future__ import annotations

from pathlib import Path

from .common import Verbs, a_count, add_case, add_json, add_overlay, add_settings, add_verb


def add_library_verbs(verbs: Verbs) -> None:
    """find, similar, figures and export."""
    find = add_verb(verbs, "find", "find cases by words, facts, cause and date")
    find.add_argument("words", nargs="*", metavar="WORD", help="the case has words that begin so")
    find.add_argument("--cause", metavar="ID", help="this cause was confirmed, or leads")
    find.add_argument(
        "--fact",
        action="append",
        default=[],
        metavar="QUESTION=VALUE",
        help='an answer: drive-layout=rear, worst-speed="50 mph..60 mph"; once for each',
    )
    find.add_argument("--since", metavar="DATE", help="begun on this day or later: 2024-05-01")
    find.add_argument("--until", metavar="DATE", help="begun on this day or before")
    state = find.add_mutually_exclusive_group()
    state.add_argument("--open", action="store_true", help="only cases without an outcome")
    state.add_argument("--closed", action="store_true", help="only cases with an outcome")
    find.add_argument("--most", type=a_count, default=20, metavar="N", help="how many are shown")
    similar = add_verb(verbs, "similar", "show cases like this one, and what cured them")
    add_case(similar)
    similar.add_argument("--most", type=a_count, default=3, metavar="N", help="how many of each")
    figures = add_verb(verbs, "figures", "count what was confirmed, what came back, what it took")
    for verb in (find, similar, figures):
        add_overlay(verb)
        add_json(verb)
    export = add_verb(verbs, "export", "write the cases as lines of JSON")
    export.add_argument("--closed", action="store_true", help="only cases with an outcome")
    export.add_argument("--output", type=Path, metavar="FILE", help="into this file")
    export.add_argument(
        "--private", action="store_true", help="with customers' data and names of those who worked"
    )
    export.add_argument(
        "--without-words", action="store_true", help="without what people wrote freely"
    )
    for verb in (find, similar, figures, export):
        verb.add_argument(
            "--library",
            type=Path,
            metavar="FOLDER",
            help="the folder of cases; that of the settings, or this one",
        )
        verb.add_argument("--index", type=Path, metavar="FILE", help="where to keep the index")
        add_settings(verb)
