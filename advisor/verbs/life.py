"""The verbs that lead a case on: its hand-over, its end, and a comeback."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from advisor.arguments import DEFAULT_ROLE

from .given import are_causes, resume_command, rulebook_of, session_of, settings_of, who_of
from .output import DONE, INTERRUPTED, WRONG, WrongUse, say, show, show_json

if TYPE_CHECKING:
    from advisor.life import ClosingWords
    from advisor.rulebook import Rulebook


def close(options: argparse.Namespace) -> int:
    from advisor.cases import CaseLock, Result, open_case
    from advisor.life import close_case, settle, short_words, statement_of

    rulebook = rulebook_of(options)
    if not are_causes(options.cause, rulebook):
        return WRONG
    stock = options.stock or settings_of(options).stock
    if not any(getattr(options, name) for name in _CLOSING_WORDS) and options.gone is None:
        if options.json:
            raise WrongUse("--json asks nothing; say --cause ID or --none-of-the-listed as well")
        return _close_by_asking(options, rulebook, stock)
    if bool(options.cause) == options.none_of_the_listed:
        say("say either --cause ID, once for each confirmed cause, or --none-of-the-listed")
        return WRONG
    words = _closing_words(options)
    result = Result(
        causes=tuple(options.cause),
        none_of_the_listed=options.none_of_the_listed,
        note=short_words(options.note or "", "--note") or None,
    )
    with CaseLock(options.case) as lock:
        session = open_case(options.case, rulebook, lock=lock)
        session.who = who_of(options)
        for warning in settle(session, stock):
            say(f"warning: {warning}")
        close_case(session, result, words, stock)
    say(f"{options.case}: the outcome is recorded")
    if options.json:
        show_json(statement_of(session.case, rulebook, session.diagnosis).as_data())
    return DONE


_CLOSING_WORDS = (
    *("cause", "none_of_the_listed", "note", "work", "part", "ring", "after", "proof"),
    *("noted", "minutes"),
)


def _closing_words(options: argparse.Namespace) -> ClosingWords:
    from advisor.life import read_words

    return read_words(
        work=options.work,
        parts=options.part,
        rings=options.ring,
        after=options.after,
        proof=options.proof,
        noted=options.noted,
        complaint_gone=options.gone,
        minutes=options.minutes,
    )


def _close_by_asking(options: argparse.Namespace, rulebook: Rulebook, stock: Path | None) -> int:
    from advisor.interview import Interrupted, choose_port, run_closing

    try:
        return run_closing(
            rulebook,
            options.case,
            port=choose_port(plain=options.plain),
            role=DEFAULT_ROLE,
            by=who_of(options),
            stock=stock,
            resume=resume_command(options),
        )
    except Interrupted:
        return INTERRUPTED


def statement(options: argparse.Namespace) -> int:
    from advisor.life import read_private, statement_of, statement_text

    session = session_of(options)
    private = read_private(options.case) if options.private else None
    statement = statement_of(session.case, session.rulebook, session.diagnosis, private)
    if options.json:
        show_json(statement.as_data())
    else:
        show(statement_text(statement))
    return DONE


def history(options: argparse.Namespace) -> int:
    from advisor.life import timeline_of, timeline_text

    session = session_of(options)
    timeline = timeline_of(session.case, session.rulebook)
    if options.json:
        show_json(timeline.as_data())
    else:
        show(timeline_text(timeline))
    return DONE


def reopen(options: argparse.Namespace) -> int:
    from advisor.interview import ask_ever_right, choose_port
    from advisor.layout import command
    from advisor.life import reopen, reopened_text, reopened_view

    if options.json and options.ever_right is None:
        raise WrongUse("--json asks nothing; say --ever-right yes, no or dont-know as well")
    session = session_of(options)
    right = options.ever_right or ask_ever_right(choose_port())
    done = reopen(session, options.new, right, options.complaint)
    view = reopened_view(done, session.rulebook)
    if options.json:
        show_json(view.as_data())
        return DONE
    show(reopened_text(view))
    say(f"go on with: {command('ask', options.new)}")
    return DONE
