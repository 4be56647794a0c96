"""The choices at the end of testing: each with its letter, its numbers, and what it takes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from string import ascii_lowercase

from advisor.cases import CaseSession
from advisor.engine.choices import Course
from advisor.report.choiceviews import FOOT, HEAD, ChoiceView, choice_line, choice_views
from advisor.report.cure import cure_of
from advisor.report.display import Display
from advisor.report.text import cure_lines

HAND_ON = (
    "hand the vehicle on with this case file: the causes as they stand, what was measured, and "
    'what was mended. When the cause is known, record it by "advisor close"'
)


@dataclass(frozen=True, slots=True)
class GoingOn:
    """The choices of an open case, the advised one first; a letter names each."""

    views: tuple[ChoiceView, ...]

    @property
    def letters(self) -> tuple[str, ...]:
        """The letters, in order."""
        return tuple(ascii_lowercase[: len(self.views)])

    def lines(self) -> Iterator[str]:
        """The choices side by side."""
        yield f"choose, side by side ({HEAD}):"
        for letter, view in zip(self.letters, self.views, strict=True):
            yield f"- {letter}: {choice_line(view)}"
        yield FOOT

    def choice(self, typed: str) -> ChoiceView | None:
        """The choice that a letter names."""
        chosen = dict(zip(self.letters, self.views, strict=True))
        return chosen.get(letter_in(typed))


def letter_in(typed: str) -> str:
    """What was typed, as a letter of a choice may be typed: "b", "B." or "b:"."""
    return typed.strip().casefold().rstrip(".):")


def going_on(session: CaseSession) -> GoingOn:
    """The choices of this case now, from where one is."""
    plan = session.plan()
    found = session.diagnosis.choices(
        plan, at=session.place, put_off=session.case.put_off, closed=session.closed
    )
    return GoingOn(choice_views(session.rulebook, found))


def how_to(session: CaseSession, view: ChoiceView) -> list[str]:
    """How a chosen repair is done, cautions first; or how to hand the vehicle on."""
    if view.course == Course.HAND_ON.value or view.cause is None:
        return [HAND_ON]
    display = Display(session.rulebook, session.case.latest())
    cure = cure_of(session.rulebook, session.diagnosis, display, view.cause, None)
    return list(cure_lines(cure))
