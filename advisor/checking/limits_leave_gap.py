"""Limits of two findings on one number that leave readings between them unspoken of.

One finding says "above 3 deg", another "below 2 deg": between 2 and 3 deg both are false, which
speaks against the causes of the one and of the other. That is seldom meant. A finding with
`bands` has no such gap.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from advisor.engine.rules import ByCondition, Finding, Within
from advisor.engine.values import Interval
from advisor.rulebook import Problem, Rulebook
from advisor.rulebook.algebra import Intervals, complement, union

from .places import Spot

CODE = "limits-leave-gap"


def check(rulebook: Rulebook) -> Iterator[Problem]:
    """Gaps between the limits of findings that compare one number and read nothing else."""
    by_fact: dict[str, list[tuple[Finding, Intervals]]] = {}
    for finding in rulebook.rules.findings:
        source = finding.source
        if isinstance(source, ByCondition) and isinstance(source.when, Within) and finding.rates:
            known = by_fact.setdefault(source.when.fact, [])
            known.append((finding, source.when.intervals))
    for fact, findings in by_fact.items():
        covered: Intervals = ()
        for _, intervals in findings:
            covered = union(covered, intervals)
        for gap in complement(covered):
            yield from _problems(rulebook, fact, findings, gap)


def _problems(
    rulebook: Rulebook, fact: str, findings: list[tuple[Finding, Intervals]], gap: Interval
) -> Iterator[Problem]:
    """The gap, at the later of the two findings on either side of it."""
    if math.isinf(gap.low) or math.isinf(gap.high) or gap.low == gap.high:
        return
    below = [one for one, intervals in findings if any(i.high == gap.low for i in intervals)]
    above = [one for one, intervals in findings if any(i.low == gap.high for i in intervals)]
    if not {one.id for one in below} & {one.id for one in above}:
        order = list(rulebook.findings)
        first, second = sorted((below[0], above[0]), key=lambda one: order.index(one.id))
        where = (rulebook.place_of("findings", first.id),)
        shown = rulebook.show_intervals(fact, (gap,))
        message = (
            f'"{second.id}" and "{first.id}" compare "{fact}", and at {shown} both are false, '
            "which speaks against the causes of both"
        )
        hint = 'let the limits meet, or make them one finding with "bands"'
        yield Spot(rulebook, "findings", second.id).problem(CODE, message, hint, where)
