"""The words that work at every question."""

from __future__ import annotations

import pytest

from advisor.interview.words import MEANINGS, Word, completions, help_text, why_not_of, word_in


@pytest.mark.parametrize("word", list(Word))
def test_word_counts_bare_and_with_a_slash(word: Word) -> None:
    assert word_in(word.value, bare=True) is word
    assert word_in(f" /{word.value.upper()} ", bare=True) is word


@pytest.mark.parametrize("word", [word for word in Word if word is not Word.DONT_KNOW])
def test_word_at_a_text_question_needs_the_slash(word: Word) -> None:
    assert word_in(word.value, bare=False) is None
    assert word_in(f"/{word.value}", bare=False) is word


@pytest.mark.parametrize("typed", ["?", "dont-know", "don't know", "Don’t know", "/dont-know"])
def test_dont_know_counts_in_all_its_spellings_everywhere(typed: str) -> None:
    assert word_in(typed, bare=False) is Word.DONT_KNOW


@pytest.mark.parametrize(
    ("typed", "cause"),
    [
        ("x", ""),
        ("x2", "2"),
        ("X 12", "12"),
        ("/x 3", "3"),
        ("why-not", ""),
        ("why not loose joint", "loose joint"),
        ("/why-not Unbalance", "unbalance"),
    ],
)
def test_why_not_names_a_cause_by_number_or_name(typed: str, cause: str) -> None:
    assert word_in(typed, bare=True) is Word.WHY_NOT
    assert why_not_of(typed) == cause


@pytest.mark.parametrize("typed", ["xyz", "2x", "x-ray", "xx 2", "whynot"])
def test_what_only_looks_like_why_not_is_an_answer(typed: str) -> None:
    assert word_in(typed, bare=True) is None


def test_answer_of_the_question_wins_over_the_bare_word() -> None:
    assert word_in("back", bare=True, answers=("back", "front")) is None
    assert word_in("/back", bare=True, answers=("back", "front")) is Word.BACK


@pytest.mark.parametrize("typed", ["", "backwards", "/", "/foo", "38 mm"])
def test_anything_else_is_no_word(typed: str) -> None:
    assert word_in(typed, bare=True) is None


@pytest.mark.parametrize("bare", [True, False])
def test_help_names_every_word_as_it_has_to_be_typed(bare: bool) -> None:
    text = help_text(bare=bare)
    assert all(word in text for word in completions(bare=bare))
    assert set(MEANINGS) == set(Word)
