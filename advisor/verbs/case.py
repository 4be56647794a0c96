"""The verbs that ask about a case and show where it stands."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from .given import (
    are_causes,
    assessment_of,
    closed_questions,
    places_of,
    resume_command,
    role_of,
    rulebook_of,
    session_of,
    settings_of,
    stock_of,
    who_of,
)
from .output import DONE, INTERRUPTED, WRONG, say, show, show_json

if TYPE_CHECKING:
    from advisor.cases import CaseSession


def ask(options: argparse.Namespace) -> int:
    from advisor.interview import Interrupted, choose_port, run_interview
    from advisor.report import assess, assessment_text

    rulebook = rulebook_of(options)
    stock = stock_of(options, rulebook)
    closed = closed_questions(options, rulebook)

    def render(session: CaseSession) -> str:
        places = places_of(options, session)
        return assessment_text(
            assess(
                session.case,
                rulebook,
                session.diagnosis,
                places=places,
                closed=closed,
                stock=stock,
            )
        )

    try:
        return run_interview(
            rulebook,
            options.case,
            port=choose_port(plain=options.plain),
            role=role_of(options),
            render=render,
            resume=resume_command(options),
            closed=closed,
            by=who_of(options),
            private=options.private,
            stock=settings_of(options).stock,
        )
    except Interrupted:
        return INTERRUPTED


def rank(options: argparse.Namespace) -> int:
    from advisor.report import assessment_text

    assessment = assessment_of(options, session_of(options))
    if options.json:
        show_json(assessment.as_data())
    else:
        show(assessment_text(assessment))
    return DONE


def page(options: argparse.Namespace) -> int:
    from advisor.page import page_of, write_page

    session = session_of(options)
    assessment = assessment_of(options, session)
    text = page_of(session, assessment, paper=options.paper, shims=options.shims)
    output: Path = options.output or options.case.with_suffix(".html")
    if str(output) == "-":
        # Whatever the encoding of the stream, a page in ASCII says the same.
        print(text.encode("ascii", "xmlcharrefreplace").decode("ascii"), end="")
        return DONE
    write_page(output, text)
    say(f"{output}: the page is written")
    return DONE


def why(options: argparse.Namespace) -> int:
    from advisor.report import trail_of, trail_text

    session = session_of(options)
    ranking = session.diagnosis.ranking()
    cause = options.cause or (ranking.causes[0].cause if ranking.causes else None)
    if cause is None:
        say("no listed cause can exist on this vehicle")
        return WRONG
    if not are_causes([cause], session.rulebook):
        return WRONG
    trail = trail_of(session.case, session.rulebook, session.diagnosis, cause)
    if options.json:
        show_json(trail.as_data())
    else:
        show(trail_text(trail))
    return DONE


def rings(options: argparse.Namespace) -> int:
    from advisor.report import causes_with_rings, ring_report, ring_report_text

    session = session_of(options)
    rulebook = session.rulebook
    able = causes_with_rings(rulebook, session.diagnosis)
    if options.cause is not None and not are_causes([options.cause], rulebook):
        return WRONG
    cause = options.cause or next(iter(able), None)
    if cause is None or rulebook.causes[cause].remedy.rings is None:
        which = "any possible cause" if cause is None else f'"{cause}"'
        others = f"; those that do: {', '.join(able)}" if able else ""
        say(f"the cure of {which} chooses no rings{others}")
        return WRONG
    stock = stock_of(options, rulebook)
    report = ring_report(session.case, rulebook, session.diagnosis, cause, stock)
    if options.json:
        show_json(report.as_data())
    else:
        show(ring_report_text(report))
    return DONE
