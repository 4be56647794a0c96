"""Pairs of small rulebooks of which one record differs, and vehicles to compare them over."""

from __future__ import annotations

from pathlib import Path

from tests.helpers_rulebook import FILES
from tests.proof.book import LOOSE, MORE, THIN, example_text

EXAMPLES = "examples:\n" + "".join(
    [
        example_text(LOOSE, "first: flange-loose", "loose"),
        example_text(THIN, "first: rings-too-thin", "thin"),
        example_text(
            "last-work: tyres-replaced, vibrates: true, felt-in: steering-wheel",
            "first: wheel-unbalance",
            "wheel",
        ),
        example_text("layout: two-piece, vibrates: true", "first: support-worn", "support"),
        example_text("note: nothing", "too_close_to_call: true", "nothing"),
    ]
)
TEXTS = {**FILES, "more": MORE}


def book(folder: Path, *changes: tuple[str, str], examples: str = EXAMPLES) -> Path:
    """A rulebook in `folder`, each change a piece of its text and what stands there instead."""
    folder.mkdir()
    (folder / "examples").mkdir()
    (folder / "examples" / "some.yaml").write_text(examples, encoding="utf-8")
    left = list(changes)
    for name, text in TEXTS.items():
        for change in changes:
            if change in left and change[0] in text:
                text = text.replace(*change)  # noqa: PLW2901 - each change is one more edit of it
                left.remove(change)
        (folder / f"{name}.yaml").write_text(text, encoding="utf-8")
    assert not left, f"not in the rulebook: {left}"
    return folder
