"""The user's own steps and limits in place of those of the rulebook's gauges."""

from __future__ import annotations

from collections.abc import Iterable

from .draft import Draft, Item
from .measuring import dimensions_of
from .models import GaugeChange, GaugeModel
from .names import did_you_mean

OWN_SOURCE = "the user's settings"


def change_gauges(draft: Draft, changes: Iterable[Item[GaugeChange]]) -> None:
    """Put each change into the draft; one that fits no gauge is noted at its own place."""
    for change in changes:
        gauge = draft.gauges.get(change.id)
        if gauge is not None:
            draft.gauges[change.id] = _changed(draft, gauge, change)
        elif not draft.may_exist(["gauges"], change.id):
            mark = change.document.position_of(change.loc, key=True)
            message = f'the rulebook has no gauge "{change.id}"'
            hint = did_you_mean(change.id, draft.gauges)
            draft.problems.append(change.document.problem(mark, "unknown-gauge", message, hint))


def _changed(draft: Draft, gauge: Item[GaugeModel], change: Item[GaugeChange]) -> Item[GaugeModel]:
    """The gauge as the user has it, standing where the user says so; as it was when faulty."""
    given = change.model.model_dump(exclude_none=True)
    if not given:
        message = f'the {gauge.called} needs "step", "limit" or both here'
        draft.complain(change, (), "missing-field", message)
        return gauge
    sound = True
    for name, text in given.items():
        able = dimensions_of(getattr(gauge.model, name))
        if able and not set(able) & set(dimensions_of(text)):
            was = f"{name} is {getattr(gauge.model, name)} in the rulebook"
            message = f'"{text}" is no {name} (0 or more) of the {gauge.called}, whose {was}'
            hint = f"write it with a unit, as {getattr(gauge.model, name)}"
            draft.complain(change, (name,), "wrong-quantity", message, hint)
            sound = False
    if not sound:
        return gauge
    model = gauge.model.model_copy(update={**given, "source": OWN_SOURCE})
    return Item("gauges", gauge.id, model, change.document, tuple(change.loc))
