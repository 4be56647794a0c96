"""Files whose bytes come by chance; what can be read is also used as a verb would use it."""

from __future__ import annotations

import contextlib
import json
import math
import tempfile
from collections.abc import Callable
from itertools import takewhile
from pathlib import Path
from typing import Any
from unittest.mock import patch

from advisor.cases import CaseError, CaseSession, RingUse, new_case, open_case
from advisor.checking.checks import likely_problems
from advisor.computing import shims_answer
from advisor.learning import Source, Workers, calibrate, calibration_text, replay_cases, replay_text
from advisor.learning.calibrating import Terms
from advisor.life import (
    read_private,
    statement_of,
    statement_text,
    timeline_of,
    timeline_text,
)
from advisor.life.stockfile import StockFile
from advisor.proof import proof_text, prove
from advisor.report import assess, assessment_text, trail_of, trail_text
from advisor.rulebook import AnswerError, LoadError, Rulebook, load, read_overlay
from advisor.settings import read_settings
from advisor.settingstext import settings_text, settings_view
from advisor.stock import read_stock
from advisor.teaching.practicefile import read_practice
from advisor.writing.insertion import CannotInsertError, with_record
from tests.fuzzing.books import shipped_book, shop, shop_folder

NAME = "van.yaml"
ANSWERS = ("yes", "two-piece", "clunk", "0.4 mm", "50 mph")
RECORD = {"name": "A record: by chance", "steps": ["Look at it.", "yes"], "minutes": 2.5}


def in_file(data: bytes, read: Callable[[Path], object], name: str = NAME) -> None:
    """Let a file that holds the data be read; a complaint about it is told in full."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, name)
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(data)
        try:
            read(path)
        except LoadError as error:
            for problem in error.problems:
                str(problem)
                if problem.line < 1 or problem.column < 1:
                    raise AssertionError(f"a problem without a place: {problem}") from error


def as_json(data: Any) -> None:
    """Whatever is shown can be written as strict JSON."""
    json.dumps(data, allow_nan=False)


def rulebook_file(data: bytes) -> None:
    """A rulebook of one file; one that loads is checked, and a new vehicle is ranked."""

    def read(path: Path) -> None:
        rulebook = load(path.parent)
        for problem in likely_problems(rulebook):
            str(problem)
        rank_new_vehicle(rulebook, path.parent)

    in_file(data, read)


def rank_new_vehicle(rulebook: Rulebook, folder: Path) -> None:
    """Rank a vehicle before and after some answers."""
    session = new_case(folder / "new-case.yaml", rulebook, vehicle="A van", complaint="It shakes")
    show(session)
    for question in rulebook.questions:
        for text in ANSWERS:
            with contextlib.suppress(AnswerError):
                session.diagnosis.answer(question, rulebook.parse_answer(question, text))
    show(session)


def case_file(data: bytes) -> None:
    """A case of a small rulebook; one that can be read is shown in every way."""

    def read(path: Path) -> None:
        session = open_case(path, shop())
        show(session)
        case, rulebook = session.case, session.rulebook
        statement = statement_of(case, rulebook, session.diagnosis, None)
        timeline = timeline_of(case, rulebook)
        statement_text(statement)
        timeline_text(timeline)
        as_json([statement.as_data(), timeline.as_data()])

    in_file(data, read)


def show(session: CaseSession) -> None:
    """Where the case stands, and why; its probabilities are some."""
    assessment = assess(session.case, session.rulebook, session.diagnosis)
    assessment_text(assessment)
    as_json(assessment.as_data())
    ranking = session.diagnosis.ranking()
    for cause in ranking.causes:
        if not 0.0 <= cause.probability <= 1.0 + 1e-9:
            raise AssertionError(f"{cause.cause}: probability {cause.probability}")
    if not math.isfinite(ranking.none_probability):
        raise AssertionError(f"none of the listed: {ranking.none_probability}")
    if ranking.causes:
        trail = trail_of(session.case, session.rulebook, session.diagnosis, ranking.causes[0].cause)
        trail_text(trail)
        as_json(trail.as_data())


def case_lines(data: bytes) -> None:
    """Closed cases as JSON lines, ranked again and counted."""

    def read(path: Path) -> None:
        source = Source(shop_folder())
        again = replay_cases(path, source, workers=Workers(), progress=_quietly)
        replay_text(again)
        as_json(again.as_data())
        for problem in again.intake.problems:
            str(problem)
        terms = Terms(20.0, 1)
        found = calibrate(path, source, terms=terms, workers=Workers(), progress=_quietly)
        calibration_text(found)

    with patch.object(Source, "load", lambda _source: shop()):
        in_file(data, read, "cases.jsonl")


def _quietly(_done: int, _whole: int) -> None:
    """Progress that nobody watches."""


def examples_file(data: bytes) -> None:
    """Examples beside a small rulebook; those that can be read are run."""

    def read(path: Path) -> None:
        proof = prove(shop(), path.parent)
        proof_text(proof)
        as_json(proof.as_data())

    in_file(data, read)


def stock_file(data: bytes) -> None:
    """A stock of rings; from one that can be read a ring is taken, and it is read again."""

    def read(path: Path) -> None:
        read_stock(path, shipped_book())
        box, held = next(iter(StockFile(path)._document.data["rings"].items()))
        count, before = held["count"], path.read_bytes()
        use = RingUse(use="a1b2c3d4", stock=NAME, box=box, count=1, thickness=held["thickness"])
        try:
            StockFile(path).check(box, 1)
            StockFile(path).lessen([use], "van")
        except CaseError:
            assert path.read_bytes() == before
            return
        read_stock(path, shipped_book())
        StockFile(path).check(box, count - 1)

    in_file(data, read)


def practice_file(data: bytes) -> None:
    """A practice file."""
    in_file(data, lambda path: read_practice(path, shop()))


def settings_file(data: bytes) -> None:
    """A user's settings, and a rulebook in their light."""

    def read(path: Path) -> None:
        settings = read_settings(path)
        view = settings_view(settings)
        settings_text(view, None)
        as_json(view.as_data())
        rulebook = load(shop_folder(), own=settings.own)
        settings.gauges_missing(rulebook)
        settings.read_stock(rulebook)
        rank_new_vehicle(rulebook, path.parent)

    in_file(data, read)


def overlay_file(data: bytes) -> None:
    """Rates from closed cases, laid over those of a small rulebook."""

    def read(path: Path) -> None:
        rank_new_vehicle(load(shop_folder(), overlay=read_overlay(path)), path.parent)

    in_file(data, read)


def private_file(data: bytes) -> None:
    """A customer's own data."""
    in_file(data, lambda path: read_private(path.parents[1] / NAME), f"private/{NAME}")


def shims_file(data: bytes) -> None:
    """Slopes and parts, and the choice among them."""

    def read(path: Path) -> None:
        found = shims_answer(path)
        found.as_text(70)
        as_json(found.as_data())

    in_file(data, read)


def added_record(data: bytes) -> None:
    """A rulebook file that a record is added to: every byte of it stays."""

    def read(path: Path) -> None:
        text = path.read_bytes().decode("utf-8", "replace")
        with contextlib.suppress(CannotInsertError):
            after = with_record(text, NAME, "causes", "by-chance", RECORD)
            if not is_only_more(text, after):
                raise AssertionError("a record was not only added")

    in_file(data, read)


def is_only_more(old: str, new: str) -> bool:
    """Whether the new text is the old one with a block put in at one place."""
    alike = takewhile(lambda pair: pair[0] == pair[1], zip(old, new, strict=False))
    begin = sum(1 for _ in alike)
    return new.endswith(old[begin:]) and len(new) > len(old)
