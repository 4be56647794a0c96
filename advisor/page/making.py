"""The page of a case: what is said, the pictures that its facts allow, laid out by a template."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any, Final

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from advisor.cases import CaseSession
from advisor.computing import ShimsAnswer
from advisor.layout import clean
from advisor.life import cause_lines, concern_lines, correction_lines, statement_of
from advisor.page.canvas import PLUS_MINUS, Picture
from advisor.page.driveline import driveline_picture
from advisor.page.known import Known, shimmed_driveline
from advisor.page.limits import reading_picture
from advisor.page.orders import orders_picture
from advisor.page.ringstack import ring_stack_picture
from advisor.page.turning import turning_picture
from advisor.page.views import (
    Passage,
    facts_by_kind,
    greatest_weight,
    outline,
    passages,
    ranked_views,
)
from advisor.report import Assessment, Display, choiceviews, sentences, trail_of, trail_text
from advisor.report.ringstext import rings_lines
from advisor.report.ringviews import RingsView
from advisor.report.wording import NONE_OF_THE_LISTED, decibans, minutes, one_line, percent

LONGEST_HEADING: Final = 160


def page_text(
    session: CaseSession,
    assessment: Assessment,
    *,
    paper: str | None = None,
    shims: ShimsAnswer | None = None,
) -> str:
    """The page as one HTML text that needs nothing else; the same input gives the same bytes.

    `paper` is a size by its name in CSS, or None to leave the size to the printer. `shims` is a
    choice of shims that the driveline's pictures show as the cure.
    """
    leading = assessment.causes[0] if assessment.causes else None
    ranking = ranked_views(assessment)
    trail = (
        trail_text(trail_of(session.case, session.rulebook, session.diagnosis, leading.id))
        if leading is not None
        else ""
    )
    cure = assessment.cure
    statement = statement_of(session.case, session.rulebook, session.diagnosis)
    return (
        _environment()
        .get_template("page.html")
        .render(
            a=assessment,
            heading=_heading(assessment),
            paper=paper,
            ranking=ranking,
            greatest=greatest_weight(ranking),
            ranking_notes=list(sentences.ranking_notes(assessment)),
            doubts=outline(sentences.doubt_lines(assessment.doubts)),
            rings=outline(rings_lines(_without_path(cure.rings))) if cure and cure.rings else [],
            shims=shims.as_data() if shims is not None else None,
            concern=_under_its_heading(concern_lines(statement)),
            found=_under_its_heading(cause_lines(statement)),
            done=_under_its_heading(correction_lines(statement.correction)),
            facts=facts_by_kind(assessment, session.rulebook, session.diagnosis),
            pictures=tuple(pictures_of(session, shims)),
            leading=leading.name if leading is not None else "",
            trail=outline(trail.splitlines()[1:]),
            say=sentences,
            choices=choiceviews,
            none_of_the_listed=NONE_OF_THE_LISTED,
        )
    )


def _under_its_heading(lines: Iterable[str]) -> list[Passage]:
    """The passages after the heading that comes first, which the page sets by itself."""
    return passages(list(lines)[1:])


def _heading(assessment: Assessment) -> str:
    """The vehicle, or the case: a long story would push what is urgent off the first sheet."""
    vehicle = one_line(assessment.vehicle)
    return vehicle if 0 < len(vehicle) <= LONGEST_HEADING else assessment.case


def pictures_of(session: CaseSession, shims: ShimsAnswer | None) -> Iterator[Picture]:
    """A picture for each set of facts that is known."""
    rulebook, diagnosis = session.rulebook, session.diagnosis
    known = Known(rulebook, diagnosis, Display(rulebook, session.case.latest()))
    if (orders := known.order_lines()) is not None:
        yield orders_picture(orders)
    if (stack := known.ring_stack()) is not None:
        yield ring_stack_picture(stack)
    yield from map(reading_picture, known.readings())
    driveline = known.driveline() if shims is None else shimmed_driveline(shims.found)
    if driveline is not None:
        yield driveline_picture(driveline)
        yield turning_picture(driveline)


def _without_path(rings: RingsView) -> RingsView:
    """The rings, with the stock by its name: a page is handed on, and folders are nobody's."""
    return replace(rings, stock=Path(rings.stock).name) if rings.stock else rings


def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("advisor.page"),
        autoescape=True,
        finalize=_shown,
        trim_blocks=True,
        lstrip_blocks=True,
        undefined=StrictUndefined,
    )
    environment.filters |= {
        "percent": percent,
        "minutes": minutes,
        "decibans": decibans,
        "one_line": one_line,
        "as_svg": lambda picture: Markup(picture.svg),  # built as a tree, so escaped
        "opening": lambda text: text[:1].upper() + text[1:],
    }
    return environment


def _shown(value: Any) -> Any:
    """Text from people and files without what could steer a screen; markup as it is."""
    if isinstance(value, str) and not isinstance(value, Markup):
        return clean(value).replace("+/-", PLUS_MINUS)
    return value
