"""From words like `span="80.1 mm +/- 0.01 mm"` to the inputs of a computation."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from advisor import units
from advisor.computing.errors import listed, quote, refused
from advisor.driveline.catalog import Function, Parameter
from advisor.engine.values import UNKNOWN, Kind, Number, Value
from advisor.rulebook import AnswerError, did_you_mean
from advisor.rulebook.answers import read_answer

_PLUS_MINUS: Final = re.compile(r"\+\s*/\s*-|±")


@dataclass(frozen=True, slots=True)
class Input:
    """One input: what was typed, its value, and for a number its unit.

    `value` is in SI units. `gauge` is the id of the gauge that the uncertainty comes from.
    """

    parameter: Parameter
    typed: str
    value: Value
    unit: units.Unit | None = None
    gauge: str | None = None

    @property
    def u(self) -> float:
        """The standard uncertainty in SI units; 0 for what is exact."""
        return self.value.u if isinstance(self.value, Number) else 0.0

    @property
    def si(self) -> float | None:
        """The number in SI units; None for what is no number."""
        return self.value.value if isinstance(self.value, Number) else None


def is_number(parameter: Parameter) -> bool:
    """Whether the parameter takes a number."""
    return parameter.dimension not in ("text", "yes-no", "choice")


def is_measured(parameter: Parameter) -> bool:
    """Whether its value can carry an uncertainty; a count is exact."""
    return is_number(parameter) and parameter.dimension != "count"


def read_inputs(
    function: Function, words: Sequence[str], *, without: str | None = None
) -> tuple[Input, ...]:
    """The inputs in the order of the parameters; `without` is one that comes from elsewhere.

    Raises ComputeError with all that is wrong with the words.
    """
    parameters = {parameter.name: parameter for parameter in function.parameters}
    problems: list[str] = []
    inputs: dict[str, Input] = {}
    given = _pairs(function, words, parameters, problems)
    bare = {word.strip() for word in words if "=" not in word}
    for name, text in given.items():
        try:
            inputs[name] = read_input(parameters[name], text)
        except ValueError as error:
            problems.append(f"{name}: {error}")
    if without in given:
        problems.append(f"{without} is given twice: as an input and in --sweep; leave one out")
    missing = [
        f"{name} ({one.meaning})"
        for name, one in parameters.items()
        if not one.optional and name not in {*given, *bare, without}
    ]
    if missing:
        problems.append(f"{listed(missing)} {'is' if len(missing) == 1 else 'are'} missing")
    if problems:
        raise refused(function, *problems)
    return tuple(inputs[name] for name in parameters if name in inputs)


def _pairs(
    function: Function,
    words: Sequence[str],
    parameters: Mapping[str, Parameter],
    problems: list[str],
) -> dict[str, str]:
    given: dict[str, str] = {}
    for word in words:
        name, equals, text = word.partition("=")
        name = name.strip()
        if not equals:
            known = name if name in parameters else function.parameters[0].name
            problems.append(f'{quote(word)} has no "="; write an input as {known}="..."')
        elif name not in parameters:
            problems.append(unknown_parameter(function, name))
        elif name in given:
            problems.append(
                f"{name} is given twice, as {quote(given[name])} and as {quote(text)}; "
                f"leave one out"
            )
        else:
            given[name] = text
    return given


def unknown_parameter(function: Function, name: str) -> str:
    """The complaint about a name that is no parameter, with the nearest ones."""
    near = did_you_mean(name, [parameter.name for parameter in function.parameters])
    return f"{quote(name)} is no parameter of {function.name}{f'; {near}' if near else ''}"


def read_input(parameter: Parameter, text: str) -> Input:
    """The input that the text means. Raises ValueError with a sentence without the name."""
    if not is_number(parameter):
        word = _read_word(parameter, text)
        typed = word if isinstance(word, str) else text.strip()
        return Input(parameter, typed, word)
    value, *uncertainty = _PLUS_MINUS.split(text)
    quantity = units.parse(value, parameter.dimension)
    u = _read_uncertainty(parameter, uncertainty) if uncertainty else 0.0
    return Input(parameter, quantity.text, Number(quantity.si, u), quantity.unit)


def _read_uncertainty(parameter: Parameter, texts: Sequence[str]) -> float:
    if parameter.dimension == "count":
        raise ValueError('a count is exact; leave out what follows "+/-"')
    if len(texts) > 1:
        raise ValueError('"+/-" stands twice; write one standard uncertainty behind the value')
    try:
        quantity = units.parse(texts[0], parameter.dimension)
    except units.UnitError as error:
        raise ValueError(f'after "+/-": {error}') from error
    if quantity.si < 0.0:
        raise ValueError(f"the standard uncertainty is {quantity}; it must not be below zero")
    return quantity.si


def _read_word(parameter: Parameter, text: str) -> Value:
    what = {"yes-no": "yes or no", "choice": listed(map(quote, parameter.options or ("",)), "or")}
    wanted = what.get(parameter.dimension, parameter.meaning)
    if not text.strip():
        raise ValueError(f"nothing was written; write {wanted}")
    if not text.isprintable():
        raise ValueError(f"read {quote(text)}, which has characters that cannot be shown")
    labels = {option: option for option in parameter.options}
    try:
        value = read_answer(text, Kind(parameter.dimension), labels, None, 0.0)
    except AnswerError as error:
        if parameter.dimension == "yes-no":
            raise ValueError(f"read {quote(text)}; write yes or no") from error
        raise
    if value is UNKNOWN:
        raise ValueError(f"read {quote(text)}; what is not known cannot be computed with")
    return value


def gauge_pairs(function: Function, words: Sequence[str]) -> dict[str, str]:
    """The gauge id by parameter, from words like `span=caliper`. Raises ComputeError."""
    names = {parameter.name: parameter for parameter in function.parameters}
    pairs: dict[str, str] = {}
    problems: list[str] = []
    for word in words:
        name, equals, gauge = (part.strip() for part in word.partition("="))
        if not equals:
            example = f"--gauge {function.parameters[0].name}=caliper"
            problems.append(f'--gauge {quote(word)} has no "="; write it as {example}')
        elif name not in names:
            problems.append(f"--gauge: {unknown_parameter(function, name)}")
        elif not is_measured(names[name]):
            problems.append(f"--gauge: {name} is not measured, so it takes no gauge")
        elif name in pairs:
            problems.append(f"--gauge: {name} has two gauges; leave one out")
        else:
            pairs[name] = gauge
    if problems:
        raise refused(function, *problems)
    return pairs
