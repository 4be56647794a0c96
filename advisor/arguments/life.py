"""The words of the verbs that lead a case on: its end, its hand-over, and a comeback."""

from __future__ import annotations

from pathlib import Path

from .common import Verbs, add_by, add_case, add_json, add_plain, add_settings, add_stock, add_verb


def add_life_verbs(verbs: Verbs) -> None:
    """close, statement, history and reopen."""
    _add_close(verbs)
    statement = add_verb(verbs, "statement", "concern, cause and correction, for the repair order")
    add_case(statement)
    add_json(statement)
    statement.add_argument(
        "--private", action="store_true", help="with the customer's own data, if they were kept"
    )
    history = add_verb(verbs, "history", "the time line: who did what, and when")
    add_case(history)
    add_json(history)
    reopen = add_verb(verbs, "reopen", "begin the case of a vehicle that came back")
    add_case(reopen, "the closed case file")
    reopen.add_argument("new", type=Path, help="the new case file")
    reopen.add_argument(
        "--ever-right",
        choices=("yes", "no", "dont-know"),
        help="whether it was ever right after the repair; asked when it is not said",
    )
    reopen.add_argument(
        "--complaint", metavar="TEXT", default="", help="the customer's own words now"
    )
    add_json(reopen)
    for verb in (statement, history, reopen):
        add_settings(verb)


def _add_close(verbs: Verbs) -> None:
    close = add_verb(verbs, "close", "record the cause, the work and the proof of the cure")
    close.epilog = (
        "Without anything said of the closing, it asks for all in turn. "
        "With --json it asks nothing, and prints the statement of the closed case."
    )
    add_case(close)
    close.add_argument(
        "--cause", action="append", default=[], metavar="ID", help="id of a confirmed cause"
    )
    close.add_argument("--none-of-the-listed", action="store_true", help="it was something else")
    close.add_argument("--note", metavar="TEXT", help="what was found, in free words")
    close.add_argument("--work", metavar="TEXT", help="what was done, in free words")
    for option, metavar, text in (
        ("part", "TEXT", "a part used"),
        ("ring", "BOX=COUNT", "rings that this vehicle got out of a box of the stock, in all"),
        ("after", "QUESTION=ANSWER", "a reading after the work"),
        ("proof", "STEP=RESULT", "what a step of the proof showed, by its number; or not-done"),
        ("noted", "NUMBER=TEXT", "what the rulebook wants written down, by its number"),
    ):
        close.add_argument(f"--{option}", action="append", default=[], metavar=metavar, help=text)
    gone = close.add_mutually_exclusive_group()
    gone.add_argument("--gone", action="store_true", default=None, help="the complaint is gone")
    gone.add_argument(
        "--not-gone", action="store_false", default=None, dest="gone", help="it is still there"
    )
    close.add_argument("--minutes", type=float, help="minutes that work and proof took")
    add_stock(close)
    add_by(close)
    add_plain(close)
    add_json(close)
    add_settings(close)
