"""Strict reading of one file: its limits, its refusals, and the places of its values."""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.rulebook import Document, LoadError, Problem, parse_yaml, read_yaml
from advisor.rulebook.problems import Mark


def refused(text: str) -> tuple[Problem, ...]:
    with pytest.raises(LoadError) as caught:
        parse_yaml(text, "x.yaml")
    return caught.value.problems


def refused_file(path: Path) -> Problem:
    with pytest.raises(LoadError) as caught:
        read_yaml(path)
    assert len(caught.value.problems) == 1
    return caught.value.problems[0]


def problems_of(read: Callable[[], Document]) -> tuple[Problem, ...]:
    """The problems of a reading, none when it gave data; any other exception goes through."""
    try:
        read()
    except LoadError as error:
        return error.problems
    return ()


def places(problems: tuple[Problem, ...]) -> list[tuple[int, int, str]]:
    return [(one.line, one.column, one.code) for one in problems]


class TestRefusedFiles:
    def test_ten_megabytes_are_refused_before_they_are_parsed(self, tmp_path: Path) -> None:
        path = tmp_path / "x.yaml"
        path.write_bytes(b"- {a: [1, 2, 3]}\n" * 600_000)
        start = time.process_time()
        assert refused_file(path).code == "file-too-large"
        # Parsing it would take more than ten seconds of process time.
        assert time.process_time() - start < 1.0

    def test_own_limit_of_bytes_is_kept(self, tmp_path: Path) -> None:
        path = tmp_path / "x.yaml"
        path.write_text("a: 12345\n")
        assert read_yaml(path, max_bytes=9).data == {"a": 12345}
        with pytest.raises(LoadError):
            read_yaml(path, max_bytes=8)

    @pytest.mark.parametrize("what", ["missing", "folder", "dangling", "fifo", "nul"])
    def test_unreadable_file_is_a_problem(self, tmp_path: Path, what: str) -> None:
        path = tmp_path / ("x\0.yaml" if what == "nul" else "x.yaml")
        if what == "folder":
            path.mkdir()
        elif what == "dangling":
            path.symlink_to(tmp_path / "nowhere")
        elif what == "fifo":
            os.mkfifo(path)
        problem = refused_file(path)
        assert (problem.line, problem.column, problem.code) == (1, 1, "unreadable-file")

    def test_bytes_that_are_not_utf_8_are_shown_by_line_and_column(self, tmp_path: Path) -> None:
        path = tmp_path / "x.yaml"
        path.write_bytes("a: 1\nü: ".encode() + b"\xe9\n")
        problem = refused_file(path)
        assert (problem.line, problem.column, problem.code) == (2, 4, "not-utf-8")

    @pytest.mark.parametrize("encoding", ["utf-16", "utf-32"])
    def test_other_unicode_encodings_are_refused(self, tmp_path: Path, encoding: str) -> None:
        path = tmp_path / "x.yaml"
        path.write_text("a: 1\n", encoding=encoding)
        assert refused_file(path).code == "not-utf-8"

    def test_binary_garbage_is_refused(self, tmp_path: Path) -> None:
        path = tmp_path / "x.yaml"
        path.write_bytes(bytes(range(256)) * 40)
        assert refused_file(path).code == "not-utf-8"

    def test_byte_order_mark_is_accepted(self, tmp_path: Path) -> None:
        path = tmp_path / "x.yaml"
        path.write_bytes(b"\xef\xbb\xbfa: 1\n")
        assert read_yaml(path).data == {"a": 1}


class TestLimits:
    def test_fifty_problems_are_told_and_no_more(self) -> None:
        assert len(refused("".join(f"k{n}: yes\n" for n in range(50)))) == 50
        assert len(refused("".join(f"k{n}: yes\n" for n in range(60)))) == 50

    @pytest.mark.parametrize("opener", ["[", "{a: ", "- "])
    def test_deep_nesting_is_refused(self, opener: str) -> None:
        assert [one.code for one in refused(opener * 41)] == ["too-deep"]

    @pytest.mark.parametrize("opener", ["[", "{", "- ", "? "])
    def test_nesting_as_deep_as_a_file_can_be_is_refused(self, opener: str) -> None:
        codes = [one.code for one in refused(opener * (1_000_000 // len(opener)))]
        assert codes[0] in ("too-deep", "key-not-text")

    def test_forty_levels_are_read(self) -> None:
        data = parse_yaml("[" * 40 + "]" * 40, "x.yaml").data
        depth = 0
        while data:
            data, depth = data[0], depth + 1
        assert depth == 39

    def test_too_many_values_are_refused(self) -> None:
        assert [one.code for one in refused("- a\n" * 200_001)] == ["too-many-values"]

    def test_alias_bomb_is_refused(self) -> None:
        lines = ["a0: &a0 [lol, lol, lol, lol, lol, lol, lol, lol, lol]"]
        for level in range(1, 10):
            lines.append(f"a{level}: &a{level} [{', '.join([f'*a{level - 1}'] * 9)}]")
        assert [one.code for one in refused("\n".join(lines))] == ["yaml-alias"]

    def test_aliases_count_what_they_repeat(self) -> None:
        """Few aliases, each of the level below, would still hold a million values."""
        lines = [f"a0: &a0 [{', '.join(['x'] * 1000)}]"]
        for level in range(1, 11):
            lines.append(f"a{level}: &a{level} [*a{level - 1}, *a{level - 1}]")
        assert [one.code for one in refused("\n".join(lines))] == ["too-many-values"]

    def test_value_that_holds_itself_is_refused(self) -> None:
        assert places(refused("a: &x {b: *x}")) == [(1, 11, "yaml-alias")]

    def test_a_thousand_tabs_give_fifty_problems(self) -> None:
        assert len(refused("\ta\n" * 1000)) == 50


class TestText:
    def test_all_refused_words_of_a_file_are_reported_at_once(self) -> None:
        text = "a: yes\nb: [010, 1:30]\nc: 2024-01-02\na: ~\n"
        assert places(refused(text)) == [
            (1, 4, "ambiguous-boolean"),
            (2, 5, "ambiguous-number"),
            (2, 10, "ambiguous-number"),
            (3, 4, "ambiguous-date"),
            (4, 1, "duplicate-key"),
            (4, 1, "empty-value"),
        ]

    def test_duplicate_key_names_the_line_of_the_first(self) -> None:
        (problem,) = refused("a: 1\nb: 2\na: 3\n")
        assert "line 1" in problem.message
        assert (problem.line, problem.column) == (3, 1)

    @pytest.mark.parametrize("text", ['a: "yes"', "a: 'yes'", "a: |-\n  yes\n", "a: >-\n  yes\n"])
    def test_quoted_and_block_text_is_never_refused(self, text: str) -> None:
        assert parse_yaml(text, "x.yaml").data == {"a": "yes"}

    @pytest.mark.parametrize(
        "text", ["1: a", "true: a", "1.5: a", "[1]: a", "{a: 1}: b", "? - a\n: b", '"": a']
    )
    def test_key_that_is_not_text_is_refused(self, text: str) -> None:
        assert refused(text)[0].code == "key-not-text"

    @pytest.mark.parametrize(
        "character", ["\x00", "\x0b", "\x1b", "\x7f", "\x85", "\u2028", "\ufffe", "\ufeff"]
    )
    def test_invisible_character_is_refused_at_its_place(self, character: str) -> None:
        assert places(refused(f'a: 1\nb: "x{character}"')) == [(2, 6, "control-character")]

    def test_columns_count_characters(self) -> None:
        assert places(refused('"😀😀": yes')) == [(1, 7, "ambiguous-boolean")]

    @pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
    def test_lines_are_counted_by_each_line_ending(self, ending: str) -> None:
        (problem,) = refused(ending.join(["a: 1", "b: 2", "c: yes", ""]))
        assert (problem.line, problem.source) == (3, "c: yes")

    @given(st.text(max_size=200))
    def test_random_text_gives_data_or_a_load_error(self, text: str) -> None:
        for problem in problems_of(lambda: parse_yaml(text, "x.yaml")):
            assert str(problem).startswith(f"x.yaml:{problem.line}:{problem.column}: error[")

    @given(st.text(alphabet="ab:-?&*!|>'\"#%@[]{}, \n\t0~<=", max_size=60))
    def test_random_yaml_gives_data_or_a_load_error(self, text: str) -> None:
        for problem in problems_of(lambda: parse_yaml(text, "x.yaml")):
            assert problem.line <= text.count("\n") + 1

    @given(st.binary(max_size=200))
    def test_random_bytes_give_data_or_a_load_error(
        self, tmp_path_factory: pytest.TempPathFactory, raw: bytes
    ) -> None:
        path = tmp_path_factory.getbasetemp() / "random.yaml"
        path.write_bytes(raw)
        for problem in problems_of(lambda: read_yaml(path)):
            assert problem.line <= raw.count(b"\n") + raw.count(b"\r") + 1


class TestPositions:
    TEXT = "a:\n  b: [x, {c: d}]\ne: f\n"

    @pytest.mark.parametrize(
        ("loc", "mark"),
        [
            (("e",), Mark(3, 4, 5)),
            (("a",), Mark(1, 1, 2)),
            (("a", "b"), Mark(2, 3, 4)),
            (("a", "b", 0), Mark(2, 7, 8)),
            (("a", "b", 1, "c"), Mark(2, 14, 15)),
            (("a", "nothing"), Mark(1, 1, 2)),
            (("a", "b", 7), Mark(2, 3, 4)),
            (("tag", "a", "union-member", "b", 0), Mark(2, 7, 8)),
            ((), Mark(1, 1, 1)),
        ],
    )
    def test_place_of_a_value_or_its_nearest_ancestor(
        self, loc: tuple[str | int, ...], mark: Mark
    ) -> None:
        """A list or mapping is shown at the key that holds it."""
        assert parse_yaml(self.TEXT, "x.yaml").position_of(loc) == mark

    def test_place_of_a_key(self) -> None:
        assert parse_yaml(self.TEXT, "x.yaml").position_of(("e",), key=True) == Mark(3, 1, 2)
