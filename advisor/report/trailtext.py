"""The trail of one cause as an indented text: cause, finding, condition, fact, answer."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.report.trail import ConditionView, FactView, TrailView
from advisor.report.wording import decibans, named, percent

INDENT = "   "


def trail_text(trail: TrailView) -> str:
    """Why a cause stands where it does: its decibans from the prior to the posterior."""
    return "\n".join(_lines(trail))


def _lines(trail: TrailView) -> Iterator[str]:
    yield f"WHY {trail.name}"
    if trail.applies is not None:
        yield f"{INDENT}can exist on this vehicle: {_truth(trail.applies.truth)}"
        yield from _condition(trail.applies, 2)
    if trail.prior_decibans is None or trail.posterior_decibans is None:
        yield f"{INDENT}it cannot exist on this vehicle, so no evidence is weighed"
        return
    yield f"{INDENT}{decibans(trail.prior_decibans)}: how common it is (the author's judgement)"
    for one in trail.findings:
        yield f"{INDENT}{decibans(one.decibans)}: {one.says}: {one.outcome} [{one.finding}]"
        if one.why:
            yield f"{INDENT * 2}because: {one.why}"
        yield f"{INDENT * 2}source: {one.source}"
        if one.condition is not None:
            yield from _condition(one.condition, 2)
        if one.fact is not None:
            yield from _fact(one.fact, 2)
    odds = 10.0 ** (trail.posterior_decibans / 10.0)
    yield (
        f"{INDENT}{decibans(trail.posterior_decibans)} in all: odds {odds:.2g} to 1, "
        f"probability {percent(trail.probability)}"
    )
    yield from (f"{INDENT}{line}" for line in trail.to_lead)


def _condition(view: ConditionView, depth: int) -> Iterator[str]:
    yield f"{INDENT * depth}{view.says} {_truth(view.truth)}"
    for item in view.items:
        yield from _condition(item, depth + 1)
    for fact in view.facts:
        yield from _fact(fact, depth + 1)


def _fact(view: FactView, depth: int) -> Iterator[str]:
    yield f"{INDENT * depth}{named(view.name, view.value)} ({view.origin})"
    for item in view.inputs:
        yield from _fact(item, depth + 1)


def _truth(truth: float | None) -> str:
    if truth is None:
        return "not known"
    if truth in (0.0, 1.0):
        return "yes" if truth else "no"
    return f"too close to call, {percent(truth)}"
