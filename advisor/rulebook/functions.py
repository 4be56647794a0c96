"""Lets the engine call the functions of the driveline package, with uncertainty carried through."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from functools import partial
from typing import Any

from advisor.driveline.catalog import FUNCTIONS, Function, Parameter
from advisor.driveline.uncertainty import propagate
from advisor.engine.rules import ComputationError, ComputedFact
from advisor.engine.values import Kind, Number, Value

from .conditions import ConditionReader
from .draft import Draft, Item
from .facts import FactType, with_article
from .models import ComputedModel
from .names import did_you_mean, quoted


def compile_computed(reader: ConditionReader, item: Item[ComputedModel]) -> ComputedFact | None:
    """The computed fact for the engine, or None when a part of it is faulty."""
    function = FUNCTIONS.get(item.model.function)
    result = reader.types.get(item.id)
    if function is None:
        return None
    sound = _inputs_fit(reader, item, function)
    if not sound or result is None:
        return None
    names = {parameter.name for parameter in function.parameters if parameter.optional}
    return ComputedFact(
        id=item.id,
        kind=result.kind,
        inputs=dict(item.model.inputs),
        compute=partial(compute, function),
        optional=frozenset(names & set(item.model.inputs)),
    )


def _inputs_fit(reader: ConditionReader, item: Item[ComputedModel], function: Function) -> bool:
    parameters = {parameter.name: parameter for parameter in function.parameters}
    sound = True
    for name, fact in item.model.inputs.items():
        kind = reader.fact(item, ("inputs", name), fact, item.id)
        if name not in parameters:
            message = f'the function "{function.name}" has no parameter "{name}"'
            _complain_at_key(reader.draft, item, name, message, did_you_mean(name, parameters))
            sound = False
        elif kind is None or not _fits(reader.draft, item, parameters[name], kind):
            sound = False
    needed = [one.name for one in function.parameters if not one.optional]
    missing = [name for name in needed if name not in item.model.inputs]
    if missing:
        message = f'the function "{function.name}" also needs {quoted(missing)}'
        hint = f"{quoted(missing[:1])} means: {parameters[missing[0]].meaning}"
        reader.draft.complain(item, ("inputs",), "missing-parameter", message, hint)
    return sound and not missing


def _complain_at_key(
    draft: Draft, item: Item[ComputedModel], name: str, message: str, hint: str
) -> None:
    mark = item.document.position_of((*item.loc, "inputs", name), key=True)
    draft.problems.append(item.document.problem(mark, "unknown-parameter", message, hint))


def _fits(draft: Draft, item: Item[ComputedModel], parameter: Parameter, kind: FactType) -> bool:
    """Whether the fact is what the parameter wants; if not, that is noted."""
    fact = item.model.inputs[parameter.name]
    wanted = parameter.dimension
    if wanted in ("text", "yes-no", "choice"):
        fits = kind.kind is Kind(wanted)
    else:
        fits = kind.unit is not None and kind.unit.dimension == wanted
    loc = ("inputs", parameter.name)
    if not fits:
        message = f'"{parameter.name}" must be {_words(wanted)}, but "{fact}" is {kind.words}'
        draft.complain(item, loc, "wrong-dimension", message, f"it means: {parameter.meaning}")
        return False
    strange = [one for one in kind.options if parameter.options and one not in parameter.options]
    if strange:
        message = f'"{fact}" has the option {quoted(strange[:1])}, which the function cannot take'
        draft.complain(
            item, loc, "unknown-option", message, f"it takes {quoted(parameter.options)}"
        )
    return not strange


def _words(dimension: str) -> str:
    words = {"text": "text", "yes-no": "a yes or no", "choice": "one of several options"}
    return words.get(dimension) or f"{with_article(dimension)} (a number)"


def compute(function: Function, inputs: Mapping[str, Value]) -> Value:
    """The function's value for these inputs, a number with the uncertainty of the numbers put in.

    Raises ComputationError, with the function's own sentence, when there is no value for them.
    """
    values = {name: one.value for name, one in inputs.items() if isinstance(one, Number)}
    u = {name: one.u for name, one in inputs.items() if isinstance(one, Number) and one.u > 0.0}
    others = {name: one for name, one in inputs.items() if not isinstance(one, Number)}
    call: Callable[..., Any] = partial(function.call, **others) if others else function.call
    try:
        if function.result in ("choice", "yes-no"):
            result: bool | str = call(**values)
            return result
        value, value_u = propagate(call, values, u)
    except ValueError as error:
        raise ComputationError(str(error)) from error
    except ArithmeticError as error:
        reason = "these numbers give no sensible result; check what was measured"
        raise ComputationError(reason) from error
    if not math.isfinite(value) or not math.isfinite(value_u):
        raise ComputationError("these numbers give no finite result; check what was measured")
    return Number(float(value), float(value_u))
