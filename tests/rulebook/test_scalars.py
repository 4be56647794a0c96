"""What plain YAML words mean, and which spellings are refused."""

from __future__ import annotations

import pytest

from advisor.rulebook.scalars import Refusal, Scalar, read_plain


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("true", True),
        ("false", False),
        ("0", 0),
        ("-7", -7),
        ("+7", 7),
        ("1.5", 1.5),
        (".5", 0.5),
        ("1.", 1.0),
        ("0.5", 0.5),
        ("1e3", 1000.0),
        ("1.5E-2", 0.015),
        ("57.5 thou", "57.5 thou"),
        ("0.1.0", "0.1.0"),
        ("265/70R17", "265/70R17"),
        ("yes-no", "yes-no"),
        ("1x-shaft", "1x-shaft"),
        ("2024", 2024),
        ("-", "-"),
        ("...", "..."),
        ("٣", "٣"),
    ],
)
def test_plain_word_means(text: str, value: Scalar) -> None:
    read = read_plain(text)
    assert read == value
    assert type(read) is type(value)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        *[(word, "ambiguous-boolean") for word in ("yes", "No", "ON", "off", "y", "n", "Y", "N")],
        *[(word, "ambiguous-boolean") for word in ("True", "TRUE", "False", "FALSE")],
        *[(word, "empty-value") for word in ("", "~", "null", "Null", "NULL")],
        *[(word, "ambiguous-number") for word in ("1:30", "-1:30:05", "12:5.5", "010", "-007")],
        *[(word, "ambiguous-number") for word in ("00.5", "1_000", "1_0.5", "0x1F", "0o17", "0b1")],
        *[(word, "ambiguous-date") for word in ("2024-01-02", "2024-1-2", "2024-01-02T10:00:00Z")],
        *[(word, "ambiguous-date") for word in ("2024-01-02 10:00:00",)],
        *[(word, "not-finite") for word in (".inf", "-.INF", "+.Inf", ".nan", ".NaN", "1e999")],
        *[(word, "not-finite") for word in ("9" * 399, "-1e400")],
        *[(word, "merge-key") for word in ("<<", "=")],
    ],
)
def test_ambiguous_word_is_refused_with_another_spelling(text: str, code: str) -> None:
    read = read_plain(text)
    assert isinstance(read, Refusal)
    assert read.code == code
    assert read.hint


def test_hint_for_a_leading_zero_is_the_same_number() -> None:
    refusals = [read_plain(text) for text in ("010", "-007", "00.5", "000")]
    hints = [one.hint.split(",")[0] for one in refusals if isinstance(one, Refusal)]
    assert hints == ["write 10", "write -7", "write 0.5", "write 0"]
