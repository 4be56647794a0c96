"""What was read once is taken from the cache as it was read, and nothing else is."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.rulebook import DataCache, datacache, load, read_yaml, shipped, usual_cache, yamlfile
from advisor.rulebook.problems import LoadError

TEXT = 'rate: 1.0\ncount: 1\nis: true\nname: "yes"\nlist: [a, 2, 0.1, {b: false}]\n'


@pytest.fixture
def cache(tmp_path: Path) -> DataCache:
    return DataCache(tmp_path / "cache")


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "some.yaml"
    path.write_text(TEXT, encoding="utf-8")
    return path


def with_types(data: Any) -> Any:
    """Told apart further than == does: 1, 1.0 and True are equal."""
    if isinstance(data, dict):
        return [(key, with_types(value)) for key, value in data.items()]
    if isinstance(data, list):
        return [with_types(item) for item in data]
    return type(data), data


def entry(cache: DataCache) -> Path:
    (only,) = cache.folder.iterdir()
    return only


def test_second_reading_parses_nothing_and_gives_the_same_data(
    cache: DataCache, file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = read_yaml(file, cache=cache)
    monkeypatch.delattr(yamlfile, "build")
    again = read_yaml(file, cache=cache)
    assert with_types(again.data) == with_types(first.data)


def test_place_in_a_recalled_file_is_found_by_parsing_it_then(cache: DataCache, file: Path) -> None:
    fresh = read_yaml(file, cache=cache)
    recalled = read_yaml(file, cache=cache)
    for loc in ((), ("count",), ("list", 2), ("list", 3, "b")):
        assert recalled.position_of(loc) == fresh.position_of(loc)
        assert recalled.related(loc, "here") == fresh.related(loc, "here")


def test_place_is_that_of_the_text_that_was_read_even_when_the_file_is_changed_since(
    cache: DataCache, file: Path
) -> None:
    read_yaml(file, cache=cache)
    recalled = read_yaml(file, cache=cache)
    file.write_text("# a line more\n" + TEXT, encoding="utf-8")
    assert recalled.position_of(("count",)).line == 2


def test_changed_file_is_read_anew(cache: DataCache, file: Path) -> None:
    read_yaml(file, cache=cache)
    file.write_text(TEXT.replace("1.0", "2.0"), encoding="utf-8")
    assert read_yaml(file, cache=cache).data["rate"] == 2.0


def test_entry_of_another_program_version_is_not_used(
    cache: DataCache, file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    read_yaml(file, cache=cache)
    monkeypatch.setattr(datacache, "_reader", lambda: "another")
    assert cache.recall(TEXT) is None


@pytest.mark.parametrize(
    "spoil",
    [
        pytest.param(lambda raw: b"", id="empty"),
        pytest.param(lambda raw: raw[: len(raw) // 2], id="half-written"),
        pytest.param(lambda raw: raw.replace(b"1.0", b"9.0"), id="changed"),
        pytest.param(lambda raw: b"{}" + raw, id="no digest"),
        pytest.param(lambda raw: b"\x80\x04." + raw, id="not JSON"),
    ],
)
def test_spoilt_entry_is_passed_over_and_mended(cache: DataCache, file: Path, spoil: Any) -> None:
    read_yaml(file, cache=cache)
    path = entry(cache)
    good = path.read_bytes()
    path.write_bytes(spoil(good))
    assert read_yaml(file, cache=cache).data["rate"] == 1.0
    assert path.read_bytes() == good


def test_file_with_a_problem_is_never_remembered(cache: DataCache, file: Path) -> None:
    file.write_text("a: yes\n", encoding="utf-8")
    with pytest.raises(LoadError):
        read_yaml(file, cache=cache)
    assert not cache.folder.exists()


def test_folder_that_cannot_be_written_to_is_no_fault(file: Path, tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("a file where the folder should be", encoding="utf-8")
    assert read_yaml(file, cache=DataCache(tmp_path / "taken")).data["count"] == 1


def test_disk_that_is_full_leaves_nothing_behind(
    cache: DataCache, file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    assert read_yaml(file, cache=cache).data["count"] == 1
    assert list(cache.folder.iterdir()) == []


def test_oldest_entries_go_when_there_are_many(
    cache: DataCache, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(datacache, "MOST_ENTRIES", 3)
    for number in range(5):
        cache.remember(f"n: {number}", {"n": number})
        newest = max(cache.folder.iterdir(), key=lambda path: path.stat().st_mtime_ns)
        os.utime(newest, ns=(number, number))
    assert [cache.recall(f"n: {number}") for number in range(5)] == [
        None,
        None,
        *({"n": number} for number in (2, 3, 4)),
    ]


def test_files_of_the_user_in_the_folder_are_never_deleted(
    cache: DataCache, monkeypatch: pytest.MonkeyPatch
) -> None:
    """ADVISOR_CACHE may name any folder."""
    monkeypatch.setattr(datacache, "MOST_ENTRIES", 1)
    cache.folder.mkdir()
    for name in ("mine.json", f"{'g' * 64}.json", f"{'a' * 64}.yaml", ".notes.new"):
        (cache.folder / name).write_text("{}", encoding="utf-8")
        os.utime(cache.folder / name, ns=(0, 0))
    before = set(cache.folder.iterdir())
    for number in range(3):
        cache.remember(f"n: {number}", {"n": number})
    assert before < set(cache.folder.iterdir())
    assert len(list(cache.folder.iterdir())) == len(before) + 1


def test_entries_that_killed_programs_left_unfinished_go_with_the_oldest(
    cache: DataCache, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(datacache, "MOST_ENTRIES", 1)
    cache.folder.mkdir()
    left = cache.folder / f".{'0' * 16}.new"
    left.write_text("half", encoding="utf-8")
    os.utime(left, ns=(0, 0))
    cache.remember("n: 1", {"n": 1})
    assert not left.exists()
    assert cache.recall("n: 1") == {"n": 1}


@given(
    st.recursive(
        st.booleans()
        | st.integers()
        | st.floats(allow_nan=False, allow_infinity=False)
        | st.text(),
        lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner),
    )
)
def test_data_of_any_shape_comes_back_with_its_types(data: Any) -> None:
    assert with_types(json.loads(json.dumps(data))) == with_types(data)


def test_shipped_rulebook_is_the_same_from_the_cache(cache: DataCache) -> None:
    fresh = load(shipped())
    load(shipped(), cache=cache)
    recalled = load(shipped(), cache=cache)
    for part in ("questions", "findings", "causes", "tests", "places", "opening"):
        assert getattr(recalled.rules, part) == getattr(fresh.rules, part)
    assert recalled.computed == fresh.computed
    assert recalled.causes == fresh.causes
    assert recalled.warnings == fresh.warnings
    assert recalled.place_of("causes", "dirt-on-tube") == fresh.place_of("causes", "dirt-on-tube")


class TestUsualPlace:
    def test_folder_named_by_the_variable_comes_first(self, tmp_path: Path) -> None:
        named = {"ADVISOR_CACHE": str(tmp_path / "mine"), "XDG_CACHE_HOME": str(tmp_path)}
        assert usual_cache(named) == DataCache(tmp_path / "mine")

    def test_empty_variable_means_no_cache(self, tmp_path: Path) -> None:
        assert usual_cache({"ADVISOR_CACHE": "", "XDG_CACHE_HOME": str(tmp_path)}) is None

    def test_standard_place_is_used_by_itself(self, tmp_path: Path) -> None:
        found = usual_cache({"XDG_CACHE_HOME": str(tmp_path)})
        assert found == DataCache(tmp_path / "driveline-advisor" / "rulebooks")

    @pytest.mark.parametrize("base", [None, "", "caches/here"])
    def test_home_is_used_where_the_standard_place_is_not_a_whole_path(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, base: str | None
    ) -> None:
        """XDG Base Directory Specification 0.8: relative paths are to be ignored (from memory)."""
        monkeypatch.setattr(Path, "home", lambda: tmp_path)
        found = usual_cache({} if base is None else {"XDG_CACHE_HOME": base})
        assert found == DataCache(tmp_path / ".cache" / "driveline-advisor" / "rulebooks")

    def test_without_a_home_there_is_no_cache(self, monkeypatch: pytest.MonkeyPatch) -> None:
        def homeless() -> Path:
            raise RuntimeError("Could not determine home directory.")

        monkeypatch.setattr(Path, "home", homeless)
        assert usual_cache({}) is None

    def test_folder_below_a_file_is_not_taken(self, file: Path) -> None:
        assert usual_cache({"ADVISOR_CACHE": str(file / "cache")}) is None

    @pytest.mark.skipif(os.name == "nt", reason="there are no numbers of users there")
    def test_folder_of_someone_else_is_not_trusted(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        owner = os.getuid()
        monkeypatch.setattr(os, "getuid", lambda: owner + 1)
        assert usual_cache({"ADVISOR_CACHE": str(tmp_path)}) is None

    @pytest.mark.skipif(os.name == "nt", reason="modes say nothing there")
    def test_folder_that_others_may_write_to_is_not_trusted(self, tmp_path: Path) -> None:
        folder = tmp_path / "open"
        folder.mkdir()
        folder.chmod(0o777)
        assert usual_cache({"ADVISOR_CACHE": str(folder)}) is None

    @pytest.mark.skipif(os.name == "nt", reason="modes say nothing there")
    def test_folder_made_is_the_users_alone(self, cache: DataCache) -> None:
        cache.remember("a: 1", {"a": 1})
        assert cache.folder.stat().st_mode & 0o077 == 0
