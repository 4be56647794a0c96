"""Small made cases, assessed. The rulebook is the small one of the tests, with a dial indicator,
a speed and a cause that not every vehicle can have."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from advisor.cases import CaseFile, Record, RulebookRef, replay
from advisor.engine.diagnosis import Diagnosis
from advisor.report import Assessment, assess, trail_text
from advisor.report.trail import trail_of as trail_view_of
from advisor.rulebook import Rulebook, load
from tests.helpers_rulebook import FINDINGS, PLACES, small_rulebook

MORE = """\
gauges:
  dial: {name: Dial indicator, step: 0.01 mm, limit: 0.01 mm, source: common practice}
questions:
  end-play:
    ask: Which end play does the dial indicator read?
    kind: number
    unit: mm
    gauge: dial
    why: It is what lets the cross shift.
    place: bench
    minutes: 6
    cautions: [ring-spring, hanging-shaft]
  worst-speed:
    ask: At which speed is it worst?
    kind: number
    unit: km/h
    why: A shaft shakes at speed.
    place: desk
    minutes: 1
  shaft-layout:
    ask: How many pieces has the shaft?
    kind: choice
    options: {one-piece: One piece, two-piece: Two pieces}
    why: Only a two-piece shaft has a centre support.
    place: desk
    minutes: 1
cautions:
  hanging-shaft: {text: Hold the shaft with a strap., source: common practice}
computed:
  ring-difference:
    name: First ring less second ring
    function: difference
    inputs: {first: ring-1, second: ring-2}
    unit: mm
findings:
  worst-at-speed:
    says: It is worst above 80 km/h
    when: {worst-speed: {above: 80 km/h}}
    usual: 0.4
    with: {wheel-unbalance: 0.7}
    why: Unbalance grows with the square of speed.
    source: judgement
  rings-differ:
    says: The rings differ
    when: {any: [{ring-difference: {above: 0.02 mm}}, {ring-difference: {below: -0.02 mm}}]}
    usual: 0.2
    with: {rings-too-thin: 0.3}
    why: Equal rings keep the cross in the middle.
    source: judgement
  thick-at-speed:
    says: It is worst at speed with a thick first ring
    when: {all: [{worst-speed: {above: 80 km/h}}, {ring-1: {above: 1.50 mm}}]}
    usual: 0.2
    with: {centre-support-worn: 0.3}
    why: A made finding with two comparisons.
    source: judgement
  wheels-hop:
    says: A wheel hops
    when: {note: {known: true}}
    usual: 0.002
    with: {wheel-unbalance: 0.003}
    why: It is seldom seen.
    source: judgement
causes:
  centre-support-worn:
    name: Centre support worn
    what: Its bearing is rough.
    commonness: 2
    applies_if: {shaft-layout: two-piece}
    remedy: {minutes: 60, steps: [Renew the support.]}
    verify: {minutes: 20, steps: [Drive it.]}
    source: judgement
"""

# both rings 1.5 mm, so the end play worked out is the span less 80 mm
STACK = {"cross-width": "77.00 mm", "ring-1": "1.500 mm", "ring-2": "1.500 mm"}
SIDE_WIND = Path(__file__).parents[2] / "cases" / "estate-drone-in-a-side-wind.yaml"


def made_rulebook(folder: Path) -> Rulebook:
    """The rulebook, written into a folder and loaded."""
    return load(small_rulebook(folder, findings=FINDINGS, places=PLACES, more=MORE))


def case_of(answers: Mapping[str, str], **about: str) -> CaseFile:
    """A case with these answers, given in this order."""
    return CaseFile(
        format=1,
        id="made",
        rulebook=RulebookRef(id="small", version="0.1.0"),
        vehicle=about.get("vehicle", "A pickup"),
        complaint=about.get("complaint", "It shakes"),
        answers=tuple(Record(question=name, answer=text) for name, text in answers.items()),
    )


def diagnosed(rulebook: Rulebook, answers: Mapping[str, str]) -> Diagnosis:
    return replay(case_of(answers), rulebook)


def assessed(rulebook: Rulebook, answers: Mapping[str, str], **about: str) -> Assessment:
    case = case_of(answers, **about)
    return assess(case, rulebook, replay(case, rulebook))


def trail_of(rulebook: Rulebook, answers: Mapping[str, str], cause: str) -> str:
    case = case_of(answers)
    return trail_text(trail_view_of(case, rulebook, replay(case, rulebook), cause))
