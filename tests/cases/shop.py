"""A small invented rulebook, for the tests of cases and of the interview. Its rates are made up."""

from __future__ import annotations

from pathlib import Path

SHOP_YAML = """\
rulebook:
  format: 1
  id: shop
  version: 1.0.0
  title: Three causes of a shudder
  none_of_the_listed: 0.1
  pair_factor: 0.1
  escalation_minutes: 240
  opening: [basics, began-after-work]
places:
  desk: {name: At the desk, minutes: 0}
  road: {name: On the road, minutes: 15, cautions: [road-test]}
  bench: {name: At the bench, minutes: 2}
cautions:
  road-test: {text: Check for loose parts before driving., source: "common practice, no source"}
  spring: {text: Wear eye protection., source: "common practice, no source"}
  no-driving: {text: Do not drive this vehicle., source: "common practice, no source"}
questions:
  layout:
    ask: How many pieces has the shaft?
    customer: Do you know how many pieces the shaft has?
    kind: choice
    options: {one-piece: One piece, two-piece: Two pieces}
    why: Only a two-piece shaft has a centre support.
  support-torn:
    ask: Is the rubber of the centre support torn?
    kind: yes-no
    ask_if: {layout: two-piece}
    why: A torn support lets the shaft move.
    how: Look from below.
  noises:
    ask: Which noises are heard?
    kind: choices
    options: {clunk: A clunk, boom: A boom, squeak: A squeak}
    why: Each cause has its noises.
  history:
    ask: What was done to it lately?
    kind: text
    why: The last work is often the cause.
  began-after-work:
    ask: Did it begin after joint work?
    kind: yes-no
    place: desk
    minutes: 0.5
    why: Work that went wrong begins at once.
  bolts-loose:
    ask: Are flange bolts loose?
    kind: yes-no
    place: desk
    minutes: 6
    why: A shaft can come off.
  play:
    ask: What is the end play of the cross?
    kind: number
    unit: mm
    gauge: caliper
    range: [0 mm, 2 mm]
    why: Too much lets the cross shift.
    how: Push the cross to and fro.
  shudder-in-neutral:
    ask: Does it shudder in neutral as well?
    kind: yes-no
    place: road
    minutes: 5
    why: Unbalance does not mind the load.
tests:
  basics:
    name: Ask about the vehicle
    place: desk
    minutes: 3
    answers: [layout, support-torn, noises, history]
  measure-play:
    name: Measure the end play
    place: bench
    minutes: 4
    answers: [play]
    cautions: [spring]
gauges:
  caliper: {name: Digital caliper, step: 0.01 mm, limit: 0.02 mm, source: "common practice"}
findings:
  too-much-play:
    says: The cross has too much end play
    when: {play: {above: 0.2 mm}}
    usual: 0.05
    with: {loose-joint: 0.9}
    why: A loose cross can be felt.
    source: judgement
  shudders-in-neutral:
    says: It shudders in neutral as well
    when: {shudder-in-neutral: true}
    usual: 0.3
    with: {unbalance: 0.95, loose-joint: 0.05}
    why: Unbalance is there without load.
    source: judgement
  support-is-torn:
    says: The centre support is torn
    when: {support-torn: true}
    usual: 0.05
    with: {bad-support: 0.9}
    why: It can be seen.
    source: judgement
  after-work:
    says: It began after joint work
    when: {began-after-work: true}
    usual: 0.1
    with: {loose-joint: 0.8}
    why: Joint work goes wrong at once.
    source: judgement
  bolts:
    says: Flange bolts are loose
    when: {bolts-loose: true}
    usual: 0.02
    with: {unbalance: 0.4}
    why: A loose flange runs out.
    source: judgement
    stop_driving: no-driving
  cross-comes-out:
    says: The cross can come out of its fork
    when: {play: {above: 1.5 mm}}
    usual: 0.01
    with: {loose-joint: 0.02}
    why: So much play leaves the cross without hold.
    source: judgement
    stop_driving: no-driving
  clunks:
    says: A clunk is heard
    when: {all: [{noises: clunk}, {history: {known: true}}]}
    usual: 0.2
    with: {loose-joint: 0.7}
    why: Play is heard.
    source: judgement
causes:
  loose-joint:
    name: Cross loose in its fork
    what: The rings are too thin.
    commonness: 3
    remedy: {minutes: 45, steps: [Fit thicker rings]}
    verify: {minutes: 20, steps: [Measure again]}
    source: judgement
  bad-support:
    name: Centre support worn
    what: The rubber gives way.
    commonness: 1
    applies_if: {layout: two-piece}
    remedy: {minutes: 90, steps: [Replace the support]}
    verify: {minutes: 20, steps: [Drive it]}
    source: judgement
  unbalance:
    name: Shaft out of balance
    what: A weight is lost.
    commonness: 3
    remedy: {minutes: 120, steps: [Balance the shaft]}
    verify: {minutes: 20, steps: [Drive it]}
    source: judgement
"""


def write_shop(folder: Path) -> Path:
    """The folder of the rulebook, written into `folder`."""
    rulebook = folder / "shop"
    rulebook.mkdir()
    (rulebook / "shop.yaml").write_text(SHOP_YAML, encoding="utf-8")
    return rulebook


CASE_HEAD = """\
format: 1
id: van
rulebook: {id: shop, version: "1.0.0"}
vehicle: A van
complaint: It shudders
"""
