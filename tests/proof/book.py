"""A small rulebook with examples on disk, for the tests of the proof."""

from __future__ import annotations

from pathlib import Path

from advisor.proof import Example, read_examples
from advisor.proof.running import Result, run_example
from advisor.rulebook import Rulebook, load
from tests.helpers_rulebook import small_rulebook

MORE = """\
cautions:
  no-driving: {text: Do not drive this vehicle., source: judgement}
questions:
  bolts-loose:
    ask: Are flange bolts loose?
    kind: yes-no
    why: A shaft can come off.
    place: desk
    minutes: 1
  bolts-missing:
    ask: Are flange bolts missing?
    kind: yes-no
    why: A shaft can come off.
    place: desk
    minutes: 1
  layout:
    ask: How many pieces has the shaft?
    kind: choice
    options: {one-piece: One piece, two-piece: Two pieces}
    why: Only a two-piece shaft has a centre support.
    place: desk
    minutes: 1
findings:
  bolts-unsafe:
    says: Flange bolts are loose or missing
    when:
      any:
        - {bolts-loose: true}
        - {bolts-missing: true}
    usual: 0.02
    with: {flange-loose: 0.9}
    why: What is loose moves.
    source: judgement
    stop_driving: no-driving
  boom-of-support:
    says: It vibrates and the shaft has two pieces
    when: {vibrates: true, layout: two-piece}
    usual: 0.1
    with: {support-worn: 0.8}
    why: A worn support lets the shaft shake.
    source: judgement
causes:
  flange-loose:
    name: A loose flange
    what: It moves.
    commonness: 1
    remedy: {minutes: 10, steps: [Tighten it.]}
    verify: {minutes: 5, steps: [Look again.]}
    source: judgement
  support-worn:
    name: A worn centre support
    what: It gives way.
    commonness: 1
    applies_if: {layout: two-piece}
    remedy: {minutes: 60, steps: [Replace it.]}
    verify: {minutes: 20, steps: [Drive it.]}
    source: judgement
"""

LOOSE = "bolts-loose: true"
THIN = (
    'last-work: "joint-replaced", yoke-span: "80.1 mm", cross-width: "76.98 mm", '
    'ring-1: "1.5 mm", ring-2: "59.1 thou"'
)


def folder_of(tmp_path: Path) -> Path:
    """A rulebook folder with four causes and no examples yet."""
    return small_rulebook(tmp_path, more=MORE)


def write_examples(folder: Path, text: str, name: str = "some") -> Path:
    """Write one file of examples into the rulebook folder; gives the folder of examples."""
    examples = folder / "examples"
    examples.mkdir(exist_ok=True)
    (examples / f"{name}.yaml").write_text(text, encoding="utf-8")
    return examples


def example_text(answers: str, expect: str, name: str = "van", more: str = "") -> str:
    """One example, as it stands under `examples:`; `expect` is on its line 5."""
    return (
        f"  {name}:\n    says: A van\n    answers: {{{answers}}}\n{more}    expect: {{{expect}}}\n"
    )


def read(folder: Path, *texts: str) -> tuple[Rulebook, tuple[Example, ...]]:
    """The rulebook, and these examples read with it."""
    rulebook = load(folder)
    return rulebook, read_examples(write_examples(folder, "examples:\n" + "".join(texts)), rulebook)


def run(folder: Path, *texts: str) -> tuple[Rulebook, list[Result]]:
    """The rulebook, and the results of these examples."""
    rulebook, examples = read(folder, *texts)
    return rulebook, [run_example(rulebook, example) for example in examples]
