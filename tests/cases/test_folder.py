"""Which files of a folder are cases."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.cases.folder import case_paths


def test_cases_are_the_visible_yaml_files_of_the_folder_itself_by_name(tmp_path: Path) -> None:
    for name in ("b.yaml", "a.yaml", ".hidden.yaml", "notes.txt", "c.yml"):
        (tmp_path / name).touch()
    (tmp_path / "stock").mkdir()
    (tmp_path / "stock" / "rings.yaml").touch()
    assert [path.name for path in case_paths(tmp_path)] == ["a.yaml", "b.yaml"]


def test_a_missing_folder_is_told_by_name(tmp_path: Path) -> None:
    with pytest.raises(NotADirectoryError, match="no-such"):
        case_paths(tmp_path / "no-such")
