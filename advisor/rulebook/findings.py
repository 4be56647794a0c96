"""Compiles findings: where their outcomes come from, and how often each is seen."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import cast

from advisor.engine.rules import ByBand, ByChoice, ByCondition, Finding
from advisor.engine.values import Kind

from .bands import compile_bands
from .conditions import ConditionReader
from .draft import Draft, Item
from .findingmodels import (
    ANYTHING_ELSE,
    BandsFinding,
    ChoiceFinding,
    FindingModel,
    RatesModel,
    YesNoFinding,
)
from .names import did_you_mean, quoted

RATES_TOLERANCE = 1e-6

Rates = tuple[float, ...]


def compile_finding(reader: ConditionReader, item: Item[FindingModel]) -> Finding | None:
    """The finding for the engine, or None when a part of it is faulty."""
    model = item.model
    if isinstance(model, YesNoFinding):
        return _yes_no(reader, item, model)
    source: ByChoice | ByBand | None = None
    values: Mapping[str, RatesModel] = {}
    if isinstance(model, ChoiceFinding):
        values = model.values
        source = _by_choice(reader, cast(Item[ChoiceFinding], item))
    elif isinstance(model, BandsFinding):
        values = model.values
        source = _by_band(reader, cast(Item[BandsFinding], item))
    columns = _columns(reader.draft, item, values)
    if source is None or columns is None:
        return None
    usual, rates = columns
    return Finding(item.id, tuple(values), source, usual, rates, model.observation)


def _yes_no(
    reader: ConditionReader, item: Item[FindingModel], model: YesNoFinding
) -> Finding | None:
    draft = reader.draft
    condition = reader.read(item, ("when",), model.when, item.id)
    if model.stop_driving is not None:
        draft.refer(item, ("stop_driving",), "cautions", model.stop_driving)
    for cause in model.with_:
        draft.refer(item, ("with", cause), "causes", cause)
    if condition is None:
        return None
    rates = {cause: (rate, 1.0 - rate) for cause, rate in model.with_.items()}
    usual = (model.usual, 1.0 - model.usual)
    return Finding(
        id=item.id,
        outcomes=("true", "false"),
        source=ByCondition(condition),
        usual=usual,
        rates=rates,
        observation=model.observation,
        stop_driving=model.stop_driving is not None,
    )


def warn_if_mute(draft: Draft, item: Item[FindingModel], finding: Finding) -> None:
    """Warn of a finding that weighs nothing, and that is there for nothing else either."""
    if any(not _alike(column, finding.usual) for column in finding.rates.values()):
        return
    if not finding.rates and (finding.stop_driving or item.id in draft.used["findings"]):
        return
    what = "all its rates equal the usual one" if finding.rates else "it names no cause"
    message = f"the {item.called} tells no cause apart: {what}"
    draft.complain(item, (), "tells-nothing", message)


def _alike(first: Rates, second: Rates) -> bool:
    return all(math.isclose(a, b, abs_tol=1e-9) for a, b in zip(first, second, strict=True))


def _by_choice(reader: ConditionReader, item: Item[ChoiceFinding]) -> ByChoice | None:
    model = item.model
    kind = reader.fact(item, ("choice",), model.choice, item.id)
    if kind is None:
        return None
    if kind.kind is not Kind.CHOICE:
        message = (
            f'"choice" needs a fact that is one of its options; "{model.choice}" is {kind.words}'
        )
        reader.draft.complain(item, ("choice",), "wrong-kind", message)
        return None
    names = list(model.values)
    strange = [one for one in names if one != ANYTHING_ELSE and one not in kind.options]
    for name in strange:
        mark = item.document.position_of((*item.loc, "values", name), key=True)
        message = f'"{model.choice}" has no option "{name}"'
        hint = did_you_mean(name, (*kind.options, ANYTHING_ELSE))
        problem = item.document.problem(mark, "unknown-option", message, hint)
        reader.draft.problems.append(problem)
    left_out = [one for one in kind.options if one not in names]
    if bool(left_out) == (ANYTHING_ELSE in names):
        rest = names.index(ANYTHING_ELSE) if left_out else 0
        outcome_of = {one: names.index(one) if one in names else rest for one in kind.options}
        return None if strange else ByChoice(model.choice, outcome_of)
    if left_out:
        message = f'the {item.called} has no value for {quoted(left_out)} of "{model.choice}"'
        hint = f'add it, or add "{ANYTHING_ELSE}" for all that is not listed'
    else:
        message = f'"{ANYTHING_ELSE}" collects nothing: every option is listed'
        hint = "take it out"
    if not strange:
        reader.draft.complain(item, ("values",), "missing-outcome", message, hint)
    return None


def _by_band(reader: ConditionReader, item: Item[BandsFinding]) -> ByBand | None:
    name = item.model.bands
    kind = reader.fact(item, ("bands",), name, item.id)
    if kind is None:
        return None
    if kind.unit is None:
        message = f'"bands" needs a number; "{name}" is {kind.words}'
        reader.draft.complain(item, ("bands",), "wrong-kind", message)
        return None
    bands = compile_bands(reader.draft, item, kind.unit)
    return ByBand(name, bands) if bands is not None else None


def _columns(
    draft: Draft, item: Item[FindingModel], values: Mapping[str, RatesModel]
) -> tuple[Rates, dict[str, Rates]] | None:
    """The usual rates and those of each speaking cause, one rate a value, each adding up to 1."""
    causes: dict[str, None] = {}
    for name, value in values.items():
        for cause in value.with_:
            draft.refer(item, ("values", name, "with", cause), "causes", cause)
            causes.setdefault(cause)
    usual = tuple(value.usual for value in values.values())
    first = next(iter(values))
    sound = _adds_up(draft, item, ("values", first, "usual"), "usual", usual)
    columns: dict[str, Rates] = {}
    for cause in causes:
        missing = [name for name, value in values.items() if cause not in value.with_]
        for name in missing:
            message = f'the value "{name}" has no rate for "{cause}", but other values have one'
            hint = f'add "{cause}: ..." under "with"; the rates over all values add up to 1'
            draft.complain(item, ("values", name), "missing-cause-rate", message, hint)
        if missing:
            sound = False
            continue
        columns[cause] = tuple(value.with_[cause] for value in values.values())
        loc = ("values", first, "with", cause)
        sound = _adds_up(draft, item, loc, cause, columns[cause]) and sound
    return (usual, columns) if sound else None


def _adds_up(
    draft: Draft, item: Item[FindingModel], loc: tuple[str, ...], name: str, rates: Rates
) -> bool:
    total = math.fsum(rates)
    if abs(total - 1.0) <= RATES_TOLERANCE:
        return True
    read = " + ".join(f"{rate:g}" for rate in rates)
    message = f'the rates of "{name}" over all values add up to {total:.6g}, not 1: {read}'
    draft.complain(item, loc, "rates-do-not-add-up", message)
    return False
