"""The words of the command line: verbs, what they take, and their help."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from advisor import __version__

DEFAULT_ROLE = "technician"
LEVELS = ("easy", "medium", "hard")
RECORDS = ("cause", "finding", "question", "test")
ROLES = ("service-advisor", "technician", "trainer")
PAPERS = ("a4", "letter")


class _VerbParser(argparse.ArgumentParser):
    """Takes inputs behind options too; by itself argparse looks for them in one place only."""

    def parse_known_args(
        self, args: Iterable[str] | None = None, namespace: Any = None
    ) -> tuple[Any, list[str]]:
        known, rest = super().parse_known_args(args, namespace)
        if hasattr(known, "inputs"):
            known.inputs = [*known.inputs, *(word for word in rest if word[:1] != "-")]
            rest = [word for word in rest if word[:1] == "-"]
        return known, rest


def _count(text: str) -> int:
    """A whole number from 1 to a million."""
    if not (text.isascii() and text.isdigit() and 0 < int(text) <= 10**6):
        raise argparse.ArgumentTypeError(f'read "{text}"; write a whole number, 1 or more')
    return int(text)


def _share(text: str) -> float:
    """A number from 0 to 1."""
    try:
        number = float(text)
    except ValueError:
        number = -1.0
    if not 0.0 <= number <= 1.0:
        raise argparse.ArgumentTypeError(f'read "{text}"; write a number from 0 to 1, such as 0.05')
    return number


def parser() -> argparse.ArgumentParser:
    """The parser of the whole command line; the verb's name comes out as `verb`."""
    whole = argparse.ArgumentParser(
        prog="advisor",
        description="Find why a driveline shakes, booms, clunks, squeaks or growls.",
        epilog="Start with: advisor ask my-case.yaml",
    )
    whole.add_argument("--version", action="version", version=f"advisor {__version__}")
    verbs = whole.add_subparsers(
        title="verbs", metavar="VERB", required=True, dest="verb", parser_class=_VerbParser
    )

    ask = _verb(verbs, "ask", "ask and advise, from a new case file or where one stopped")
    ask.add_argument("case", type=Path, help="the case file; made when it does not exist")
    ask.add_argument("--role", choices=ROLES, default=DEFAULT_ROLE, help="who answers")
    ask.add_argument("--plain", action="store_true", help="plain lines, no full-screen editing")
    ask.add_argument("--by", metavar="NAME", help="your name or initials, to be kept")
    ask.add_argument(
        "--private", action="store_true", help="ask for the customer's own data, kept apart"
    )

    rank = _verb(verbs, "rank", "rank the causes of a case and say what to do next")
    rank.add_argument("case", type=Path, help="the case file")
    rank.add_argument("--role", choices=ROLES, default=DEFAULT_ROLE, help="who works on it next")
    rank.add_argument("--json", action="store_true", help="as JSON")

    page = _add_page(verbs)

    why = _verb(verbs, "why", "show the trail of a cause, down to the answers")
    why.add_argument("case", type=Path, help="the case file")
    why.add_argument("cause", nargs="?", help="id of the cause; the leading one by default")

    rings = _verb(verbs, "rings", "choose the retaining rings that cure a case")
    rings.add_argument("case", type=Path, help="the case file")
    rings.add_argument("--stock", type=Path, metavar="FILE", help="the rings that the shop has")
    rings.add_argument(
        "--cause", metavar="ID", help="the cause to cure; the leading one by default"
    )
    rings.add_argument("--json", action="store_true", help="as JSON")

    _add_life_verbs(verbs)

    check = _add_check(verbs)
    _add_new(verbs)
    prove = _add_prove(verbs)
    _add_compare(verbs)
    _add_learning_verbs(verbs)
    compute = _verb(verbs, "compute", "compute one thing from numbers with units")
    compute.add_argument("name", nargs="?", help="the computation; without it they are listed")
    compute.add_argument(
        "inputs",
        nargs="*",
        metavar="INPUT=VALUE",
        help='span="80.1 mm", or with its standard uncertainty span="80.1 mm +/- 0.01 mm"',
    )
    compute.add_argument(
        "--gauge",
        action="append",
        default=[],
        metavar="INPUT=GAUGE",
        help="the gauge of the rulebook that an input was read with",
    )
    compute.add_argument(
        "--limit", help='judge the result: "0 mm to 0.05 mm", "below 3 deg", or published'
    )
    compute.add_argument(
        "--sweep",
        metavar="INPUT=FROM..TO",
        help='draw the result over an input: road_speed="20 mph..80 mph"; add /12 for 12 steps',
    )
    compute.add_argument("--json", action="store_true", help="as JSON")
    _add_workshop_verbs(verbs)
    _add_practise(verbs)
    for verb in (ask, rank, page):
        verb.add_argument(
            "--without",
            action="append",
            default=[],
            metavar="GAUGE",
            help="a gauge that is not there; once for each",
        )
    for verb in (ask, rank, page, why, rings, check, prove):
        _add_overlay(verb)
    for verb in (ask, rank, page, why, rings, compute):
        _add_settings(verb)
    return whole


def _add_check(verbs: argparse._SubParsersAction[_VerbParser]) -> argparse.ArgumentParser:
    check = _verb(verbs, "check", "check a rulebook")
    check.epilog = (
        "Exit status 1 when loading finds a problem. What is only likely wrong is shown as a "
        "warning and ends in 0, but with --strict in 1 as well."
    )
    check.add_argument("--strict", action="store_true", help="status 1 for whatever is found")
    form = check.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help="the problems as JSON")
    form.add_argument("--sarif", action="store_true", help="the problems as SARIF 2.1.0")
    form.add_argument("--codes", action="store_true", help="list the codes of all problems")
    return check


def _add_page(verbs: argparse._SubParsersAction[_VerbParser]) -> argparse.ArgumentParser:
    page = _verb(verbs, "page", "make the report of a case as one page, for a screen or paper")
    page.add_argument("case", type=Path, help="the case file")
    page.add_argument(
        "--output",
        type=Path,
        metavar="FILE",
        help="where to write it, - for standard output; beside the case as .html by default",
    )
    page.add_argument("--paper", choices=PAPERS, help="the size of paper; the printer's by default")
    page.add_argument("--role", choices=ROLES, default=DEFAULT_ROLE, help="who works on it next")
    page.add_argument(
        "--shims", type=Path, metavar="FILE", help="slopes and parts whose choice is drawn too"
    )
    return page


def _add_overlay(verb: argparse.ArgumentParser) -> None:
    verb.add_argument(
        "--overlay", type=Path, metavar="FILE", help="rates from closed cases, of calibrate"
    )


def _add_settings(verb: argparse.ArgumentParser) -> None:
    verb.add_argument(
        "--settings", type=Path, metavar="FILE", help="your gauges, and your stock of rings"
    )


def _add_learning_verbs(verbs: argparse._SubParsersAction[_VerbParser]) -> None:
    replay = _verb(verbs, "replay", "rank closed cases again, and score the rulebook by them")
    replay.add_argument(
        "--walks", action="store_true", help="also the planner's own minutes; takes far longer"
    )
    _add_overlay(replay)
    calibrate = _verb(verbs, "calibrate", "propose better rates from closed cases")
    calibrate.add_argument(
        "--strength",
        type=_strength,
        default=20.0,
        metavar="CASES",
        help="how many cases an author's rate counts as: 20 by default; or estimate",
    )
    calibrate.add_argument(
        "--least",
        type=_count,
        default=20,
        metavar="CASES",
        help="the fewest cases that change a rate: 20 by default",
    )
    calibrate.add_argument(
        "--write", type=Path, metavar="FILE", help="write the proposal into this new file"
    )
    for verb in (replay, calibrate):
        verb.epilog = "Exit status 1 when a case cannot be read, or none is closed."
        verb.add_argument("folder", type=Path, help="the folder with the case files")
        verb.add_argument("--json", action="store_true", help="as JSON")
        who = verb.add_mutually_exclusive_group()
        who.add_argument(
            "--processes", type=_count, default=1, metavar="N", help="work in N processes"
        )
        who.add_argument(
            "--cluster", metavar="ADDRESS", help="work on a dask cluster: tcp://10.0.0.5:8786"
        )
        _add_settings(verb)


def _strength(text: str) -> float | None:
    """A number of cases; None for "estimate"."""
    if text == "estimate":
        return None
    try:
        number = float(text)
    except ValueError:
        number = 0.0
    if not 0.0 < number < 1e6:
        raise argparse.ArgumentTypeError(f'read "{text}"; write a number above 0, or estimate')
    return number


def _add_new(verbs: argparse._SubParsersAction[_VerbParser]) -> None:
    new = _verb(verbs, "new", "write a new rule, asked for step by step")
    new.epilog = (
        "Writes into your own rulebook: advisor new --copy FOLDER makes one from the shipped one. "
        "Half-way nothing but a draft is kept; the same command goes on with it."
    )
    new.add_argument("what", nargs="?", choices=RECORDS, help="what to write")
    new.add_argument("--copy", type=Path, metavar="FOLDER", help="copy the shipped rulebook here")
    new.add_argument("--plain", action="store_true", help="plain lines, no full-screen editing")


def _add_prove(verbs: argparse._SubParsersAction[_VerbParser]) -> argparse.ArgumentParser:
    prove = _verb(verbs, "prove", "run the examples of a rulebook")
    prove.add_argument("--json", action="store_true", help="the results as JSON")
    prove.add_argument("--coverage", action="store_true", help="also what no example shows")
    prove.add_argument("--scores", action="store_true", help="also scores, and the planner's walks")
    prove.add_argument(
        "--mutate", action="store_true", help="also which small changes of the rules are noticed"
    )
    prove.add_argument(
        "--sample", type=_count, metavar="K", help="with --mutate: only so many, drawn at random"
    )
    prove.add_argument(
        "--seed", type=int, default=0, metavar="N", help="with --sample: another draw; 0 if none"
    )

    return prove


def _add_compare(verbs: argparse._SubParsersAction[_VerbParser]) -> None:
    compare = _verb(
        verbs, "compare", "compare two rulebooks over cases or examples", with_rulebook=False
    )
    compare.epilog = (
        "Without --cases it compares over the examples of both rulebooks. Exit status 0 whatever "
        "moves; with --strict 1 when another cause leads, or stopping driving changes, anywhere."
    )
    compare.add_argument("old", type=Path, metavar="OLD", help="folder of the older rulebook")
    compare.add_argument("new", type=Path, metavar="NEW", help="folder of the newer one")
    compare.add_argument("--cases", type=Path, metavar="FOLDER", help="a folder of case files")
    compare.add_argument(
        "--threshold",
        type=_share,
        metavar="SHARE",
        help="least change of a probability that is told, 0 to 1; 0.05 if none",
    )
    compare.add_argument("--no-plan", action="store_true", help="leave out the next test; quicker")
    compare.add_argument("--strict", action="store_true", help="status 1 when what leads changes")
    compare.add_argument("--json", action="store_true", help="as JSON")


def _add_life_verbs(verbs: argparse._SubParsersAction[_VerbParser]) -> None:
    """The verbs of a case's end, and of what comes after it."""
    close = _verb(verbs, "close", "record the cause, the work and the proof of the cure")
    close.epilog = "Without anything said of the closing, it asks for all in turn."
    close.add_argument("case", type=Path, help="the case file")
    close.add_argument(
        "--cause", action="append", default=[], metavar="ID", help="id of a confirmed cause"
    )
    close.add_argument("--none-of-the-listed", action="store_true", help="it was something else")
    close.add_argument("--note", help="what was found, in free words")
    close.add_argument("--work", help="what was done, in free words")
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
    close.add_argument("--stock", type=Path, metavar="FILE", help="the rings that the shop has")
    close.add_argument("--by", metavar="NAME", help="your name or initials, to be kept")
    close.add_argument("--plain", action="store_true", help="plain lines, no full-screen editing")

    statement = _verb(verbs, "statement", "concern, cause and correction, for the repair order")
    statement.add_argument("case", type=Path, help="the case file")
    statement.add_argument("--json", action="store_true", help="as JSON")
    statement.add_argument(
        "--private", action="store_true", help="with the customer's own data, if they were kept"
    )
    history = _verb(verbs, "history", "the time line: who did what, and when")
    history.add_argument("case", type=Path, help="the case file")
    history.add_argument("--json", action="store_true", help="as JSON")
    reopen = _verb(verbs, "reopen", "begin the case of a vehicle that came back")
    reopen.add_argument("case", type=Path, help="the closed case file")
    reopen.add_argument("new", type=Path, help="the new case file")
    reopen.add_argument(
        "--ever-right",
        choices=("yes", "no", "dont-know"),
        help="whether it was ever right after the repair; asked when it is not said",
    )
    reopen.add_argument("--complaint", default="", help="the customer's own words now")
    for verb in (close, statement, history, reopen):
        _add_settings(verb)


def _add_workshop_verbs(verbs: argparse._SubParsersAction[_VerbParser]) -> None:
    summary = "say which order a measured frequency follows"
    orders = _verb(verbs, "orders", summary, with_rulebook=False)
    orders.add_argument(
        "inputs",
        nargs="*",
        metavar="INPUT=VALUE",
        help='measured="42.4 Hz" and the like; without any, what may be given',
    )
    summary = "choose the wedge and shims that bring the joint angles right"
    shims = _verb(verbs, "shims", summary, with_rulebook=False)
    shims.add_argument("file", type=Path, help="the slopes and the parts at hand, as YAML")
    summary = "work out the mass to fit from runs with a trial mass"
    weights = _verb(verbs, "trial-weights", summary, with_rulebook=False)
    weights.add_argument(
        "inputs",
        nargs="*",
        metavar="INPUT=VALUE",
        help='initial=4.0 trial_mass="10 g" and the like; without any, what may be given',
    )
    for verb in (orders, shims, weights):
        verb.add_argument("--json", action="store_true", help="as JSON")
    summary = "print the JSON Schema of a kind of file, for an editor"
    schema = _verb(verbs, "schema", summary, with_rulebook=False)
    schema.add_argument("kind", nargs="?", help="the kind of file; without it they are listed")
    schema.add_argument(
        "--write", type=Path, metavar="FOLDER", help="write it, or all of them, into this folder"
    )


def _add_practise(verbs: argparse._SubParsersAction[_VerbParser]) -> None:
    practise = _verb(verbs, "practise", "find the hidden fault of a practice vehicle")
    practise.epilog = (
        "The same seed and version of the rulebook give the same vehicle to everybody. "
        "With --class, a practice file for each vehicle goes into the folder, and the sheet with "
        "the solutions to the screen."
    )
    practise.add_argument("file", type=Path, help="the practice file; made when there is none")
    practise.add_argument("--seed", type=int, metavar="N", help="which vehicle; by chance if none")
    practise.add_argument("--cause", metavar="ID", help="a fault that it must have")
    practise.add_argument("--two", action="store_true", help="a vehicle with two faults")
    practise.add_argument("--level", choices=LEVELS, help="how hard it is; medium if not said")
    practise.add_argument(
        "--plain", action="store_true", help="plain lines, no full-screen editing"
    )
    practise.add_argument("--score", action="store_true", help="show the score and ask nothing")
    practise.add_argument("--json", action="store_true", help="the score as JSON; asks nothing")
    practise.add_argument(
        "--class",
        dest="class_size",
        type=int,
        metavar="COUNT",
        help="write so many practice files into the folder FILE, each with another vehicle",
    )


def _verb(
    verbs: argparse._SubParsersAction[_VerbParser],
    name: str,
    summary: str,
    *,
    with_rulebook: bool = True,
) -> argparse.ArgumentParser:
    parser = verbs.add_parser(name, help=summary, description=summary.capitalize() + ".")
    if with_rulebook:
        parser.add_argument(
            "--rulebook",
            type=Path,
            metavar="FOLDER",
            help="a rulebook folder; the shipped one if none",
        )
    return parser
