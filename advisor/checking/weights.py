"""How strongly findings speak for and against causes, in decibans."""

from __future__ import annotations

from advisor.engine.effects import decibans
from advisor.engine.rules import ByCondition, Finding


def weights(finding: Finding, cause: str) -> tuple[float, ...]:
    """The weight of each outcome for the cause against the usual vehicle; 0 where it is silent."""
    rates = finding.rates.get(cause, finding.usual)
    return tuple(decibans(rate / usual) for rate, usual in zip(rates, finding.usual, strict=True))


def support(finding: Finding, cause: str) -> float:
    """The greatest weight with which the finding can speak for the cause.

    Of a yes/no finding only its being true counts: that something is missing proves little.
    """
    found = weights(finding, cause)
    return found[0] if isinstance(finding.source, ByCondition) else max(found)
