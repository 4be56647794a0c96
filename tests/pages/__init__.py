"""The pages of the rulebook author's guide that are made and not written.

Made anew by: python -m tests.pages
"""

from __future__ import annotations

from pathlib import Path

from .fields import fields_page
from .problems import problems_page

FOLDER = Path(__file__).parents[2] / "rulebooks"
COMMAND = "python -m tests.pages"
HEAD = f"<!-- made by: {COMMAND} -->\n"


def pages() -> dict[str, str]:
    """The text of each page by its name."""
    return {
        "fields.md": HEAD + fields_page(),
        "problems.md": HEAD + problems_page(),
    }
