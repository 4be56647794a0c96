"""The command line: one short function a verb. Results go to standard output, messages to error.

Exit status: 0 done, 1 the check found something, 2 wrong use or bad input, 130 stopped by Ctrl-C.
"""

from __future__ import annotations

import argparse
import gc
import json
import os
import shlex
import sys
from collections.abc import Callable, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from advisor.arguments import DEFAULT_ROLE, parser
from advisor.lastresort import how_to_report, make_streams_safe, silence

if TYPE_CHECKING:
    from advisor.cases import CaseSession
    from advisor.computing import Answer
    from advisor.learning import Source
    from advisor.learning.intake import Intake
    from advisor.life import ClosingWords
    from advisor.proof import Sampling
    from advisor.report import Assessment
    from advisor.rulebook import GaugeChange, Item, Overlay, Rulebook
    from advisor.settings import Settings
    from advisor.stock import Stock

L = TypeVar("L")
DONE, FOUND, WRONG, INTERRUPTED = 0, 1, 2, 130
GARBAGE_AFTER = 100_000  # objects; loading makes many that stay, and looking for waste costs time
PLAIN_WIDTH = 100  # columns where the output is no terminal


class WrongUse(Exception):  # noqa: N818 - the words on the command line, not an error of ours
    """Words on the command line that mean nothing here; the text says which and what would."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one verb; gives the exit status. No traceback reaches the user."""
    make_streams_safe()
    gc.set_threshold(GARBAGE_AFTER)
    try:
        try:
            options = parser().parse_args(arguments)
        except SystemExit:  # the help was shown, or the words were wrong
            sys.stdout.flush()
            raise
        status = VERBS[options.verb](options)
        sys.stdout.flush()
    except BrokenPipeError:
        silence(sys.stdout)  # the reader has seen enough
        return DONE
    except KeyboardInterrupt:
        _say("stopped")
        return INTERRUPTED
    except Exception as error:
        return _told(error)
    return status


def _ask(options: argparse.Namespace) -> int:
    from advisor.interview import Interrupted, choose_port, run_interview
    from advisor.report import assess, assessment_text

    rulebook = _rulebook(options)
    stock = _stock(options, rulebook)
    closed = _closed(options, rulebook)

    def render(session: CaseSession) -> str:
        places = _places(options, session)
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
            role=options.role,
            render=render,
            resume=_resume_command(options),
            closed=closed,
            by=_by(options),
            private=options.private,
            stock=_settings(options).stock,
        )
    except Interrupted:
        return INTERRUPTED


def _resume_command(options: argparse.Namespace) -> str:
    """The command that goes on with the case as it was begun, to be pasted into a shell."""
    words = ["advisor", options.verb, str(options.case)]
    if getattr(options, "role", DEFAULT_ROLE) != DEFAULT_ROLE:
        words += ["--role", options.role]
    words += _common_words(options)
    for gauge in getattr(options, "without", ()):
        words += ["--without", gauge]
    for name in ("stock", "settings", "overlay", "by"):
        if getattr(options, name, None) is not None:
            words += [f"--{name}", str(getattr(options, name))]
    return shlex.join(words)


def _common_words(options: argparse.Namespace) -> list[str]:
    """The words of --plain and --rulebook, as they were given."""
    words = ["--plain"] if options.plain else []
    return words if options.rulebook is None else [*words, "--rulebook", str(options.rulebook)]


def _rank(options: argparse.Namespace) -> int:
    from advisor.report import assessment_text

    assessment = _assessment(options, _session(options))
    if options.json:
        _show_json(assessment.as_data())
    else:
        _show(assessment_text(assessment))
    return DONE


def _page(options: argparse.Namespace) -> int:
    from advisor.page import page_of, write_page

    session = _session(options)
    assessment = _assessment(options, session)
    text = page_of(session, assessment, paper=options.paper, shims=options.shims)
    output: Path = options.output or options.case.with_suffix(".html")
    if str(output) == "-":
        # Whatever the encoding of the stream, a page in ASCII says the same.
        print(text.encode("ascii", "xmlcharrefreplace").decode("ascii"), end="")
        return DONE
    write_page(output, text)
    _say(f"{output}: the page is written")
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


def _rings(options: argparse.Namespace) -> int:
    from advisor.report import causes_with_rings, ring_report, ring_report_text

    session = _session(options)
    rulebook = session.rulebook
    able = causes_with_rings(rulebook, session.diagnosis)
    if options.cause is not None and not _are_causes([options.cause], rulebook):
        return WRONG
    cause = options.cause or next(iter(able), None)
    if cause is None or rulebook.causes[cause].remedy.rings is None:
        which = "any possible cause" if cause is None else f'"{cause}"'
        others = f"; those that do: {', '.join(able)}" if able else ""
        _say(f"the cure of {which} chooses no rings{others}")
        return WRONG
    stock = _stock(options, rulebook)
    report = ring_report(session.case, rulebook, session.diagnosis, cause, stock)
    if options.json:
        _show_json(report.as_data())
    else:
        _show(ring_report_text(report))
    return DONE


def _close(options: argparse.Namespace) -> int:
    from advisor.cases import CaseLock, Result, open_case
    from advisor.life import close_case, settle, short_words

    rulebook = _rulebook(options)
    if not _are_causes(options.cause, rulebook):
        return WRONG
    stock = options.stock or _settings(options).stock
    if not any(getattr(options, name) for name in _CLOSING_WORDS) and options.gone is None:
        return _close_by_asking(options, rulebook, stock)
    if bool(options.cause) == options.none_of_the_listed:
        _say("say either --cause ID, once for each confirmed cause, or --none-of-the-listed")
        return WRONG
    words = _closing_words(options)
    result = Result(
        causes=tuple(options.cause),
        none_of_the_listed=options.none_of_the_listed,
        note=short_words(options.note or "", "--note") or None,
    )
    with CaseLock(options.case) as lock:
        session = open_case(options.case, rulebook, lock=lock)
        session.who = _by(options)
        for warning in settle(session, stock):
            _say(f"warning: {warning}")
        close_case(session, result, words, stock)
    _say(f"{options.case}: the outcome is recorded")
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
            by=_by(options),
            stock=stock,
            resume=_resume_command(options),
        )
    except Interrupted:
        return INTERRUPTED


def _by(options: argparse.Namespace) -> str | None:
    """The name to keep, cleaned; None when none was given."""
    from advisor.cases import LONGEST_NAME
    from advisor.layout import clean_line

    name = clean_line(options.by or "") or None
    if name is not None and len(name) > LONGEST_NAME:
        raise WrongUse(f"--by has {len(name)} characters; a name has at most {LONGEST_NAME}")
    return name


def _statement(options: argparse.Namespace) -> int:
    from advisor.life import read_private, statement_of, statement_text

    session = _session(options)
    private = read_private(options.case) if options.private else None
    statement = statement_of(session.case, session.rulebook, session.diagnosis, private)
    if options.json:
        _show_json(statement.as_data())
    else:
        _show(statement_text(statement))
    return DONE


def _history(options: argparse.Namespace) -> int:
    from advisor.life import timeline_of, timeline_text

    session = _session(options)
    timeline = timeline_of(session.case, session.rulebook)
    if options.json:
        _show_json(timeline.as_data())
    else:
        _show(timeline_text(timeline))
    return DONE


def _reopen(options: argparse.Namespace) -> int:
    from advisor.interview import ask_ever_right, choose_port
    from advisor.life import reopen, reopened_text

    session = _session(options)
    right = options.ever_right or ask_ever_right(choose_port())
    done = reopen(session, options.new, right, options.complaint)
    _show(reopened_text(done, session.rulebook))
    _say(f"go on with: {shlex.join(['advisor', 'ask', str(options.new)])}")
    return DONE


def _are_causes(ids: Sequence[str], rulebook: Rulebook) -> bool:
    """Whether all ids are causes of the rulebook; tells the first that is none."""
    from advisor.rulebook import did_you_mean

    for cause in ids:
        if cause not in rulebook.causes:
            new = rulebook.retired.get(("causes", cause))
            hint = did_you_mean(cause, rulebook.causes)
            if new is not None:
                hint = f'it was retired in {new.retired_in}; write "{new.id}"'
            _say(f'"{cause}" is no cause of this rulebook' + (f"; {hint}" if hint else ""))
            return False
    return True


def _check(options: argparse.Namespace) -> int:
    from advisor.checking import as_sarif, code_table, examine
    from advisor.layout import clean
    from advisor.rulebook import shipped

    if options.codes:
        print(code_table())
        return DONE
    found = examine(options.rulebook or shipped(), _overlay(options))
    if options.json:
        _show_json([problem.as_dict() for problem in found.problems])
    elif options.sarif:
        _show_json(as_sarif(found.problems))
    else:
        for problem in found.problems:
            print(clean(str(problem)))
    _say(found.summary)
    return FOUND if found.failed or (options.strict and found.problems) else DONE


def _new(options: argparse.Namespace) -> int:
    from advisor.interview import choose_port
    from advisor.writing import copy_shipped, is_programs_own, write_new

    if options.copy is not None:
        _say(copy_shipped(options.copy))
        return DONE
    if options.what is None:
        raise WrongUse("say what to write: advisor new cause, finding, question or test")
    if options.rulebook is None or is_programs_own(options.rulebook):
        raise WrongUse(
            "rules are written into a rulebook of your own, which --rulebook FOLDER names; "
            "make one with: advisor new --copy FOLDER"
        )
    words = ["advisor", "new", options.what, "--rulebook", str(options.rulebook)]
    resume = shlex.join([*words, *(["--plain"] if options.plain else [])])
    port = choose_port(plain=options.plain)
    try:
        write_new(options.what, options.rulebook, port, resume)
    except KeyboardInterrupt:  # it has said what is kept
        return INTERRUPTED
    return DONE


def _compute(options: argparse.Namespace) -> int:
    from advisor.computing import Request, answer

    request = Request(
        options.name, tuple(options.inputs), tuple(options.gauge), options.limit, options.sweep
    )
    found = answer(request, lambda: _rulebook(options))
    if options.json:
        _show_json(found.as_data())
    else:
        _show(found.as_text(_width()))
    return DONE


def _orders(options: argparse.Namespace) -> int:
    from advisor.computing import orders_answer

    return _show_answer(options, orders_answer(options.inputs))


def _shims(options: argparse.Namespace) -> int:
    from advisor.computing import shims_answer

    return _show_answer(options, shims_answer(options.file))


def _trial_weights(options: argparse.Namespace) -> int:
    from advisor.computing import trial_weights_answer

    return _show_answer(options, trial_weights_answer(options.inputs))


def _schema(options: argparse.Namespace) -> int:
    from advisor.rulebook import did_you_mean
    from advisor.schema import KINDS, schema_text, write_schemas

    kind, folder = options.kind, options.write
    if kind is not None and kind not in KINDS:
        raise WrongUse(f'"{kind}" is no kind of file with a schema; {did_you_mean(kind, KINDS)}')
    if folder is not None:
        try:
            count = len(write_schemas(folder, KINDS if kind is None else (kind,)))
        except OSError as error:
            reason = (error.strerror or "the system gave no reason").lower()
            raise WrongUse(f"{folder}: the schemas cannot be written: {reason}") from error
        _say(f"{folder}: {count} schema{'' if count == 1 else 's'} written")
    elif kind is None:
        _show("\n".join(f"{one.name:<9} {one.meaning}" for one in KINDS.values()))
    else:
        print(schema_text(kind), end="")
    return DONE


def _show_answer(options: argparse.Namespace, found: Answer) -> int:
    if options.json:
        _show_json(found.as_data())
    else:
        _show(found.as_text(_width()))
    return DONE


def _prove(options: argparse.Namespace) -> int:
    from advisor.proof import FOLDER, proof_text, prove, summary
    from advisor.rulebook import shipped

    if options.sample is not None and not options.mutate:
        raise WrongUse("--sample draws from the mutants; write --mutate with it")
    folder = options.rulebook or shipped()
    proof = prove(
        _load(options),
        folder / FOLDER,
        with_coverage=options.coverage,
        with_scores=options.scores,
        mutants=_mutants(options) if options.mutate else None,
    )
    for problem in proof.renewed:
        _say(str(problem))
    if options.json:
        _show_json(proof.as_data())
    elif text := proof_text(proof):
        print(text)
    _say(f"{folder}: {summary(proof)}")
    return FOUND if proof.failing else DONE


def _replay(options: argparse.Namespace) -> int:
    from advisor.learning import replay_cases, replay_text

    replay = _over_cases(options, partial(replay_cases, with_walks=options.walks))
    status = _tell_unreadable(replay.intake)
    if options.json:
        _show_json(replay.as_data())
    else:
        _show(replay_text(replay))
    return status


def _calibrate(options: argparse.Namespace) -> int:
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
        _show_json(calibration_data(found))
    else:
        _show(calibration_text(found))
    if options.write is not None:
        write_overlay(options.write, found)
        _say(f"{options.write}: the proposal is written; use it by --overlay {options.write}")
    return status


def _over_cases(options: argparse.Namespace, learn: Callable[..., L]) -> L:
    """What is learnt from the folder of cases, with a bar on the terminal meanwhile."""
    from advisor.learning import ProgressBar, Workers

    bar = ProgressBar(sys.stderr)
    workers = Workers(options.processes, options.cluster)
    try:
        return learn(options.folder, _source(options), workers=workers, progress=bar)
    finally:
        bar.clear()


def _tell_unreadable(intake: Intake) -> int:
    """Tell the problems of the cases that cannot be read; gives the exit status."""
    for problem in intake.problems:
        _say(str(problem))
    if intake.untold:
        _say(f"and {intake.untold} further files that cannot be read")
    return FOUND if intake.unreadable or not intake.closed else DONE


def _source(options: argparse.Namespace) -> Source:
    """Where each worker gets the rulebook from; loaded once here, to tell its warnings."""
    from advisor.learning import Source
    from advisor.rulebook import shipped

    _rulebook(options)
    document = _settings(options).document
    return Source(
        options.rulebook or shipped(),
        None if document is None else Path(document.path),
        getattr(options, "overlay", None),
    )


def _practise(options: argparse.Namespace) -> int:
    from advisor.interview import Interrupted, choose_port
    from advisor.rulebook import load, shipped
    from advisor.teaching import (
        Wanted,
        class_sheet,
        practise,
        score_of,
        score_text,
        vehicles_of,
    )

    folder = options.rulebook or shipped()
    rulebook = load(folder)
    wanted = Wanted(options.cause, two=options.two, level=options.level)
    if options.cause is not None and not _are_causes([options.cause], rulebook):
        return WRONG
    vehicles = vehicles_of(folder, rulebook)
    if options.class_size is not None:
        _show(class_sheet(options.file, vehicles, options.seed, wanted, options.class_size))
    elif options.score or options.json:
        score = score_of(options.file, vehicles)
        if options.json:
            _show_json(score.as_data())
        else:
            _show(score_text(score, rulebook, told=score.learner.end is not None))
    else:
        words = ["advisor", "practise", str(options.file), *_common_words(options)]
        resume = shlex.join(words)
        port = choose_port(plain=options.plain)
        try:
            practise(options.file, vehicles, options.seed, wanted, port=port, resume=resume)
        except Interrupted:
            return INTERRUPTED
    return DONE


def _compare(options: argparse.Namespace) -> int:
    from advisor.comparing import (
        THRESHOLD,
        Wanted,
        compare,
        comparison_data,
        comparison_text,
        summary,
    )

    threshold = THRESHOLD if options.threshold is None else options.threshold
    wanted = Wanted(threshold, not options.no_plan, _show_progress)
    found = compare(options.old, options.new, options.cases, wanted)
    if options.json:
        _show_json(comparison_data(found))
    elif sys.stdout.isatty():
        _show(comparison_text(found))
    else:  # Markdown to be pasted: no line of it is broken
        print(comparison_text(found))
    _say(summary(found))
    return FOUND if options.strict and found.matters else DONE


def _mutants(options: argparse.Namespace) -> Sampling:
    from advisor.proof import Sampling

    return Sampling(options.seed, options.sample, _show_progress)


def _show_progress(done: int, whole: int) -> None:
    """Tell on standard error how far a long work is, where a person is watching."""
    if sys.stderr.isatty():
        end = "\n" if done == whole else ""
        print(f"\rvehicle {done} of {whole}", end=end, file=sys.stderr, flush=True)


def _rulebook(options: argparse.Namespace) -> Rulebook:
    return _load(options, _settings(options).gauges)


def _load(options: argparse.Namespace, gauges: Sequence[Item[GaugeChange]] = ()) -> Rulebook:
    """The rulebook with the overlay, if one is given; what is out of date in it is told."""
    from advisor.rulebook import load, shipped, usual_cache

    overlay, cache = _overlay(options), usual_cache(os.environ)
    folder = options.rulebook or shipped()
    rulebook = load(folder, gauges=gauges, overlay=overlay, cache=cache)
    for warning in rulebook.warnings:
        if overlay is not None and warning.path == overlay.document.path:
            _say(str(warning))
    return rulebook


def _overlay(options: argparse.Namespace) -> Overlay | None:
    from advisor.rulebook import read_overlay

    given: Path | None = getattr(options, "overlay", None)
    return read_overlay(given) if given else None


def _settings(options: argparse.Namespace) -> Settings:
    from advisor.settings import find_settings

    return find_settings(options.settings, os.environ)


def _stock(options: argparse.Namespace, rulebook: Rulebook) -> Stock | None:
    """The rings of the verb's own option, else of the settings, with the warnings told."""
    from advisor.stock import read_stock

    given: Path | None = getattr(options, "stock", None)
    stock = read_stock(given, rulebook) if given else _settings(options).read_stock(rulebook)
    for warning in stock.warnings if stock else ():
        _say(str(warning))
    return stock


def _session(options: argparse.Namespace) -> CaseSession:
    """The case, read only, with the warnings told."""
    from advisor.cases import open_case

    session = open_case(options.case, _rulebook(options))
    for warning in session.warnings:
        _say(f"warning: {warning}")
    return session


def _assessment(options: argparse.Namespace, session: CaseSession) -> Assessment:
    """The case as it stands, for the chosen role, gauges and stock."""
    from advisor.report import assess

    return assess(
        session.case,
        session.rulebook,
        session.diagnosis,
        places=_places(options, session),
        closed=_closed(options, session.rulebook),
        stock=_stock(options, session.rulebook),
    )


def _places(options: argparse.Namespace, session: CaseSession) -> frozenset[str]:
    """The places where the chosen role can do tests."""
    from advisor.interview import ROLES as INTERVIEW_ROLES

    return INTERVIEW_ROLES[options.role].places(session.rulebook.rules)


def _closed(options: argparse.Namespace, rulebook: Rulebook) -> frozenset[str]:
    """The questions whose gauge is not there."""
    from advisor.rulebook import did_you_mean

    for gauge in options.without:
        if gauge not in rulebook.gauges:
            raise WrongUse(
                f'"{gauge}" is no gauge of this rulebook; {did_you_mean(gauge, rulebook.gauges)}'
            )
    return rulebook.read_with(options.without)


def _show(text: str) -> None:
    """Print text wrapped to the window, or to a fixed width where there is none."""
    from advisor.layout import clean, wrap

    print(wrap(clean(text), _width()))


def _show_json(data: Any) -> None:
    """Print JSON in ASCII: no window is steered by it, and no encoding loses a sign of it."""
    print(json.dumps(data, indent=2, allow_nan=False))


def _width() -> int:
    import shutil

    return shutil.get_terminal_size().columns if sys.stdout.isatty() else PLAIN_WIDTH


def _say(message: str) -> None:
    """Print a message on standard error; it may quote text from files and from the command line."""
    from advisor.layout import clean

    try:
        print(clean(message), file=sys.stderr)
    except OSError:  # nobody can be told any more, and the exit status still speaks
        silence(sys.stderr)


def _told(error: Exception) -> int:
    """Tell a foreseen error in its own words; keep the details of any other in a file."""
    if isinstance(error, ImportError):  # what tells any other error may be missing, too
        print(f"the program is not installed whole: {error}; install it anew", file=sys.stderr)
    elif isinstance(error, OSError) and error.filename is None:  # no file: a stream failed
        silence(sys.stdout)
        _say(f"reading the input or writing the output failed: {(error.strerror or '').lower()}")
    elif isinstance(error, _foreseen()):
        _say(str(error))
    else:
        _say(f"this is a fault of the program, not yours; please report it {how_to_report(error)}")
    return WRONG


def _foreseen() -> tuple[type[Exception], ...]:
    from advisor.cases import CaseError
    from advisor.computing import ComputeError
    from advisor.learning import LearningError
    from advisor.page import PageError
    from advisor.rulebook import LoadError
    from advisor.teaching.errors import TeachingError
    from advisor.writing import CopyError, DraftError, WriteRefusedError

    return (
        *(LoadError, CaseError, ComputeError, LearningError, PageError, TeachingError, WrongUse),
        *(CopyError, DraftError, WriteRefusedError),
    )


VERBS: Mapping[str, Callable[[argparse.Namespace], int]] = {
    "ask": _ask,
    "rank": _rank,
    "page": _page,
    "why": _why,
    "rings": _rings,
    "close": _close,
    "statement": _statement,
    "history": _history,
    "reopen": _reopen,
    "check": _check,
    "new": _new,
    "prove": _prove,
    "replay": _replay,
    "calibrate": _calibrate,
    "practise": _practise,
    "compare": _compare,
    "compute": _compute,
    "orders": _orders,
    "shims": _shims,
    "trial-weights": _trial_weights,
    "schema": _schema,
}
