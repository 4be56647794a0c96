"""A small rulebook whose cure chooses rings, and cases and stocks for it. All numbers invented."""

from __future__ import annotations

from pathlib import Path

from advisor.rulebook import Rulebook, load
from tests.helpers_rulebook import QUESTIONS, small_rulebook

EXTRA = """\
gauges:
  micrometer: {name: Micrometer, step: 0.001 mm, limit: 0.002 mm, source: common practice}
  indicator: {name: Dial indicator, step: 0.01 mm, limit: 0.01 mm, source: common practice}
cautions:
  press:
    text: Support the fork.
    source: common practice, no source
questions:
  fork-material:
    ask: What is the fork made of?
    kind: choice
    options: {steel: Steel, aluminium: Aluminium}
    why: Aluminium takes coated rings only.
    place: bench
    minutes: 1
  play-now:
    ask: How far does the cross move now?
    kind: number
    unit: mm
    gauge: indicator
    why: It tells the room with the rings that are in.
    place: bench
    minutes: 5
  other-span:
    ask: How wide is the other yoke?
    kind: number
    unit: mm
    gauge: caliper
    why: A joint has two yokes.
  other-width:
    ask: How long is the other arm of the cross?
    kind: number
    unit: mm
    gauge: caliper
    why: A joint has two yokes.
tests:
  measure-other-axis:
    name: Measure the other axis
    place: bench
    minutes: 5
    answers: [other-span, other-width]
    cautions: [press]
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
      rings:
        axes:
          - span: yoke-span
            width: cross-width
            old_ring_1: ring-1
            old_ring_2: ring-2
            old_end_play: play-now
          - {span: other-span, width: other-width}
        material: fork-material
        limit: 0.05 mm
        largest_offset: 0.01 mm
    verify: {minutes: 20, steps: [Drive at the speed of the complaint.]}
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
_RING = "ring?\n    kind: number\n    unit: mm\n    gauge: "
FIRST_AXIS = {"yoke-span": "80.00 mm", "cross-width": "76.95 mm"}  # room 3.05 mm
OTHER_AXIS = {"other-span": "80.00 mm", "other-width": "76.99 mm"}  # room 3.01 mm
BOTH_AXES = FIRST_AXIS | OTHER_AXIS | {"fork-material": "steel"}
OLD_STACK = {"ring-1": "1.480 mm", "ring-2": "1.480 mm", "play-now": "0.09 mm"}  # room 3.05 mm


def ring_folder(tmp_path: Path) -> Path:
    """The folder of the rulebook, in which rings are measured by micrometer."""
    questions = QUESTIONS.replace(f"{_RING}caliper", f"{_RING}micrometer")
    return small_rulebook(tmp_path, questions=questions, causes=CAUSES, x_extra=EXTRA)


def ring_rulebook(tmp_path: Path) -> Rulebook:
    """The rulebook, loaded; it has no problem but questions that nothing uses."""
    return load(ring_folder(tmp_path))


def write_case(path: Path, answers: dict[str, str]) -> Path:
    """A case of this rulebook, in which the rings lead."""
    lines = "".join(f'  {question}: "{answer}"\n' for question, answer in answers.items())
    text = (
        'format: 1\nid: pickup\nrulebook: {id: small, version: "0.1.0"}\nanswers:\n'
        f"  last-work: joint-replaced\n{lines}"
    )
    path.write_text(text, encoding="utf-8")
    return path


def write_stock(path: Path, **boxes: str) -> Path:
    """A stock of these boxes, each as its fields."""
    lines = "".join(f"  {name}: {{{fields}}}\n" for name, fields in boxes.items())
    path.write_text(f"format: 1\nrings:\n{lines}", encoding="utf-8")
    return path
