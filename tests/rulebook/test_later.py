"""A rulebook read by the ids of a later version of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.cases import open_case
from advisor.rulebook import Rulebook, load
from tests.helpers_rulebook import FILES, small_rulebook

SECOND_SPRING = "cautions:\n  steel-spring: {text: It springs., source: judgement}\n"


def folder(path: Path, retired: str = "", **changes: str) -> Path:
    path.mkdir()
    old = f"retired:\n{retired}" if retired else None
    return small_rulebook(path, **changes, old=old)


def renamed(section: str, **new_of: str) -> str:
    records = ", ".join(
        f"{old.replace('_', '-')}: {{replaced_by: {new}, retired_in: 0.2.0, reason: renamed}}"
        for old, new in new_of.items()
    )
    return f"  {section}: {{{records}}}\n"


@pytest.fixture
def by_later(tmp_path: Path) -> Rulebook:
    """The older one calls the fact by its second name, and retired its first one."""
    files = {name: text.replace("vibrates", "shakes") for name, text in FILES.items()}
    old = folder(tmp_path / "old", renamed("questions", trembles="shakes"), **files)
    later = load(folder(tmp_path / "later", renamed("questions", shakes="vibrates")))
    return load(old, later=later)


def test_records_and_what_refers_to_them_have_the_later_id(by_later: Rulebook) -> None:
    asked = {question.id for question in by_later.rules.questions}
    assert "vibrates" in asked
    assert "shakes" not in asked
    assert by_later.warnings == ()
    assert by_later.place_of("questions", "vibrates").line > 1


@pytest.mark.parametrize("name", ["trembles", "shakes", "vibrates"])
def test_case_of_any_time_is_read(by_later: Rulebook, tmp_path: Path, name: str) -> None:
    path = tmp_path / "van.yaml"
    head = "format: 1\nid: van\nrulebook: {id: small, version: 0.1.0}\n"
    path.write_text(f"{head}answers: {{{name}: true}}\n", encoding="utf-8")
    assert open_case(path, by_later).case.latest() == {"vibrates": "yes"}


def test_records_that_became_one_keep_their_ids(tmp_path: Path) -> None:
    files = {name: text.replace("ring-spring", "iron-spring") for name, text in FILES.items()}
    old = folder(tmp_path / "old", **files, more=SECOND_SPRING)
    both = renamed("cautions", iron_spring="ring-spring", steel_spring="ring-spring")
    found = load(old, later=load(folder(tmp_path / "later", both)))
    assert {"iron-spring", "steel-spring"} <= set(found.cautions)
    assert "ring-spring" not in found.cautions


def test_record_that_became_part_of_one_beside_it_keeps_its_id(tmp_path: Path) -> None:
    old = folder(tmp_path / "old", more=SECOND_SPRING)
    later = load(folder(tmp_path / "later", renamed("cautions", steel_spring="ring-spring")))
    assert {"ring-spring", "steel-spring"} <= set(load(old, later=later).cautions)
