"""A result held against every published limit of its quantity, each with whose it is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

from advisor import units
from advisor.computing.errors import listed, quote, refused
from advisor.computing.gauges import in_words
from advisor.computing.inputs import Input
from advisor.computing.limits import Judgement, Limit, judge
from advisor.computing.resultunits import show_u
from advisor.driveline.catalog import Function
from advisor.driveline.published_limits import (
    DIMENSION_OF,
    PUBLISHED_LIMITS,
    QUANTITIES_OF,
    PublishedLimit,
)
from advisor.engine.values import Number
from advisor.rulebook import did_you_mean

WORD: Final = "published"
RESERVE: Final = "published limits differ; the maker's service information comes first"


@dataclass(frozen=True, slots=True)
class PublishedVerdict:
    """The judgement on one published limit of a quantity."""

    quantity: str
    published: PublishedLimit
    judgement: Judgement


def asks_for_published(text: str | None) -> bool:
    """Whether the text of --limit asks for published limits instead of giving some."""
    return text is not None and text.lower().split()[:1] == [WORD]


def read_quantities(function: Function, text: str) -> tuple[str, ...]:
    """The quantities meant by "published" or "published QUANTITY". Raises ComputeError."""
    able = [name for name, dimension in DIMENSION_OF.items() if dimension == function.result]
    if not able:
        which = f"no published limit is {in_words(function.result)}"
        raise refused(function, f"--limit: {which}; write limits with units instead")
    named = text.split()[1:]
    if not named and function.name in QUANTITIES_OF:
        return QUANTITIES_OF[function.name]
    if len(named) == 1 and named[0] in able:
        return (named[0],)
    choice = f"write {quote(f'{WORD} {able[0]}')}, or {WORD} with one of {listed(able, 'or')}"
    if not named:
        reason = f"{function.name} has no quantity of its own with published limits; {choice}"
        raise refused(function, f"--limit: {reason}")
    near = did_you_mean(" ".join(named), able) or choice
    reason = f"read {quote(' '.join(text.split()))}; that is no quantity of {function.name}; {near}"
    raise refused(function, f"--limit: {reason}")


def judge_published(
    function: Function, inputs: Sequence[Input], result: Number, quantities: Sequence[str]
) -> tuple[PublishedVerdict, ...]:
    """The verdict on each published limit of the quantities."""
    return tuple(
        PublishedVerdict(
            quantity,
            limit,
            judge(function, inputs, result, Limit(WORD, limit.lower, limit.upper), None),
        )
        for quantity in quantities
        for limit in PUBLISHED_LIMITS[quantity]
    )


def published_lines(verdicts: Sequence[PublishedVerdict], unit: units.Unit) -> Iterator[str]:
    """The verdicts in sentences, numbers in `unit`."""
    quantity = None
    for one in verdicts:
        if one.quantity != quantity:
            quantity = one.quantity
            yield f"published limits of the {quantity.replace('-', ' ')}"
        decision = one.judgement.verdict.decision.replace("-", " ")
        yield f"- {bounds(one.published, unit)}, {one.published.name}: {decision}"
    first = verdicts[0].judgement
    if first.result.u > 0.0:
        guard = show_u(first.verdict.guard, unit)
        yield (
            f"guard band at each limit: {guard}, twice the standard uncertainty of the result "
            "(ISO 14253-1)"
        )
    if first.exact:
        names = listed(first.exact)
        yield f"these verdicts hold if {names} {'is' if len(first.exact) == 1 else 'are'} exact"
    yield RESERVE


def bounds(limit: PublishedLimit, unit: units.Unit) -> str:
    """The numbers of a published limit in `unit`."""
    if limit.lower is None:
        assert limit.upper is not None, f"no limit of {limit.whose}"
        return f"at most {units.show(limit.upper, unit)}"
    if limit.upper is None:
        return f"at least {units.show(limit.lower, unit)}"
    return f"{units.show(limit.lower, unit)} to {units.show(limit.upper, unit)}"


def published_data(verdicts: Sequence[PublishedVerdict], unit: units.Unit) -> list[dict[str, Any]]:
    """The verdicts as plain data, numbers in `unit`; see Outcome.as_data."""
    return [
        {
            "quantity": one.quantity,
            "lower": None if one.published.lower is None else one.published.lower / unit.factor,
            "upper": None if one.published.upper is None else one.published.upper / unit.factor,
            "unit": unit.symbol,
            "whose": one.published.whose,
            "mark": one.published.mark,
            "decision": one.judgement.verdict.decision,
            "guard": one.judgement.verdict.guard / unit.factor,
            "probability": one.judgement.verdict.probability,
        }
        for one in verdicts
    ]
