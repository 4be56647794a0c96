"""Whole numbers as people type them to choose from a list or to count."""

from __future__ import annotations

LONGEST = 9  # digits; Python refuses to read very many, and no list is so long


def whole_number(text: str, most: int) -> int | None:
    """The whole number from 1 to `most` that the text is, in digits 0 to 9; None for other text."""
    if not (text.isascii() and text.isdecimal()) or len(text) > LONGEST:
        return None
    number = int(text)
    return number if 0 < number <= most else None
