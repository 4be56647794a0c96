"""A loaded rulebook still knows where its records, and the parts of them, stand."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.rulebook import load
from tests.helpers_rulebook import small_rulebook


@pytest.mark.parametrize(
    ("section", "name", "steps", "file", "line", "column"),
    [
        ("findings", "began-after-joint-work", (), "findings.yaml", 2, 3),
        ("findings", "began-after-joint-work", ("when", "last-work"), "findings.yaml", 4, 12),
        ("causes", "wheel-unbalance", (), "causes.yaml", 15, 3),
        ("causes", "rings-too-thin", ("record", 0), "causes.yaml", 13, 14),
        ("questions", "vibrates", ("ask",), "questions.yaml", 10, 5),
    ],
)
def test_place_is_that_of_the_key_or_list_item(
    tmp_path: Path,
    *,
    section: str,
    name: str,
    steps: tuple[str | int, ...],
    file: str,
    line: int,
    column: int,
) -> None:
    place = load(small_rulebook(tmp_path)).place_of(section, name, *steps)
    assert (Path(place.path).name, place.line, place.column) == (file, line, column)
    assert place.message.endswith(f'"{name}"')


def test_unknown_record_is_a_key_error(tmp_path: Path) -> None:
    with pytest.raises(KeyError):
        load(small_rulebook(tmp_path)).place_of("causes", "nothing")
