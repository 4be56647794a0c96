"""What a reopened case took over, has to ask again and counts as evidence, as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from typing import Any

from advisor.rulebook import Rulebook

from .reopening import EverRight, Reopened

FORMAT = 1  # of the JSON form; raised when a field changes its meaning or goes


@dataclass(frozen=True, slots=True)
class Asked:
    """A question with its words."""

    question: str
    ask: str


@dataclass(frozen=True, slots=True)
class Mended:
    """A cause whose repair brought no cure."""

    cause: str
    name: str


@dataclass(frozen=True, slots=True)
class ReopenedView:
    """A case begun for a vehicle that came back; `earlier` is the id of the case before.

    The answers to `to_ask_again` may have been changed by the work.
    """

    format: int
    case: str
    earlier: str
    ever_right: EverRight
    taken_over: tuple[Asked, ...]
    to_ask_again: tuple[Asked, ...]
    repaired_without_cure: tuple[Mended, ...]

    def as_data(self) -> dict[str, Any]:
        """The view as plain data for JSON."""
        return asdict(self)


def reopened_view(reopened: Reopened, rulebook: Rulebook) -> ReopenedView:
    """A reopened case in the words of its rulebook."""

    def asked(questions: Iterable[str]) -> tuple[Asked, ...]:
        return tuple(Asked(one, rulebook.questions[one].ask) for one in questions)

    return ReopenedView(
        FORMAT,
        reopened.case.id,
        reopened.comeback.case,
        reopened.comeback.ever_right,
        asked(reopened.taken_over),
        asked(reopened.to_ask_again),
        tuple(Mended(cause, rulebook.causes[cause].name) for cause in reopened.repairs),
    )


def reopened_text(view: ReopenedView) -> str:
    """The view as lines, not yet wrapped."""
    lines = [f"case {view.case}: a comeback of {view.earlier}"]
    for head, questions in (
        ("taken over from it:", view.taken_over),
        ("to be asked again, since the work may have changed it:", view.to_ask_again),
    ):
        if questions:
            lines += [head, *(f"- {one.ask}" for one in questions)]
    for one in view.repaired_without_cure:
        lines.append(f"counts as a repair without a cure: {one.name}")
    return "\n".join(lines)
