"""Typed text becomes a value; what cannot be read says why, and where."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.engine.values import UNKNOWN, Number, Value
from advisor.rulebook import AnswerError, Rulebook, load
from tests.helpers_rulebook import small_rulebook

SIGNS = """\
questions:
  signs:
    ask: Which signs are there?
    kind: choices
    options: {oil: Oil, dust: Dust, sound: All sound}
    alone: sound
    why: Oil and dust tell which seal is open.
    place: bench
    minutes: 1
"""


@pytest.fixture(scope="module")
def rulebook(tmp_path_factory: pytest.TempPathFactory) -> Rulebook:
    return load(small_rulebook(tmp_path_factory.mktemp("answers"), signs=SIGNS))


@pytest.mark.parametrize(
    ("question", "text", "value"),
    [
        *[("vibrates", word, True) for word in ("yes", "Y", "TRUE", " yes ")],
        *[("vibrates", word, False) for word in ("no", "n", "False")],
        ("last-work", "joint-replaced", "joint-replaced"),
        ("last-work", "A JOINT was  replaced", "joint-replaced"),
        ("last-work", "joi", "joint-replaced"),
        ("last-work", "a j", "joint-replaced"),
        ("last-work", "tyres", "tyres-replaced"),
        ("felt-in", "seat", frozenset({"seat"})),
        ("felt-in", "seat, In the floor,", frozenset({"seat", "floor"})),
        ("felt-in", "none", frozenset()),
        ("signs", "none", frozenset({"sound"})),
        ("signs", "all sound", frozenset({"sound"})),
        ("signs", "oil, dust", frozenset({"oil", "dust"})),
        ("note", "  a\x07b\u202e \x1b[31m c\nd ", "ab [31m c d"),
        ("note", "naïve 😀", "naïve 😀"),
    ],
)
def test_text_is_read(rulebook: Rulebook, question: str, text: str, value: Value) -> None:
    assert rulebook.parse_answer(question, text) == value


@pytest.mark.parametrize("text", ["?", "dont-know", "don't know", "DON'T KNOW", "don’t know"])
@pytest.mark.parametrize("question", ["vibrates", "last-work", "felt-in", "ring-1", "note"])
def test_dont_know_is_unknown_for_every_kind(rulebook: Rulebook, question: str, text: str) -> None:
    assert rulebook.parse_answer(question, text) is UNKNOWN


def test_the_option_that_stands_alone_is_refused_beside_others_by_their_labels(
    rulebook: Rulebook,
) -> None:
    with pytest.raises(AnswerError) as caught:
        rulebook.parse_answer("signs", "dust, sound, oil")
    assert caught.value.reason == (
        '"All sound" leaves no room for "Dust", "Oil"; write one or the other'
    )


def test_number_gets_the_uncertainty_of_its_gauge(rulebook: Rulebook) -> None:
    """u = sqrt(step^2/12 + limit^2/3), JCGM 100:2008, 4.3.7 and F.2.2.1 (M)."""
    value = rulebook.parse_answer("ring-1", "1.46 mm")
    assert isinstance(value, Number)
    assert value.value == pytest.approx(0.00146, rel=1e-12)
    assert value.u == pytest.approx(math.sqrt(1e-5**2 / 12 + 2e-5**2 / 3), rel=1e-12)


@pytest.mark.parametrize(
    ("question", "text", "position"),
    [
        ("vibrates", "  maybe", 2),
        ("vibrates", "", 0),
        ("vibrates", "   ", 0),
        ("last-work", "engine", 0),
        ("felt-in", "seat, roof", 6),
        ("felt-in", "in the", 0),
        ("felt-in", ",", 0),
        ("signs", "oil, all sound", 5),
        ("signs", "sound, oil, dust", 0),
        ("ring-1", "1.46", 4),
        ("ring-1", "1.46 deg", 5),
        ("note", "x" * 2001, 2000),
        ("note", "\x07\x08", 0),
    ],
)
def test_text_that_is_no_answer_says_where(
    rulebook: Rulebook, question: str, text: str, position: int
) -> None:
    with pytest.raises(AnswerError) as caught:
        rulebook.parse_answer(question, text)
    assert caught.value.position == position
    assert caught.value.reason


def test_misspelt_option_brings_the_nearest(rulebook: Rulebook) -> None:
    with pytest.raises(AnswerError, match="tyres-replaced"):
        rulebook.parse_answer("last-work", "tires-replaced")


def test_prefix_of_two_options_names_both(rulebook: Rulebook) -> None:
    with pytest.raises(AnswerError, match='"seat" or "floor" or "steering-wheel"'):
        rulebook.parse_answer("felt-in", "in")


@pytest.mark.parametrize(
    ("fact", "value", "shown"),
    [
        ("vibrates", True, "yes"),
        ("vibrates", False, "no"),
        ("last-work", "tyres-replaced", "Tyres"),
        ("felt-in", frozenset({"floor", "seat"}), "In the seat, In the floor"),
        ("felt-in", frozenset(), "none"),
        ("ring-1", Number(0.00146), "1.46 mm"),
        ("end-play", Number(0.00004, 0.00001), "0.04 mm +/- 0.01 mm"),
        ("stack-end-play", "too-much", "too much"),
        ("note", "a rattle", "a rattle"),
        ("end-play", UNKNOWN, "not known"),
    ],
)
def test_value_is_shown_in_words(rulebook: Rulebook, fact: str, value: Value, shown: str) -> None:
    assert rulebook.show_value(fact, value) == shown


def test_number_outside_its_range_is_asked_back(rulebook: Rulebook) -> None:
    warning = rulebook.range_warning("ring-1", Number(0.0381))
    assert warning == "read 38.1 mm; expected 0.5 mm to 4 mm"


@pytest.mark.parametrize(
    ("question", "value"),
    [
        ("ring-1", Number(0.004)),
        ("ring-1", UNKNOWN),
        ("ring-2", Number(9.0)),
        ("vibrates", True),
    ],
)
def test_value_without_a_range_or_inside_it_is_not_asked_back(
    rulebook: Rulebook, question: str, value: Value
) -> None:
    assert rulebook.range_warning(question, value) is None


@pytest.mark.parametrize("question", ["vibrates", "last-work", "felt-in", "ring-1", "note"])
@given(text=st.text(max_size=60))
def test_any_text_is_an_answer_or_an_answer_error(
    rulebook: Rulebook, question: str, text: str
) -> None:
    try:
        value = rulebook.parse_answer(question, text)
    except AnswerError as error:
        position = error.position
    else:
        rulebook.show_value(question, value)
        position = 0
    assert 0 <= position <= len(text)
