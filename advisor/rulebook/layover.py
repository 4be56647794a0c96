"""Lays the rates of an overlay over those of the author while a rulebook is being loaded.

The author's files are never changed. A rate whose `old` is no longer the author's is left as the
author has it, with a warning: what was counted against it is out of date.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any, cast

from .document import Loc
from .draft import Draft, Item
from .findingmodels import BandsFinding, ChoiceFinding, FindingModel, YesNoFinding
from .findings import RATES_TOLERANCE
from .names import did_you_mean
from .overlay import Overlay
from .overlaymodels import FindingChange, RateChange, RateChanges

_SAME = 1e-9

Column = Mapping[str, RateChange]  # value of the finding: change of its rate


def lay_over(draft: Draft, overlay: Overlay) -> None:
    """Put the overlay's rates into the draft; what does not fit is noted at its own place.

    The rulebook's version then ends in "+overlay." and the overlay's mark, so that a case names
    what ranked it (as build metadata of Semantic Versioning 2.0.0, section 10).
    """
    if draft.meta is None:
        return
    _Layer(draft, overlay).lay(draft.meta.model.id, draft.meta.model.version)
    version = f"{draft.meta.model.version}+overlay.{overlay.mark}"
    _change(draft, "rulebook", draft.meta, {"version": version})


class _Layer:
    def __init__(self, draft: Draft, overlay: Overlay) -> None:
        self._draft = draft
        self._document = overlay.document
        self._model = overlay.model

    def lay(self, rulebook_id: str, version: str) -> None:
        """Take in one part after another."""
        named = self._model.rulebook
        if named.id != rulebook_id:
            message = (
                f'the overlay is for the rulebook "{named.id}", and this one is "{rulebook_id}"'
            )
            self._note(("rulebook", "id"), "wrong-value", message)
            return
        if named.version != version:
            message = f"the overlay was made for version {named.version}, and this is {version}"
            hint = "calibrate again with this version"
            self._note(("rulebook", "version"), "outdated-overlay", message, hint)
        self._none_share()
        for name, commonness in self._model.commonness.items():
            loc = ("commonness", name)
            cause = self._draft.causes.get(name)
            if cause is None:
                self._unknown(loc, "causes", name)
            elif self._is_current(loc, commonness, cause.model.commonness):
                _change(self._draft, "causes", cause, {"commonness": commonness.new})
        for name, change in self._model.findings.items():
            finding = self._draft.findings.get(name)
            if finding is None:
                self._unknown(("findings", name), "findings", name)
            else:
                self._finding(finding, change)

    def _none_share(self) -> None:
        change, meta = self._model.none_of_the_listed, self._draft.meta
        assert meta is not None
        loc = ("none_of_the_listed",)
        if change is not None and self._is_current(loc, change, meta.model.none_of_the_listed):
            _change(self._draft, "rulebook", meta, {"none_of_the_listed": change.new})

    def _finding(self, finding: Item[FindingModel], change: FindingChange) -> None:
        loc: Loc = ("findings", finding.id)
        if isinstance(finding.model, YesNoFinding):
            if change.values:
                message = f'the {finding.called} is true or false and has no "values"'
                self._note((*loc, "values"), "wrong-value", message, 'use "usual" and "with"')
                return
            self._yes_no(finding, finding.model, change, loc)
        elif change.usual is not None or change.with_:
            field = "usual" if change.usual is not None else "with"
            message = f'the {finding.called} has several values, so its rates stand under "values"'
            self._note((*loc, field), "wrong-value", message)
        else:
            self._several(cast(Item[ChoiceFinding | BandsFinding], finding), change, loc)

    def _yes_no(
        self, finding: Item[FindingModel], model: YesNoFinding, change: RateChanges, loc: Loc
    ) -> None:
        update: dict[str, Any] = {}
        if change.usual and self._is_current((*loc, "usual"), change.usual, model.usual):
            update["usual"] = change.usual.new
        rates = dict(model.with_)
        for cause, one in change.with_.items():
            where = (*loc, "with", cause)
            if cause not in rates:
                self._not_spoken_to(where, finding, cause, rates)
            elif self._is_current(where, one, rates[cause]):
                rates[cause] = one.new
        _change(self._draft, "findings", finding, {**update, "with_": rates})

    def _several(
        self, finding: Item[ChoiceFinding | BandsFinding], change: FindingChange, loc: Loc
    ) -> None:
        model = finding.model
        usual = {name: value.usual for name, value in model.values.items()}
        spoken_to = dict.fromkeys(cause for one in model.values.values() for cause in one.with_)
        strange = [name for name in change.values if name not in model.values]
        for name in strange:
            mark = self._document.position_of((*loc, "values", name), key=True)
            message = f'the {finding.called} has no value "{name}"'
            hint = did_you_mean(name, model.values)
            self._draft.problems.append(
                self._document.problem(mark, "unknown-option", message, hint)
            )
        if strange:
            return
        new: dict[str, dict[str, float]] = {}
        for steps, column in _columns(change):
            if steps[-1] == "usual":
                old = usual
            elif steps[-1] in spoken_to:
                old = {name: one.with_[steps[-1]] for name, one in model.values.items()}
            else:
                where = (*loc, "values", next(iter(column)), *steps)
                self._not_spoken_to(where, finding, steps[-1], spoken_to)
                continue
            if self._column_fits(finding, loc, steps, column, old):
                new[steps[-1] if len(steps) > 1 else ""] = {
                    name: one.new for name, one in column.items()
                }
        values = {
            name: value.model_copy(
                update={
                    "usual": new[""][name] if "" in new else value.usual,
                    "with_": {
                        cause: new[cause][name] if cause in new else rate
                        for cause, rate in value.with_.items()
                    },
                }
            )
            for name, value in model.values.items()
        }
        _change(self._draft, "findings", finding, {"values": values})

    def _column_fits(
        self,
        finding: Item[ChoiceFinding | BandsFinding],
        loc: Loc,
        steps: tuple[str, ...],
        column: Column,
        old: Mapping[str, float],
    ) -> bool:
        """Whether a column is whole, adds up to 1 and is of today's rates; else it is noted."""
        first = (*loc, "values", next(iter(column)), *steps)
        missing = [name for name in old if name not in column]
        if missing:
            message = f'the {finding.called} needs a rate of "{steps[-1]}" for "{missing[0]}" too'
            hint = "the new rates over all its values add up to 1"
            self._note(first, "missing-cause-rate", message, hint)
            return False
        total = math.fsum(one.new for one in column.values())
        if abs(total - 1.0) > RATES_TOLERANCE:
            message = f'the new rates of "{steps[-1]}" over all values add up to {total:.6g}, not 1'
            self._note(first, "rates-do-not-add-up", message)
            return False
        places = {name: (*loc, "values", name, *steps) for name in column}
        current = [self._is_current(places[name], one, old[name]) for name, one in column.items()]
        return all(current)  # each that is not has been noted by now

    def _is_current(self, loc: Loc, change: Any, rate: float) -> bool:
        """Whether the author's number is still that of the overlay; else a warning says so."""
        if math.isclose(change.old, rate, rel_tol=_SAME, abs_tol=_SAME):
            return True
        if not math.isclose(change.new, rate, rel_tol=_SAME, abs_tol=_SAME):
            what = ", ".join(f'"{step}"' for step in loc[1:]) or f'"{loc[0]}"'
            message = f"the rulebook now has {rate:g} for {what}, not {change.old:g}; it is kept"
            hint = "calibrate again, or take this entry out"
            self._note((*loc, "old"), "outdated-overlay", message, hint)
        return False

    def _not_spoken_to(
        self, loc: Loc, finding: Item[Any], cause: str, known: Mapping[str, object]
    ) -> None:
        mark = self._document.position_of(loc, key=True)
        message = f'the {finding.called} has no rate with the cause "{cause}"'
        hint = did_you_mean(cause, known)
        self._draft.problems.append(self._document.problem(mark, "unknown-cause", message, hint))

    def _unknown(self, loc: Loc, section: str, name: str) -> None:
        if self._draft.may_exist([section], name):
            return
        mark = self._document.position_of(loc, key=True)
        what, code = (
            ("cause", "unknown-cause") if section == "causes" else ("finding", "unknown-fact")
        )
        hint = did_you_mean(name, self._draft.section(section))
        message = f'the rulebook has no {what} "{name}"'
        self._draft.problems.append(self._document.problem(mark, code, message, hint))

    def _note(self, loc: Loc, code: str, message: str, hint: str = "") -> None:
        self._draft.problems.append(self._document.problem(loc, code, message, hint))


def _columns(change: FindingChange) -> Iterator[tuple[tuple[str, ...], Column]]:
    """The changed columns of a finding of several values, each after its steps below a value."""
    columns: dict[tuple[str, ...], dict[str, RateChange]] = {}
    for name, value in change.values.items():
        if value.usual is not None:
            columns.setdefault(("usual",), {})[name] = value.usual
        for cause, one in value.with_.items():
            columns.setdefault(("with", cause), {})[name] = one
    yield from columns.items()


def _change(draft: Draft, section: str, item: Item[Any], update: Mapping[str, Any]) -> None:
    """Put a changed record in the place of the old one; it stands where the author wrote it."""
    changed = replace(item, model=item.model.model_copy(update=dict(update)))
    if section == "rulebook":
        draft.meta = changed
    else:
        draft.section(section)[item.id] = changed
