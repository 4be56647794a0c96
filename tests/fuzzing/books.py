"""What inputs by chance are read with: rulebooks, each loaded once, and a case."""

from __future__ import annotations

import atexit
import tempfile
from functools import cache
from pathlib import Path

from advisor.rulebook import Rulebook, load, shipped
from tests.cases.shop import CASE_HEAD
from tests.life.book import write_book

RETIRED = """\
retired:
  questions:
    end-play: {replaced_by: play, retired_in: "1.0.0", reason: The name was too long.}
  causes:
    cross-loose: {replaced_by: loose-joint, retired_in: "1.0.0", reason: It was renamed.}
    rust: {retired_in: "1.0.0", reason: Nobody ever confirmed it.}
  findings:
    clunk-heard: {replaced_by: clunks, retired_in: "1.0.0", reason: It was renamed.}
"""
OPEN_CASE = f"""\
{CASE_HEAD}answers:
  - {{question: layout, answer: "two-piece", at: "2024-05-01T09:30:00Z", by: technician}}
  - {{question: play, answer: "0.4 mm"}}
  - {{question: bolts-loose, answer: "yes"}}
  - {{question: bolts-loose, taken_back: true}}
"""


@cache
def shipped_book() -> Rulebook:
    """The shipped rulebook."""
    return load(shipped())


@cache
def shop() -> Rulebook:
    """A small rulebook with concerns, a proof of the cure, and retired ids."""
    return load(shop_folder())


@cache
def shop_folder() -> Path:
    """Where it lies."""
    folder = write_book(lasting_folder())
    (folder / "retired.yaml").write_text(RETIRED, encoding="utf-8")
    return folder


def lasting_folder() -> Path:
    """A new folder that is deleted when the program ends."""
    folder = tempfile.TemporaryDirectory()
    atexit.register(folder.cleanup)
    return Path(folder.name)
