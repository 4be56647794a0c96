"""The table of all problem codes, for people."""

from __future__ import annotations

from advisor.rulebook import CODES, LIKELY
from advisor.rulebook.codes import WARNINGS


def code_table() -> str:
    """A line for each code, sorted: the code, error or warning, and what it means."""
    meanings = {**CODES, **LIKELY}
    width = max(map(len, meanings))
    return "\n".join(
        f"{code:<{width}}  {'warning' if code in WARNINGS else 'error':<7}  {meaning}"
        for code, meaning in sorted(meanings.items())
    )
