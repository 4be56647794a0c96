"""The one place where typed text, or text of a case file, becomes the value of a question."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping

from advisor import units
from advisor.engine.values import UNKNOWN, Kind, Number, Value

from .names import nearest, quoted

MOST_CHARACTERS = 2000
DONT_KNOW = frozenset({"?", "dont-know", "don't know", "don’t know", "dont know"})

_YES_NO = {"yes": True, "y": True, "true": True, "no": False, "n": False, "false": False}
_NONE = "none"


class AnswerError(ValueError):
    """A text that is no answer to the question.

    `reason` is the whole sentence for a person, `position` the index in the text of the fault.
    """

    def __init__(self, reason: str, position: int = 0) -> None:
        super().__init__(reason)
        self.reason = reason
        self.position = position


def read_answer(  # noqa: PLR0913 - all that tells how a text is read
    text: str,
    kind: Kind,
    options: Mapping[str, str],
    unit: units.Unit | None,
    u: float,
    *,
    alone: str | None = None,
) -> Value:
    """The value that the text means. Raises AnswerError.

    `options` are the labels by id, `u` is the standard uncertainty of the reading in SI, `alone`
    the option of several choices that says "none of the others".
    """
    start = len(text) - len(text.lstrip())
    bare = text.strip()
    if bare.lower() in DONT_KNOW:
        return UNKNOWN
    if len(text) > MOST_CHARACTERS:
        reason = f"the answer has {len(text)} characters; at most {MOST_CHARACTERS} are taken"
        raise AnswerError(reason, MOST_CHARACTERS)
    if not bare:
        raise AnswerError('nothing was typed; write "?" if you don\'t know')
    if unit is not None:
        return _number(text, unit, u)
    if kind is Kind.YES_NO:
        return _yes_no(bare, start)
    if kind is Kind.CHOICE:
        return _option(bare, options, start)
    if kind is Kind.CHOICES:
        return _options(text, options, alone)
    return _text(text)


def _number(text: str, unit: units.Unit, u: float) -> Number:
    try:
        return Number(units.parse(text, unit.dimension).si, u)
    except units.UnitError as error:
        raise AnswerError(str(error), error.position) from error


def _yes_no(bare: str, position: int) -> bool:
    answer = _YES_NO.get(bare.lower())
    if answer is None:
        raise AnswerError(f'read "{bare[:40]}"; write yes or no, or "?" if unknown', position)
    return answer


def _options(text: str, options: Mapping[str, str], alone: str | None) -> frozenset[str]:
    """Several options with commas between them.

    The word "none" is the option `alone`, else no option at all.
    """
    whole = _matches(text.strip(), options)
    if len(whole) == 1:
        return frozenset(whole)
    if text.strip().lower() == _NONE and not whole:
        return frozenset((alone,) if alone else ())
    chosen: list[str] = []
    alone_at = 0
    for part in re.finditer(r"[^,]+", text):
        bare = part[0].strip()
        if bare:
            position = part.start() + len(part[0]) - len(part[0].lstrip())
            chosen.append(_option(bare, options, position))
            if chosen[-1] == alone:
                alone_at = position
    if not chosen:
        raise AnswerError(f'nothing was chosen; write "{_NONE}" if none of them applies')
    others = dict.fromkeys(options[one] for one in chosen if one != alone)
    if alone in chosen and others:
        reason = f'"{options[alone]}" leaves no room for {quoted(others)}; write one or the other'
        raise AnswerError(reason, alone_at)
    return frozenset(chosen)


def _option(bare: str, options: Mapping[str, str], position: int) -> str:
    found = _matches(bare, options)
    if len(found) == 1:
        return found[0]
    if found:
        reason = f'"{bare[:40]}" may mean {quoted(found, " or ")}; write more of it'
        raise AnswerError(reason, position)
    near = dict.fromkeys(nearest(bare, [*options.values(), *options]))
    hint = f"did you mean {quoted(near, ' or ')}?" if near else f"write one of {quoted(options)}"
    raise AnswerError(f'"{bare[:40]}" is none of the options; {hint}', position)


def _matches(bare: str, options: Mapping[str, str]) -> list[str]:
    """Options of exactly this id or label, else those whose id or label begins so."""
    wanted = _folded(bare)
    exact = [one for one, label in options.items() if wanted in (_folded(one), _folded(label))]
    if exact:
        return exact[:1] if wanted in options else exact
    return [
        one
        for one, label in options.items()
        if _folded(one).startswith(wanted) or _folded(label).startswith(wanted)
    ]


def _folded(text: str) -> str:
    return " ".join(text.casefold().split())


def _text(text: str) -> str:
    """The text without control and formatting characters, its white space made single blanks."""
    spaced = " ".join(text.split())
    kept = "".join(one for one in spaced if unicodedata.category(one)[0] != "C")
    if not kept.strip():
        raise AnswerError("the answer holds no visible character")
    return kept.strip()
