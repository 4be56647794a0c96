"""Cases of the shipped rulebook for the tests of the page, and pages of the demo cases."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from advisor.cases import CaseSession, open_case
from advisor.page import page_of
from advisor.report import Assessment, assess
from advisor.rulebook import Rulebook, load, shipped

ROOT = Path(__file__).parents[2]
CASES = ROOT / "cases"
DEMOS = sorted(path.stem for path in CASES.glob("*.yaml"))


@cache
def driveline_rulebook() -> Rulebook:
    return load(shipped())


def case_of(path: Path, answers: Mapping[str, str], **about: str) -> CaseSession:
    """A case with these answers, written and opened; `about` are vehicle and complaint."""
    data = {
        "format": 1,
        "id": "made",
        "rulebook": {"id": "driveline", "version": driveline_rulebook().meta.version},
        **about,
        "answers": dict(answers),
    }
    path.write_text(json.dumps(data, ensure_ascii=False), encoding="utf-8")
    return open_case(path, driveline_rulebook())


def assessed(session: CaseSession) -> Assessment:
    return assess(session.case, session.rulebook, session.diagnosis)


@cache
def demo(name: str) -> tuple[CaseSession, Assessment]:
    """A demo case as it was before it was closed, opened and assessed."""
    before, _, outcome = (CASES / f"{name}.yaml").read_text(encoding="utf-8").partition("outcome:")
    assert outcome
    with TemporaryDirectory() as folder:
        path = Path(folder, f"{name}.yaml")
        path.write_text(before, encoding="utf-8")
        session = open_case(path, driveline_rulebook())
    return session, assessed(session)


@cache
def closed_page(name: str) -> str:
    """The page of a demo case as its file is."""
    session = open_case(CASES / f"{name}.yaml", driveline_rulebook())
    return page_of(session, assessed(session))


@cache
def demo_page(name: str, paper: str | None = None, shims: Path | None = None) -> str:
    session, assessment = demo(name)
    return page_of(session, assessment, paper=paper, shims=shims)
