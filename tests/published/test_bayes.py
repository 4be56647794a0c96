"""Published values of weighing evidence (BAY), by the functions of the engine.

Expected values, tolerances, sources and marks stand in check_values.yaml, entry by entry.
"""

from __future__ import annotations

import math
from fractions import Fraction
from itertools import product
from typing import Final

import pytest

from advisor.engine.effects import decibans, noisy_or
from advisor.engine.hypotheses import information
from tests import helpers
from tests.published.values import Computations, Inputs, assert_reproduced, ids_of, parameters

ELSEWHERE: Final = {"BAY-12", "BAY-13", "BAY-14", "BAY-15"}
"""Scores of forecasts: no concern of the engine."""

BITS_PER_NAT: Final = 1.0 / math.log(2.0)


def _probability(prior: float, rate: float, usual: float) -> float:
    """Probability of the only cause once its finding is true."""
    book = helpers.rules(
        findings=[helpers.finding("f", {"a": rate}, usual=usual)],
        causes=["a"],
        none_share=1.0 - prior,
    )
    return helpers.diagnosis(book, {"q-f": True}).ranking().causes[0].probability


def _jaynes(inputs: Inputs) -> list[float]:
    bad, usual = float(Fraction(inputs["p1"])), float(Fraction(inputs["p2"]))
    return [decibans(bad / usual), decibans((1.0 - bad) / (1.0 - usual))]


def _without_leak(inhibitors: list[float]) -> float:
    """Noisy-OR of causes with these inhibitors, two at a time."""
    rate = 0.0
    for inhibitor in inhibitors:
        rate = noisy_or(0.0, rate, 1.0 - inhibitor)
    return rate


def _by_enumeration(strengths: list[float]) -> float:
    """Probability that at least one of several independent latent causes acts."""
    whole = 0.0
    for acts in product([True, False], repeat=len(strengths)):
        if any(acts):
            pairs = zip(acts, strengths, strict=True)
            whole += math.prod(share if on else 1.0 - share for on, share in pairs)
    return whole


def _with_leak(inputs: Inputs) -> float:
    """The handbook's strengths are of the causes alone; the engine's rates, as counted on real
    vehicles, already contain what the leak does: 1 - (1 - leak)(1 - strength)."""
    leak = inputs["leak"]
    first, second = (1.0 - (1.0 - leak) * (1.0 - strength) for strength in inputs["p"])
    return noisy_or(leak, first, second)


def _entropy(inputs: Inputs) -> float:
    """What a test tells that gives each hypothesis away."""
    prior = inputs["prior"]
    telling = [[float(i == k) for i in range(len(prior))] for k in range(len(prior))]
    return information(prior, telling) * BITS_PER_NAT


def _gain(prior: list[float], yes: list[float]) -> float:
    return information(prior, [yes, [1.0 - rate for rate in yes]]) * BITS_PER_NAT


def _posterior(inputs: Inputs) -> list[float]:
    names = ["a", "b", "c"]
    book = helpers.rules(
        findings=[helpers.finding("f", dict(zip(names, inputs["p_yes"], strict=True)))],
        causes=[
            helpers.cause(name, commonness=share)
            for name, share in zip(names, inputs["prior"], strict=True)
        ],
        none_share=0.0,
        pair_factor=0.0,
    )
    return helpers.diagnosis(book, {"q-f": True}).belief().single


def _gains(inputs: Inputs) -> list[float]:
    """BAY-11 compares its test with that of BAY-09, in gain and in gain per minute."""
    first = _gain(inputs["prior"], [0.9, 0.2, 0.1])
    second = _gain(inputs["prior"], inputs["p_yes"])
    quick, slow = inputs["minutes"]
    return [second, first / quick, second / slow]


def _perfect_information(inputs: Inputs) -> float:
    """What the planner says a perfect test without cost saves.

    Handing on costs what a needless repair does and a missed one on top, so that handing on a
    vehicle with the fault loses `c_missed` and repairing one without it loses `c_needless`.
    """
    never = 1e-13
    book = helpers.rules(
        findings=[helpers.finding("f", {"a": 1.0 - never}, usual=never)],
        causes=[
            helpers.cause("a", repair_minutes=inputs["c_needless"], verify_minutes=0.0),
        ],
        tests=[helpers.work("look", ["q-f"], minutes=0.0)],
        none_share=1.0 - inputs["p"],
        escalation_minutes=inputs["c_needless"] + inputs["c_missed"],
    )
    return helpers.diagnosis(book).plan(at="desk").options[0].saves


COMPUTED: Final[Computations] = {
    "BAY-01": lambda i: _probability(i["prior"], 0.04 * i["LR"], 0.04),
    "BAY-02": lambda i: decibans(i["LR"]),
    "BAY-03": lambda i: [decibans(ratio) for ratio in i["LR"]],
    "BAY-04": _jaynes,
    "BAY-05": lambda i: _probability(i["prev"], i["sens"], i["fpr"]),
    "BAY-06": lambda i: [_without_leak(inhibitors) for inhibitors in i["q"]],
    "BAY-07": _with_leak,
    "BAY-08": _entropy,
    "BAY-09": lambda i: _gain(i["prior"], i["p_yes"]),
    "BAY-10": _posterior,
    "BAY-11": _gains,
    "BAY-16": _perfect_information,
}

ENUMERATED: Final[Computations] = {
    "BAY-06": lambda i: [_by_enumeration([1.0 - q for q in row]) for row in i["q"]],
    "BAY-07": lambda i: _by_enumeration([i["leak"], *i["p"]]),
}
"""The same by plain enumeration of the latent causes."""


@pytest.mark.parametrize(
    "name", [one for one in parameters("BAY") if one.values[0] not in ELSEWHERE]
)
def test_published_value_is_reproduced(name: str) -> None:
    assert_reproduced(name, COMPUTED)


@pytest.mark.parametrize("name", ENUMERATED)
def test_published_value_is_reproduced_by_enumeration(name: str) -> None:
    assert_reproduced(name, ENUMERATED)


def test_no_published_value_is_forgotten() -> None:
    assert set(ids_of("BAY")) == COMPUTED.keys() | ELSEWHERE
