"""Names that are nearly right bring those that are meant."""

from __future__ import annotations

import pytest

from advisor.rulebook.names import did_you_mean, nearest

WORK = ("joint-replaced", "tyres-replaced", "none-known")


@pytest.mark.parametrize(
    ("name", "allowed", "hint"),
    [
        ("none-know", WORK, 'did you mean "none-known"?'),
        ("NONE-KNOWN", WORK, 'did you mean "none-known"?'),
        ("tyre-replaced", WORK, 'did you mean one of "tyres-replaced", "joint-replaced"?'),
        ("“none-known”", WORK, 'did you mean "none-known", without the curly quotes?'),
        ("oil", WORK, 'known here: "joint-replaced", "tyres-replaced", "none-known"'),
        ("oil", [f"number-{n}" for n in range(40)], ""),
        ("oil", (), ""),
    ],
)
def test_hint(name: str, allowed: tuple[str, ...], hint: str) -> None:
    assert did_you_mean(name, allowed) == hint


def test_no_more_than_three_names_are_near_the_most_alike_first() -> None:
    assert nearest("ring-1", ["ring-10", "ring-11", "ring-1", "ring-12"])[0] == "ring-1"
    assert len(nearest("ring-1", ["ring-10", "ring-11", "ring-1", "ring-12"])) == 3
