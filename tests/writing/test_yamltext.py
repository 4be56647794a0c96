"""What is written reads back as it was meant, and looks as a person would write it."""

from __future__ import annotations

from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.rulebook import parse_yaml
from advisor.writing.yamltext import WIDTH, Quoted, record_text

SHOWN = st.characters(codec="utf-8", exclude_categories=("C", "Zl", "Zp"), exclude_characters="\t")
TEXT = st.text(SHOWN, min_size=1, max_size=150).map(lambda text: " ".join(text.split()) or "x")
TRAPS = st.sampled_from(
    ["yes", "no", "010", "1:30", "2024-01-02", "~", "a: b", "# x", "- a", "{", ">"]
)
LEAF = (
    TEXT
    | TRAPS
    | st.booleans()
    | st.integers(0, 10**6)
    | st.floats(0.001, 0.999).map(lambda number: round(number, 3))
)
KEY = st.from_regex(r"[a-z][a-z0-9-]{0,20}", fullmatch=True).filter(
    lambda key: key not in ("yes", "no", "on", "off", "y", "n", "true", "false", "null")
)
VALUE = st.recursive(
    LEAF,
    lambda inner: (
        st.lists(LEAF, min_size=1, max_size=4) | st.dictionaries(KEY, inner, min_size=1, max_size=4)
    ),
    max_leaves=8,
)


@settings(max_examples=50)
@given(st.dictionaries(KEY, VALUE, min_size=1, max_size=4))
def test_written_record_reads_back_the_same(record: dict[str, Any]) -> None:
    text = f"causes:\n{record_text('one', record)}"
    assert parse_yaml(text, "x.yaml").data == {"causes": {"one": record}}


def test_record_looks_as_in_the_shipped_files() -> None:
    record = {
        "says": "Something sticks to the tube",
        "when": {"tube-fouled": True},
        "usual": "8 in 100",
        "with": {"dirt-on-tube": "96 in 100", "tube-dented": 0.2},
        "remedy": {"minutes": 15.0, "steps": ["Clean the tube.", "Look: is it clean?"]},
        "cautions": ["hand-turning", "solvent"],
        "answers": {"tube-fouled": Quoted("yes"), "play": Quoted("8 thou")},
        "why": "word " * 30,
    }
    assert record_text("tube-has-stuff", {**record, "why": record["why"].strip()}) == (  # type: ignore[attr-defined]
        "  tube-has-stuff:\n"
        "    says: Something sticks to the tube\n"
        "    when: {tube-fouled: true}\n"
        "    usual: 8 in 100\n"
        "    with: {dirt-on-tube: 96 in 100, tube-dented: 0.2}\n"
        "    remedy:\n"
        "      minutes: 15\n"
        "      steps:\n"
        "        - Clean the tube.\n"
        '        - "Look: is it clean?"\n'
        "    cautions: [hand-turning, solvent]\n"
        "    answers:\n"
        '      tube-fouled: "yes"\n'
        '      play: "8 thou"\n'
        "    why: >-\n"
        f"      {('word ' * 19).strip()}\n"
        f"      {('word ' * 11).strip()}\n"
    )


@given(st.lists(st.text("ab", min_size=1, max_size=12), min_size=1, max_size=60).map(" ".join))
def test_no_line_of_ordinary_words_is_longer_than_the_width(text: str) -> None:
    lines = record_text("one", {"what": text, "steps": [text]}).splitlines()
    assert max(map(len, lines)) <= WIDTH
