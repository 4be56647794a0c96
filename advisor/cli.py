"""The command line: one short function a verb. Results go to standard output, messages to error.

Exit status: 0 done, 1 the check found something, 2 wrong use or bad input, 130 stopped by Ctrl-C.
"""

from __future__ import annotations

import argparse
import io
import json
import os
import sys
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from advisor import __version__

if TYPE_CHECKING:
    from advisor.cases import CaseSession
    from advisor.rulebook import Rulebook

DONE, FOUND, WRONG, INTERRUPTED = 0, 1, 2, 130
ROLES = ("service-advisor", "technician", "trainer")
PLAIN_WIDTH = 100  # columns where the output is no terminal


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one verb; gives the exit status. No traceback reaches the user."""
    options = _parser().parse_args(arguments)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")  # a sign that the terminal lacks is no failure
    verb: Callable[[argparse.Namespace], int] = options.verb
    try:
        status = verb(options)
        sys.stdout.flush()
    except BrokenPipeError:
        # The reader has seen enough. Python would complain once more when it closes the stream.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    except KeyboardInterrupt:
        _say("stopped")
        return INTERRUPTED
    except Exception as error:
        return _told(error)
    return status


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


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="advisor",
        description="Find why a driveline shakes, booms, clunks, squeaks or growls.",
        epilog="Start with: advisor ask my-case.yaml",
    )
    parser.add_argument("--version", action="version", version=f"advisor {__version__}")
    verbs = parser.add_subparsers(
        title="verbs", metavar="VERB", required=True, parser_class=_VerbParser
    )

    ask = _verb(verbs, "ask", _ask, "ask and advise, from a new case file or where one stopped")
    ask.add_argument("case", type=Path, help="the case file; made when it does not exist")
    ask.add_argument("--role", choices=ROLES, default="technician", help="who answers")
    ask.add_argument("--plain", action="store_true", help="plain lines, no full-screen editing")

    rank = _verb(verbs, "rank", _rank, "rank the causes of a case and say what to do next")
    rank.add_argument("case", type=Path, help="the case file")
    rank.add_argument("--role", choices=ROLES, default="technician", help="who works on it next")
    rank.add_argument("--json", action="store_true", help="as JSON")

    why = _verb(verbs, "why", _why, "show the trail of a cause, down to the answers")
    why.add_argument("case", type=Path, help="the case file")
    why.add_argument("cause", nargs="?", help="id of the cause; the leading one by default")

    close = _verb(verbs, "close", _close, "record what the trouble of a case turned out to be")
    close.add_argument("case", type=Path, help="the case file")
    close.add_argument("--cause", action="append", default=[], help="id of a confirmed cause")
    close.add_argument("--none-of-the-listed", action="store_true", help="it was something else")
    close.add_argument("--note", help="what was found and done, in free words")

    check = _verb(verbs, "check", _check, "check a rulebook")
    check.add_argument("--json", action="store_true", help="the problems as JSON")

    compute = _verb(verbs, "compute", _compute, "compute one thing from numbers with units")
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
    compute.add_argument("--limit", help='judge the result: "0 mm to 0.05 mm", "below 3 deg"')
    compute.add_argument(
        "--sweep",
        metavar="INPUT=FROM..TO",
        help='draw the result over an input: road_speed="20 mph..80 mph"; add /12 for 12 steps',
    )
    compute.add_argument("--json", action="store_true", help="as JSON")
    return parser


def _verb(
    verbs: argparse._SubParsersAction[_VerbParser],
    name: str,
    run: Callable[[argparse.Namespace], int],
    summary: str,
) -> argparse.ArgumentParser:
    parser = verbs.add_parser(name, help=summary, description=summary.capitalize() + ".")
    parser.set_defaults(verb=run)
    parser.add_argument(
        "--rulebook", type=Path, metavar="FOLDER", help="a rulebook folder; the shipped one if none"
    )
    return parser


def _ask(options: argparse.Namespace) -> int:
    from advisor.interview import Interrupted, choose_port, run_interview
    from advisor.report import assess, assessment_text

    def render(session: CaseSession) -> str:
        places = _places(options, session)
        return assessment_text(
            assess(session.case, session.rulebook, session.diagnosis, places=places)
        )

    try:
        return run_interview(
            _rulebook(options),
            options.case,
            port=choose_port(plain=options.plain),
            role=options.role,
            render=render,
            resume=f"advisor ask {options.case}",
        )
    except Interrupted:
        return INTERRUPTED


def _rank(options: argparse.Namespace) -> int:
    from advisor.report import assess, assessment_text

    session = _session(options)
    places = _places(options, session)
    assessment = assess(session.case, session.rulebook, session.diagnosis, places=places)
    if options.json:
        json.dump(assessment.as_data(), sys.stdout, indent=2, ensure_ascii=False)
        print()
    else:
        _show(assessment_text(assessment))
    return DONE


def _why(options: argparse.Namespace) -> int:
    from advisor.report import trail_text

    session = _session(options)
    ranking = session.diagnosis.ranking()
    cause = options.cause or (ranking.causes[0].cause if ranking.causes else None)
    if cause is None:
        _say("no listed cause can exist on this vehicle")
        return WRONG
    if not _are_causes([cause], session.rulebook):
        return WRONG
    _show(trail_text(session.case, session.rulebook, session.diagnosis, cause))
    return DONE


def _close(options: argparse.Namespace) -> int:
    from advisor.cases import CaseLock, Result, open_case

    if bool(options.cause) == options.none_of_the_listed:
        _say("say either --cause ID, once for each confirmed cause, or --none-of-the-listed")
        return WRONG
    rulebook = _rulebook(options)
    if not _are_causes(options.cause, rulebook):
        return WRONG
    with CaseLock(options.case) as lock:
        open_case(options.case, rulebook, lock=lock).close(
            Result(
                causes=tuple(options.cause),
                none_of_the_listed=options.none_of_the_listed,
                note=options.note,
            )
        )
    _say(f"{options.case}: the outcome is recorded")
    return DONE


def _are_causes(ids: Sequence[str], rulebook: Rulebook) -> bool:
    """Whether all ids are causes of the rulebook; tells the first that is none."""
    from advisor.rulebook import did_you_mean

    for cause in ids:
        if cause not in rulebook.causes:
            _say(f'"{cause}" is no cause of this rulebook; {did_you_mean(cause, rulebook.causes)}')
            return False
    return True


def _check(options: argparse.Namespace) -> int:
    from advisor.rulebook import LoadError, load, shipped

    folder = options.rulebook or shipped()
    try:
        rulebook = load(folder)
        problems = rulebook.warnings
        rules = rulebook.rules
        summary = (
            f"{folder}: {len(rules.questions)} questions, {len(rules.tests)} tests, "
            f"{len(rules.findings)} findings, {len(rules.causes)} causes"
        )
    except LoadError as error:
        problems = error.problems
        summary = str(folder)
    if options.json:
        json.dump([problem.as_dict() for problem in problems], sys.stdout, indent=2)
        print()
    else:
        for problem in problems:
            print(problem)
    count = len(problems)
    _say(f"{summary}: {count or 'no'} problem{'' if count == 1 else 's'}")
    return FOUND if problems else DONE


def _compute(options: argparse.Namespace) -> int:
    from advisor.computing import Request, answer

    request = Request(
        options.name, tuple(options.inputs), tuple(options.gauge), options.limit, options.sweep
    )
    found = answer(request, lambda: _rulebook(options))
    if options.json:
        json.dump(found.as_data(), sys.stdout, indent=2, ensure_ascii=False)
        print()
    else:
        _show(found.as_text(_width()))
    return DONE


def _rulebook(options: argparse.Namespace) -> Rulebook:
    from advisor.rulebook import load, shipped

    return load(options.rulebook or shipped())


def _session(options: argparse.Namespace) -> CaseSession:
    """The case, read only, with the warnings told."""
    from advisor.cases import open_case

    session = open_case(options.case, _rulebook(options))
    for warning in session.warnings:
        _say(f"warning: {warning}")
    return session


def _places(options: argparse.Namespace, session: CaseSession) -> frozenset[str]:
    """The places where the chosen role can do tests."""
    from advisor.interview import ROLES as INTERVIEW_ROLES

    return INTERVIEW_ROLES[options.role].places(session.rulebook.rules)


def _show(text: str) -> None:
    """Print text wrapped to the window, or to a fixed width where there is none."""
    from advisor.interview.layout import clean, wrap

    print(wrap(clean(text), _width()))


def _width() -> int:
    import shutil

    return shutil.get_terminal_size().columns if sys.stdout.isatty() else PLAIN_WIDTH


def _say(message: str) -> None:
    print(message, file=sys.stderr)


def _told(error: Exception) -> int:
    """Tell a foreseen error in its own words; keep the details of any other in a file."""
    from advisor.cases import CaseError
    from advisor.computing import ComputeError
    from advisor.rulebook import LoadError

    if isinstance(error, LoadError | CaseError | ComputeError):
        _say(str(error))
        return WRONG
    import tempfile
    import traceback

    with tempfile.NamedTemporaryFile(
        "w", prefix="advisor-error-", suffix=".txt", delete=False, encoding="utf-8"
    ) as file:
        traceback.print_exception(error, file=file)
    _say(f"this is a fault of the program, not yours; please report it with the file {file.name}")
    return WRONG
