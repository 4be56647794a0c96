"""What can keep a page from being made."""

from __future__ import annotations

from importlib.util import find_spec

LIBRARIES = ("jinja2", "matplotlib")


class PageError(Exception):
    """The page cannot be made or written; the text says why and what to do."""


def need_libraries() -> None:
    """Raises PageError when what the page is made with is not installed."""
    missing = [name for name in LIBRARIES if find_spec(name) is None]
    if missing:
        verb = "is" if len(missing) == 1 else "are"
        raise PageError(
            f"the page is made with {' and '.join(missing)}, which {verb} not installed; "
            "install the program with its report extra: pip install '.[report]'"
        )
