"""Every problem code: what it means, the YAML that brings it, what is said, and the YAML mended."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

from advisor.checking import examine
from advisor.rulebook import CODES, LIKELY
from advisor.rulebook.codes import WARNINGS
from tests.checking.examples import EXAMPLES as LIKELY_EXAMPLES
from tests.helpers_rulebook import small_rulebook
from tests.rulebook.examples import EXAMPLES, Example

from .reasons import REASONS

FILE = "your-rules.yaml"  # after the other files, so that a clash is told here
INTRO = """\
# Problems and what to do

Each message of `advisor check` names a code, such as `error[unknown-cause]`.
Here stands for each code what it means, a file that brings it, what is said, the same file mended, and why it is asked for.
An error stops the rulebook from loading; a warning does not.
Each file below is one more file of a small rulebook of two causes, which the program's tests use.
`advisor check --codes` lists the codes.

"""


def problems_page() -> str:
    """The page as Markdown."""
    examples = {one.code: one for one in (*EXAMPLES, *LIKELY_EXAMPLES)}
    lines = [INTRO + "## When a rulebook is loaded", ""]
    for code in CODES:
        lines += _section(code, CODES[code], examples.get(code))
    lines += ["## What is likely wrong", ""]
    for code in LIKELY:
        lines += _section(code, LIKELY[code], examples.get(code))
    return "\n".join(lines)


def _section(code: str, meaning: str, example: Example | None) -> Iterator[str]:
    severity = "warning" if code in WARNINGS else "error"
    yield f"### {code}\n"
    yield f"{severity.capitalize()}: {meaning}.\n"
    if example is not None:
        yield f"Wrong:\n\n```yaml\n{_shown(example.bad)}```\n"
        yield f"Said:\n\n```text\n{_said(example)}\n```\n"
        yield f"Right:\n\n```yaml\n{_shown(example.good)}```\n"
    yield f"Why: {REASONS[code]}\n"


def _shown(text: str) -> str:
    """The text with what nobody sees made visible; tabs stay."""
    visible = text.replace("\u0007", "\\a")
    return visible if visible.endswith("\n") else f"{visible}\n"


def _said(example: Example) -> str:
    with tempfile.TemporaryDirectory() as place:
        folder = small_rulebook(Path(place), **{FILE.removesuffix(".yaml"): example.bad})
        found = [one for one in examine(folder).problems if one.code == example.code]
        mine = [one for one in found if Path(one.path).name == FILE]
        return _shown(str(mine[0])).replace(f"{folder.as_posix()}/", "").rstrip("\n")
