"""Nearest known names, for the "did you mean" under a problem."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

_QUOTES = "\u201c\u201d\u201e\u2018\u2019"
LIST_ALL_BELOW = 9  # so few allowed names are listed whole when none is near


def quoted(names: Iterable[str], joint: str = ", ") -> str:
    """The names in double quotes, joined."""
    return joint.join(f'"{name}"' for name in names)


def nearest(name: str, allowed: Iterable[str]) -> tuple[str, ...]:
    """Up to three allowed names that look like `name`, the most alike first."""
    spelled = {one.lower(): one for one in allowed}
    matches = get_close_matches(name.lower()[:200], list(spelled), n=3, cutoff=0.6)
    return tuple(spelled[match] for match in matches)


def did_you_mean(name: str, allowed: Iterable[str]) -> str:
    """A question with the nearest allowed names, else all of them when few, else nothing."""
    known = list(dict.fromkeys(allowed))
    bare = name.strip(_QUOTES)
    if bare != name and bare in known:
        return f"did you mean {quoted([bare])}, without the curly quotes?"
    matches = nearest(name, known)
    if len(matches) == 1:
        return f"did you mean {quoted(matches)}?"
    if matches:
        return f"did you mean one of {quoted(matches)}?"
    if 0 < len(known) < LIST_ALL_BELOW:
        return f"known here: {quoted(known)}"
    return ""
