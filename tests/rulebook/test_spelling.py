"""A value in a spelling that is not taken brings a hint with the one that is."""

from __future__ import annotations

from typing import Any

import pytest

from advisor.rulebook.spelling import better_spelling


@pytest.mark.parametrize(
    ("kind", "name", "value", "hint"),
    [
        ("rate_form", "usual", "30 %", "write 0.3"),
        ("rate_form", "usual", "2,5 percent", "write 0.025"),
        ("rate_form", "usual", "1 of 10", 'write "1 in 10"'),
        ("rate_form", "usual", "8/10", 'write "8 in 10"'),
        ("rate_form", "usual", "0,3", "write 0.3"),
        ("rate_range", "usual", 30, "for 30 per cent write 0.3"),
        ("rate_range", "usual", 1, ""),
        ("rate_form", "usual", "often", ""),
        ("rate_form", "usual", True, ""),
        ("float_type", "minutes", "45 min", "write 45"),
        ("float_type", "minutes", "45", "write 45, without quotes"),
        ("float_type", "commonness", "0,5", "write 0.5"),
        ("float_type", "minutes", "3 h", ""),
        ("float_type", "minutes", [3], ""),
        (
            "tuple_type",
            "steps",
            "Mend it.",
            "write it as a list: each item on a line of its own after a hyphen and a blank",
        ),
        ("tuple_type", "steps", "-Mend it.", "write a blank after the hyphen of each item"),
        ("dict_type", "when", "a = b", "write {fact: value}, or for a number {fact: {above: ...}}"),
        ("dict_type", "options", "a", ""),
    ],
)
def test_hint(kind: str, name: str, value: Any, hint: str) -> None:
    assert better_spelling(kind, name, value) == hint
