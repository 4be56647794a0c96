"""What may be typed at a question, by its kind."""

from __future__ import annotations

import pytest

from advisor.engine.values import Kind
from advisor.interview.entry import Entry

NOISES = {"clunk": "A clunk", "boom": "A boom", "squeak": "A squeak"}


@pytest.mark.parametrize("typed", ["2", "2.", "2)", " boom ", "BOOM", "a boom"])
def test_option_is_picked_by_number_id_or_label(typed: str) -> None:
    assert Entry(Kind.CHOICE, NOISES).read(typed).text == "boom"


def test_number_beyond_the_list_stays_as_typed() -> None:
    assert Entry(Kind.CHOICE, NOISES).read("4").text == "4"


def test_several_options_are_picked_with_commas() -> None:
    assert Entry(Kind.CHOICES, NOISES).read("1, squeak;A boom,").text == "clunk, squeak, boom"


def test_fault_in_several_options_is_found_where_it_was_typed() -> None:
    read = Entry(Kind.CHOICES, NOISES).read("1,  sqeak")
    assert read.text == "clunk, sqeak"
    assert read.typed_position(read.text.index("sqeak")) == 4
    assert read.typed_position(read.text.index("sqeak") + 2) == 6


def test_options_that_look_like_numbers_are_not_picked_by_number() -> None:
    entry = Entry(Kind.CHOICE, {"4": "Four", "6": "Six", "8": "Eight"})
    assert entry.read("4").text == "4"
    assert entry.lines()[0] == "- 4: Four"


def test_leading_blanks_count_for_the_place_of_a_fault() -> None:
    assert Entry(Kind.NUMBER, units=("mm",)).read("  3 foo").typed_position(2) == 4


def test_units_are_offered_for_a_number() -> None:
    entry = Entry(Kind.NUMBER, units=("mm", "in"))
    assert entry.completions() == ("mm", "in")
    assert entry.hint == "a number with its unit: mm, in"


def test_number_without_a_unit_is_asked_for_as_such() -> None:
    assert Entry(Kind.NUMBER, units=("1",)).hint == "a number"
    assert Entry(Kind.NUMBER, units=("1", "%")).hint == "a number, or one in %"
    assert Entry(Kind.NUMBER, units=("1", "%")).completions() == ("%",)


def test_only_text_takes_bare_words_as_an_answer() -> None:
    assert [kind for kind in Kind if Entry(kind).takes_words] == [Kind.TEXT]
