"""What the user's settings say in place of the rulebook, put into it while it is loaded."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Literal, TypeVar

from pydantic import BaseModel

from advisor import units
from advisor.driveline.catalog import FUNCTIONS

from .document import Document, Loc
from .draft import SECTIONS, Draft, Item
from .gaugechanges import change_gauges
from .models import GaugeChange, NumberQuestion
from .names import did_you_mean

M = TypeVar("M", bound=BaseModel)


@dataclass(frozen=True, slots=True)
class OwnMinutes:
    """The minutes of a place or a test (0 or more), and where the user says so."""

    section: Literal["places", "tests"]
    id: str
    minutes: float
    document: Document
    loc: Loc


@dataclass(frozen=True, slots=True)
class Own:
    """The user's own gauges, minutes and units.

    `hand_on_minutes` are those that handing the vehicle on costs, None for the rulebook's;
    `shown_in` is the unit by dimension in which numbers are shown that nobody typed.
    """

    gauges: tuple[Item[GaugeChange], ...] = ()
    minutes: tuple[OwnMinutes, ...] = ()
    hand_on_minutes: float | None = None
    shown_in: Mapping[str, units.Unit] = field(default_factory=dict)

    def put_into(self, draft: Draft) -> None:
        """Change the draft; what fits nothing in it is noted at its own place."""
        change_gauges(draft, self.gauges)
        _change_minutes(draft, self.minutes)
        if self.hand_on_minutes is not None and draft.meta is not None:
            draft.meta = _with(draft.meta, escalation_minutes=self.hand_on_minutes)
        if self.shown_in:
            _change_units(draft, self.shown_in)


def _change_minutes(draft: Draft, changes: Iterable[OwnMinutes]) -> None:
    for one in changes:
        if one.section == "places" and one.id in draft.places:
            draft.places[one.id] = _with(draft.places[one.id], minutes=one.minutes)
        elif one.section == "tests" and one.id in draft.tests:
            draft.tests[one.id] = _with(draft.tests[one.id], minutes=one.minutes)
        elif one.section == "tests" and one.id in _tests_by_themselves(draft):
            draft.questions[one.id] = _with(draft.questions[one.id], minutes=one.minutes)
        elif not draft.may_exist([one.section, "questions"], one.id):
            _complain(draft, one)


def _tests_by_themselves(draft: Draft) -> list[str]:
    return [name for name, item in draft.questions.items() if item.model.place is not None]


def _complain(draft: Draft, change: OwnMinutes) -> None:
    what = SECTIONS[change.section]
    known = draft.places if change.section == "places" else [*_tests_by_themselves(draft)]
    if change.section == "tests":
        known = [*known, *draft.tests]
    mark = change.document.position_of(change.loc, key=True)
    message = f'the rulebook has no {what} "{change.id}"'
    hint = did_you_mean(change.id, known)
    draft.problems.append(change.document.problem(mark, f"unknown-{what}", message, hint))


def _change_units(draft: Draft, shown_in: Mapping[str, units.Unit]) -> None:
    for name, question in draft.questions.items():
        if isinstance(question.model, NumberQuestion):
            own = shown_in.get(_dimension(question.model.unit))
            if own is not None:
                draft.questions[name] = _with(question, unit=own.symbol)
    for name, computed in draft.computed.items():
        function = FUNCTIONS.get(computed.model.function)
        own = shown_in.get(function.result) if function else None
        if own is not None:
            draft.computed[name] = _with(computed, unit=own.symbol)


def _dimension(unit: str) -> str:
    """The dimension of a unit; "" for a name that is none, which is told elsewhere."""
    try:
        return units.unit_named(unit).dimension
    except units.UnitError:
        return ""


def _with(item: Item[M], **changes: object) -> Item[M]:
    return replace(item, model=item.model.model_copy(update=changes))
