"""Rates that speak less, more, not at all or the other way round for one cause."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from advisor.engine.effects import DECIBANS_PER_NEPER, Weights, pair_rates
from advisor.engine.rules import Finding

MOVED_DECIBANS = 3.0  # twice the odds, or half of them
LEAST_SPAN = 1e-6  # decibans; rates nearer to the usual ones say nothing that could be changed


def changed_rates(usual: Weights, rates: Weights) -> Iterator[tuple[str, Weights]]:
    """Each kind of change of a cause's rates, and the rates after it."""
    logs = [math.log(rate / one) for rate, one in zip(rates, usual, strict=True)]
    span = (max(logs) - min(logs)) * DECIBANS_PER_NEPER
    if span < LEAST_SPAN:
        return
    if span > MOVED_DECIBANS:
        yield "rate-towards-usual", _tilted(usual, logs, 1.0 - MOVED_DECIBANS / span)
    yield "rate-away-from-usual", _tilted(usual, logs, 1.0 + MOVED_DECIBANS / span)
    yield "rate-mirrored", _tilted(usual, logs, -1.0)
    yield "rate-removed", usual


def _tilted(usual: Weights, logs: list[float], strength: float) -> Weights:
    """Rates that differ from the usual ones `strength` times as much, in their logarithms."""
    masses = [one * math.exp(strength * log) for one, log in zip(usual, logs, strict=True)]
    whole = math.fsum(masses)
    return tuple(mass / whole for mass in masses)


def likelihood(weights: Weights, rates: Weights) -> float:
    """How likely a finding's outcome is, when its outcomes have these weights."""
    return math.fsum(weight * rate for weight, rate in zip(weights, rates, strict=True))


def spread(finding: Finding, weights: Weights) -> float:
    """How far the outcome drives causes apart, in nepers, as `Effect.spread` has it."""
    usual = likelihood(weights, finding.usual)
    logs = [math.log(likelihood(weights, rates) / usual) for rates in finding.rates.values()]
    return max([0.0, *logs]) - min([0.0, *logs])


@dataclass(frozen=True, slots=True)
class Ratios:
    """By what the mass of each hypothesis with one cause changes, when its rates change.

    `alone`: the cause by itself; `silent`: beside a cause of which the finding says nothing;
    `beside`: beside each other cause of which it speaks, by id.
    """

    alone: float
    silent: float
    beside: tuple[tuple[str, float], ...]

    @property
    def furthest(self) -> float:
        """The greatest change of all, as a part of the mass that there was."""
        every = (self.alone, self.silent, *(ratio for _, ratio in self.beside))
        return max(max(every) - 1.0, 1.0 - min(every))


def ratios(finding: Finding, cause: str, rates: Weights, weights: Weights) -> Ratios:
    """The changes when the finding's rates for the cause become `rates`."""
    before = finding.rates[cause]

    def ratio(other: Weights) -> float:
        now = likelihood(weights, pair_rates(finding, rates, other))
        return now / likelihood(weights, pair_rates(finding, before, other))

    return Ratios(
        likelihood(weights, rates) / likelihood(weights, before),
        ratio(finding.usual),
        tuple((one, ratio(other)) for one, other in finding.rates.items() if one != cause),
    )
