"""A result held against its limits, and what it would take to tell."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from advisor import units
from advisor.computing.errors import listed, quote, refused
from advisor.computing.gauges import in_words, read_with
from advisor.computing.inputs import Input, is_measured
from advisor.computing.resultunits import show_u
from advisor.computing.working import work_out
from advisor.driveline.catalog import Function
from advisor.driveline.verdicts import CANNOT_TELL, WITHIN, Verdict, verdict
from advisor.engine.values import Number
from advisor.report.wording import percent
from advisor.rulebook import Rulebook

_BOTH: Final = re.compile(r"(?:between\b)?(.+?)(?:\bto\b|\band\b|\.\.)(.+)", re.I)
_ABOVE: Final = re.compile(r"\s*(?:>=?|≥|above\b|over\b|more than\b|at least\b)(.*)", re.I)
_BELOW: Final = re.compile(r"\s*(?:<=?|≤|below\b|under\b|less than\b|at most\b)(.*)", re.I)
_EXAMPLES: Final = '"0 mm to 0.05 mm", "above 0.5 deg" or "below 3 deg"'


@dataclass(frozen=True, slots=True)
class Limit:
    """One or two limits of a result in SI units; a value at a limit keeps to it."""

    typed: str
    lower: float | None
    upper: float | None


@dataclass(frozen=True, slots=True)
class Better:
    """A gauge that would tell: its id, the inputs to read with it, and what it would say."""

    gauge: str
    name: str
    parameters: tuple[str, ...]
    u: float
    decision: str


@dataclass(frozen=True, slots=True)
class Judgement:
    """The verdict on a result, after ISO 14253-1.

    `exact` names the measured inputs that were taken as exact, `gauges` the gauges in use.
    """

    limit: Limit
    verdict: Verdict
    result: Number
    exact: tuple[str, ...]
    gauges: tuple[str, ...] = ()
    better: Better | None = None


def read_limit(function: Function, text: str) -> Limit:
    """The limits that the text gives, of the result's dimension. Raises ComputeError."""
    if function.result in ("choice", "yes-no"):
        reason = f"{function.name} gives {in_words(function.result)}; only a number has limits"
        raise refused(function, f"--limit: {reason}")
    lower = upper = None
    try:
        if match := _ABOVE.fullmatch(text):
            lower = units.parse(match[1], function.result).si
        elif match := _BELOW.fullmatch(text):
            upper = units.parse(match[1], function.result).si
        elif match := _BOTH.fullmatch(text.strip()):
            lower, upper = (units.parse(end.strip(), function.result).si for end in match.groups())
        else:
            raise refused(function, f"--limit: read {quote(text)}; write it like {_EXAMPLES}")
    except units.UnitError as error:
        raise refused(function, f"--limit: {error}") from error
    if lower is not None and upper is not None and lower > upper:
        reason = "limits go from the smaller to the greater"
        raise refused(function, f"--limit: read {quote(text)}; {reason}")
    return Limit(" ".join(text.split()), lower, upper)


def judge(
    function: Function,
    inputs: Sequence[Input],
    result: Number,
    limit: Limit,
    rulebook: Rulebook | None,
) -> Judgement:
    """The verdict, and when it cannot tell the finest gauge of the rulebook that would.

    Without a rulebook no gauge is in use, and none is looked for.
    """
    found = _verdict(result, limit)
    exact = tuple(
        one.parameter.name for one in inputs if is_measured(one.parameter) and one.u == 0.0
    )
    if rulebook is None:
        return Judgement(limit, found, result, exact)
    gauges = [one.gauge for one in inputs if one.gauge]
    names = tuple(rulebook.gauges[gauge].name for gauge in dict.fromkeys(gauges))
    judgement = Judgement(limit, found, result, exact, names)
    if found.decision != CANNOT_TELL:
        return judgement
    trials = _trials(function, inputs, result, limit, rulebook)
    better = min(trials, key=lambda trial: trial.u, default=None)
    return replace(judgement, better=better)


def _verdict(result: Number, limit: Limit) -> Verdict:
    return verdict(result.value, result.u, lower=limit.lower, upper=limit.upper)


def _trials(
    function: Function, inputs: Sequence[Input], result: Number, limit: Limit, rulebook: Rulebook
) -> Iterator[Better]:
    for gauge, reading in rulebook.gauge_reading.items():
        finer = {
            one.parameter.name: read_with(one, gauge, rulebook)
            for one in inputs
            if one.gauge and reading.uncertainty.get(one.parameter.dimension, one.u) < one.u
        }
        if not finer:
            continue
        again = work_out(function, [finer.get(one.parameter.name, one) for one in inputs])
        assert isinstance(again, Number), f"{function.name} gives no number"
        # The reading stays: what is asked is what a finer gauge would say of the same one.
        decision = _verdict(Number(result.value, again.u), limit).decision
        if decision != CANNOT_TELL:
            yield Better(gauge, rulebook.gauges[gauge].name, tuple(finer), again.u, decision)


def judgement_lines(judgement: Judgement, unit: units.Unit) -> Iterator[str]:
    """The judgement in sentences, numbers in `unit`."""
    found, result = judgement.verdict, judgement.result
    yield f"limit: {judgement.limit.typed}"
    yield f"verdict: {_decision(judgement)}"
    if result.u == 0.0:
        return
    yield (
        f"- guard band at each limit: {show_u(found.guard, unit)}, twice the standard "
        "uncertainty of the result (ISO 14253-1)"
    )
    if found.accept_low > found.accept_high:
        yield "- the guard bands fill the room between the limits: no reading can prove it within"
    chance = percent(found.probability)
    yield f"- probability that the true value is within, by a normal law: {chance}"
    if found.decision == CANNOT_TELL:
        yield from _what_would_tell(judgement, unit)


def _decision(judgement: Judgement) -> str:
    decision = judgement.verdict.decision
    if decision == CANNOT_TELL:
        if not judgement.gauges:
            return "cannot tell with this uncertainty"
        which = "this gauge" if len(judgement.gauges) == 1 else "these gauges"
        return f"cannot tell with {which} ({listed(judgement.gauges)})"
    word = "within the limit" if decision == WITHIN else "outside the limit"
    if judgement.result.u == 0.0:
        return f"{word}, if the inputs are exact"
    # Proved only as far as the uncertainties reach that were given.
    exact = judgement.exact
    return (
        f"{word}, if {listed(exact)} {'is' if len(exact) == 1 else 'are'} exact" if exact else word
    )


def _what_would_tell(judgement: Judgement, unit: units.Unit) -> Iterator[str]:
    found, result, better = judgement.verdict, judgement.result, judgement.better
    allowed = found.largest_u_within or found.largest_u_outside
    if allowed is None:
        yield "- the result lies at the limit itself: no uncertainty would tell"
        return
    decision = "within" if found.largest_u_within else "outside"
    yield (
        f"- a standard uncertainty of the result of at most {units.show(allowed, unit)} would "
        f"prove it {decision} at this reading; now it is {show_u(result.u, unit)}"
    )
    if better:
        yield (
            f"- with the gauge {better.gauge} ({better.name}) for {listed(better.parameters)} it "
            f"would be {show_u(better.u, unit)}: {better.decision} the limit at this reading"
        )
    elif judgement.gauges:
        yield "- no gauge of the rulebook would tell at this reading"


def judgement_data(judgement: Judgement, unit: units.Unit) -> dict[str, Any]:
    """The judgement as plain data, lengths and the like in `unit`; see Outcome.as_data."""
    found, limit, better = judgement.verdict, judgement.limit, judgement.better

    def shown(si: float | None) -> float | None:
        return None if si is None else si / unit.factor

    return {
        "limit": limit.typed,
        "lower": shown(limit.lower),
        "upper": shown(limit.upper),
        "unit": unit.symbol,
        "decision": found.decision,
        "rule": found.rule,
        "guard": shown(found.guard),
        "probability": found.probability,
        "largest_u_within": shown(found.largest_u_within),
        "largest_u_outside": shown(found.largest_u_outside),
        "better_gauge": better
        and {
            "gauge": better.gauge,
            "inputs": list(better.parameters),
            "u": shown(better.u),
            "decision": better.decision,
        },
    }
