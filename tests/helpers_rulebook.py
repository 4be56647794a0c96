"""A small complete rulebook on disk, for any test that needs one."""

from __future__ import annotations

from pathlib import Path

RULEBOOK = """\
rulebook:
  format: 1
  id: small
  version: 0.1.0
  title: A small rulebook for tests
  none_of_the_listed: 0.08
  pair_factor: 0.1
  escalation_minutes: 240
  opening: [last-work]
"""

PLACES = """\
places:
  desk: {name: At the desk, minutes: 0}
  road: {name: On the road, minutes: 15, cautions: [road-test]}
  bench: {name: On the bench, minutes: 10}
cautions:
  road-test:
    text: The driver drives, an observer reads.
    source: common practice, no source
  ring-spring:
    text: A retaining ring can spring out. Wear eye protection.
    source: common practice, no source
gauges:
  caliper: {name: Digital caliper, step: 0.01 mm, limit: 0.02 mm, source: common practice}
"""

QUESTIONS = """\
questions:
  last-work:
    ask: What was the last work on the driveline?
    kind: choice
    options: {joint-replaced: A joint was replaced, tyres-replaced: Tyres, none-known: None known}
    why: Trouble that began after a piece of work most often comes from it.
    place: desk
    minutes: 0.5
  vibrates:
    ask: Does the vehicle vibrate at a steady speed?
    kind: yes-no
    why: A shake that depends on speed comes from something that turns.
    how: Drive on a level road at the speed of the complaint.
    place: road
    minutes: 5
    cautions: [road-test]
  felt-in:
    ask: Where is it felt?
    kind: choices
    options: {seat: In the seat, floor: In the floor, steering-wheel: In the steering wheel}
    ask_if: {vibrates: true}
    why: A shaft shakes the floor, a front wheel the steering wheel.
    place: road
    minutes: 1
  note:
    ask: Anything else to note?
    kind: text
    why: For the record.
    place: desk
    minutes: 1
  yoke-span:
    ask: How wide is the yoke between its ring grooves?
    kind: number
    unit: mm
    gauge: caliper
    range: [50 mm, 200 mm]
    why: The rings and the cross share this width.
  cross-width:
    ask: How long is the cross over its bearing cups?
    kind: number
    unit: mm
    gauge: caliper
    why: The rings and the cross share the yoke's width.
  ring-1:
    ask: How thick is the first ring?
    kind: number
    unit: mm
    gauge: caliper
    range: [0.5 mm, 4 mm]
    why: Too thin a ring lets the cross shift.
  ring-2:
    ask: How thick is the second ring?
    kind: number
    unit: mm
    gauge: caliper
    why: Too thin a ring lets the cross shift.
tests:
  measure-joint:
    name: Measure yoke, cross and rings
    place: bench
    minutes: 8
    answers: [yoke-span, cross-width, ring-1, ring-2]
    cautions: [ring-spring]
computed:
  end-play:
    name: End play of the cross in the yoke
    function: ring-stack-end-play
    inputs: {span: yoke-span, width: cross-width, ring_1: ring-1, ring_2: ring-2}
    unit: mm
"""

FINDINGS = """\
findings:
  began-after-joint-work:
    says: It began after a joint was replaced
    when: {last-work: joint-replaced}
    usual: 1 in 10
    with: {rings-too-thin: 8 in 10}
    why: A joint that nobody touched seldom changes overnight.
    source: judgement
  felt-in-steering-wheel:
    says: It is felt in the steering wheel
    when: {felt-in: steering-wheel}
    usual: 0.3
    with: {wheel-unbalance: 0.6}
    why: Front wheels shake the steering.
    source: judgement
  stack-end-play:
    says: End play worked out from the ring stack
    bands: end-play
    values:
      preload: {below: 0 mm, usual: 0.1, with: {rings-too-thin: 0.02}}
      good: {between: [0 mm, 0.05 mm], usual: 0.75, with: {rings-too-thin: 0.13}}
      too-much: {above: 0.05 mm, usual: 0.15, with: {rings-too-thin: 0.85}}
    source: judgement
  last-work-done:
    says: The last work on the driveline
    choice: last-work
    values:
      tyres-replaced: {usual: 0.2, with: {wheel-unbalance: 0.6}}
      anything-else: {usual: 0.8, with: {wheel-unbalance: 0.4}}
    source: judgement
"""

CAUSES = """\
causes:
  rings-too-thin:
    name: Retaining rings too thin, so that the cross can shift
    what: The cross moves to and fro in the yoke and takes the shaft off its axis.
    commonness: 3
    confirm: measure-joint
    remedy:
      minutes: 45
      steps: [Fit rings that leave the right end play.]
      cautions: [ring-spring]
      shows: [end-play]
    verify: {minutes: 20, steps: [Drive at the speed of the complaint.]}
    record: [Thickness of both rings]
    source: judgement
  wheel-unbalance:
    name: A wheel out of balance
    what: Its heavy spot pulls the axle round once a turn.
    commonness: 5
    remedy:
      minutes: 30
      steps: [Balance the wheels.]
    verify: {minutes: 20, steps: [Drive at the speed of the complaint.]}
    source: common practice, no source
"""

FILES = {
    "rulebook": RULEBOOK,
    "places": PLACES,
    "questions": QUESTIONS,
    "findings": FINDINGS,
    "causes": CAUSES,
}


def small_rulebook(tmp_path: Path, **changes: str | None) -> Path:
    """Writes the small rulebook into `tmp_path / "small"` and gives that folder.

    Each keyword names a file without ".yaml" (`_` becomes `-`): its text takes the place of the
    file's, or is a further file; None leaves the file out.
    """
    folder = tmp_path / "small"
    folder.mkdir(exist_ok=True)
    changed = {name.replace("_", "-"): text for name, text in changes.items()}
    for name, text in (FILES | changed).items():
        if text is not None:
            (folder / f"{name}.yaml").write_text(text, encoding="utf-8")
    return folder
