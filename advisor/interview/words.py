"""The words that work at every question."""

from __future__ import annotations

import re
from collections.abc import Collection
from enum import Enum


class Word(Enum):
    """A word of the person to the conversation, which is no answer to the question."""

    BACK = "back"
    SKIP = "skip"
    WHY = "why"
    WHY_NOT = "why-not"
    HOW = "how"
    DONT_KNOW = "dont-know"
    RANKING = "ranking"
    STOP = "stop"
    HELP = "help"


MEANINGS: dict[Word, str] = {
    Word.BACK: "go to the previous question; later answers stay",
    Word.SKIP: "put this off",
    Word.WHY: "why this is asked, and what hangs on it",
    Word.WHY_NOT: 'why another cause does not lead: "x 2" for number 2 of the ranking, or its name',
    Word.HOW: "how to find out or measure it",
    Word.DONT_KNOW: 'answer that nobody knows; "?" is the same',
    Word.RANKING: "the causes as they stand",
    Word.STOP: "save and leave",
    Word.HELP: "these words",
}

_WHY_NOT = re.compile(r"(?:why-not|why not|x)(?:\s+(?P<cause>.+)|(?<=x)(?P<number>\d+))?")
_DONT_KNOW = frozenset({"?", "dont-know", "don't-know", "don't know", "dont know", "don’t know"})


def word_in(typed: str, *, bare: bool, answers: Collection[str] = ()) -> Word | None:
    """The word that was typed, or None when it is something else.

    With a leading "/" a word always counts; without one only if `bare`, and not when it is one of
    the `answers` of the question. "Don't know" and "?" count in any case.
    """
    text = typed.strip().casefold()
    if text.removeprefix("/") in _DONT_KNOW and text not in answers:
        return Word.DONT_KNOW
    if text.startswith("/"):
        return _named(text[1:])
    return _named(text) if bare and text not in answers else None


def why_not_of(typed: str) -> str:
    """Which cause a `why-not` asks after: a number of the ranking, a name, or ""."""
    match = _WHY_NOT.fullmatch(typed.strip().casefold().removeprefix("/"))
    return (match["cause"] or match["number"] or "").strip() if match else ""


def _named(text: str) -> Word | None:
    if _WHY_NOT.fullmatch(text):
        return Word.WHY_NOT
    return next((word for word in Word if word.value == text), None)


def help_text(*, bare: bool, words: Collection[Word] = tuple(Word)) -> str:
    """The words that work here and their meanings, as they have to be typed."""
    mark = "" if bare else "/"
    lines = [f"- {mark}{word.value}: {MEANINGS[word]}" for word in MEANINGS if word in words]
    return "\n".join(["These words work here:", *lines])


def completions(*, bare: bool) -> tuple[str, ...]:
    """The words as they can be typed here."""
    return tuple(word.value if bare else f"/{word.value}" for word in Word)
