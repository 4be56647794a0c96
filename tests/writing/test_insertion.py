"""A record goes into its section, and every other byte of the file stays."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.rulebook import LoadError, parse_yaml, shipped
from advisor.writing.insertion import CannotInsertError, with_record

RECORD = {"name": "New", "minutes": 1}
NEW = "  new:\n    name: New\n    minutes: 1\n"


def inserted(text: str, section: str = "places") -> str:
    """The text that was put in; fails when anything else changed."""
    after = with_record(text, "x.yaml", section, "new", RECORD)
    start = next(
        (i for i, (a, b) in enumerate(zip(text, after, strict=False)) if a != b), len(text)
    )
    start = min(start, len(text))
    more = len(after) - len(text)
    for at in range(start, -1, -1):
        if after[:at] + after[at + more :] == text:
            return after[at : at + more]
    raise AssertionError("something else was changed")


@pytest.mark.parametrize(
    ("text", "after"),
    [
        ("", "places:\n" + NEW),
        ("# only a comment\n", "# only a comment\nplaces:\n" + NEW),
        ("causes: {}\n", "causes: {}\nplaces:\n" + NEW),
        ("causes: {}\n\ngauges: {}\n", "causes: {}\n\ngauges: {}\n\nplaces:\n" + NEW),
        ("places:\n  a: {b: 1}\n", "places:\n  a: {b: 1}\n" + NEW),
        ("note: 5\n", "note: 5\nplaces:\n" + NEW),
        ("places:\n  a: {b: 1}", "places:\n  a: {b: 1}\n" + NEW.rstrip("\n")),
        (
            "places:\n  a: {b: 1}  # said\n  # of a\n\n# of causes\ncauses: {}\n",
            "places:\n  a: {b: 1}  # said\n  # of a\n" + NEW + "\n# of causes\ncauses: {}\n",
        ),
        (
            "places:\n  a:\n    b: 1\n\n  c:\n    b: 1\n\n\n# end\n",
            "places:\n  a:\n    b: 1\n\n  c:\n    b: 1\n\n" + NEW + "\n\n# end\n",
        ),
        (
            "places:\n    a:\n        b: |\n          # text\n\n          more\n",
            "places:\n    a:\n        b: |\n          # text\n\n          more\n"
            + NEW.replace("  new", "    new").replace("    name", "      name")
            .replace("    min", "      min"),
        ),
    ],
)  # fmt: skip
def test_text_with_the_record(text: str, after: str) -> None:
    assert with_record(text, "x.yaml", "places", "new", RECORD) == after


def test_line_ends_and_byte_order_mark_stay() -> None:
    text = "\ufeffplaces:\r\n  a: {b: 1}\r\ncauses: {}\r\n"
    assert inserted(text) == NEW.replace("\n", "\r\n")


@pytest.mark.parametrize("text", ["places: {a: {b: 1}}\n", "places: {}\n", "{places: {a: 1}}\n"])
def test_section_on_one_line_is_refused_in_words(text: str) -> None:
    with pytest.raises(CannotInsertError, match="choose another file"):
        with_record(text, "x.yaml", "places", "new", RECORD)


@pytest.mark.parametrize("text", ["0\n", "- places\n", '"places"\n', "places: 5\n"])
def test_file_that_holds_no_records_is_refused(text: str) -> None:
    with pytest.raises(CannotInsertError, match="choose another file"):
        with_record(text, "x.yaml", "places", "new", RECORD)


def test_file_after_whose_end_nothing_can_stand_is_refused() -> None:
    with pytest.raises(CannotInsertError):
        with_record("places:\n  a: {b: 1}\n...\n", "x.yaml", "causes", "new", RECORD)


def test_file_with_a_mistake_is_told_as_any_other() -> None:
    with pytest.raises(LoadError):
        with_record("places:\n\ta: 1\n", "x.yaml", "places", "new", RECORD)


FILES = sorted(shipped().glob("*.yaml"))


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_each_section_of_each_shipped_file_takes_a_record(path: Path) -> None:
    text = path.read_bytes().decode()
    for section in parse_yaml(text, path.name).data:
        if section != "rulebook":
            assert inserted(text, section).strip() == NEW.strip()
