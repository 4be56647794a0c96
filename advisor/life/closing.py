"""Closing a case in one go, from what the command line says of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from advisor.cases import (
    LONGEST_ANSWER,
    CaseError,
    CaseSession,
    Noted,
    ProofStep,
    Reading,
    Result,
)
from advisor.layout import clean_line
from advisor.rulebook import AnswerError, did_you_mean
from advisor.rulebook.fields import MOST_MINUTES
from advisor.units import whole_number

from .booking import Wanted, check_rings, still_wanted, take_rings

NOT_DONE = "not-done"
MOST_COUNTED = 1000


class ClosingError(CaseError):
    """Something said of the closing that can't be so; nothing was written."""


@dataclass(frozen=True, slots=True)
class ClosingWords:
    """What was said of a closing. Unsaid fields leave what the case has.

    `after` is question: answer after the work; `proof` and `noted` are by the number of the step
    of the check, or of the thing to write down, from 1 on.
    """

    work: str | None = None
    parts: tuple[str, ...] = ()
    rings: tuple[Wanted, ...] = ()
    after: Mapping[str, str] = field(default_factory=dict)
    proof: Mapping[int, str] = field(default_factory=dict)
    noted: Mapping[int, str] = field(default_factory=dict)
    complaint_gone: bool | None = None
    minutes: float | None = None


def read_words(  # noqa: PLR0913 - one field each
    *,
    work: str | None = None,
    parts: Sequence[str] = (),
    rings: Sequence[str] = (),
    after: Sequence[str] = (),
    proof: Sequence[str] = (),
    noted: Sequence[str] = (),
    complaint_gone: bool | None = None,
    minutes: float | None = None,
) -> ClosingWords:
    """The words of a command line, such as "tray-1=2" for rings; ClosingError when unreadable."""
    if minutes is not None and not 0.0 <= minutes <= MOST_MINUTES:
        raise ClosingError(f"--minutes must be 0 to {MOST_MINUTES:g}; read {minutes:g}")
    return ClosingWords(
        None if work is None else short_words(work, "--work"),
        tuple(filter(None, (short_words(part, "--part") for part in parts))),
        tuple(
            Wanted(box, _count(count, "--ring"))
            for box, count in _pairs(rings, "--ring", "tray-1=2").items()
        ),
        _pairs(after, "--after", 'joint-end-play="0.03 mm"'),
        _by_number(proof, "--proof", '1="quiet at 60 mph"'),
        _by_number(noted, "--noted", '1="1.54 mm both"'),
        complaint_gone,
        minutes,
    )


def short_words(text: str, option: str) -> str:
    """Words on one line, without what steers a terminal; ClosingError when they are too long."""
    words = clean_line(text)
    if len(words) > LONGEST_ANSWER:
        raise ClosingError(
            f"{option} has {len(words)} characters; at most {LONGEST_ANSWER} can be kept"
        )
    return words


def _pairs(words: Sequence[str], option: str, example: str) -> dict[str, str]:
    pairs: dict[str, str] = {}
    for word in words:
        name, equals, value = word.partition("=")
        name, value = clean_line(name), clean_line(value)
        if not (name and equals and value) or len(value) > LONGEST_ANSWER:
            raise ClosingError(
                f'read "{clean_line(word)[:60]}" for {option}; write it as {example}'
            )
        if name in pairs:
            raise ClosingError(f'{option} names "{name}" twice')
        pairs[name] = value
    return pairs


def _by_number(words: Sequence[str], option: str, example: str) -> dict[int, str]:
    pairs = _pairs(words, option, example)
    return {_count(number, option): value for number, value in pairs.items()}


def _count(text: str, option: str) -> int:
    number = whole_number(text, MOST_COUNTED)
    if number is not None:
        return number
    raise ClosingError(
        f'read "{text[:40]}" for {option}; expected a number from 1 to {MOST_COUNTED}'
    )


def close_case(
    session: CaseSession, result: Result, words: ClosingWords, stock: Path | None
) -> None:
    """Close the open case; all that was said is checked before anything is written.

    Raises ClosingError, StockError, LoadError of the stock, or WriteError.
    """
    changes = _changes(session, result, words)
    wanted = still_wanted(session.closing, words.rings)
    if wanted:
        if stock is None:
            raise ClosingError(
                'no stock file is named; give it by "--stock FILE" or in the settings'
            )
        check_rings(stock, wanted)
    session.close(result, changes=changes)
    if wanted and stock is not None:
        take_rings(session, stock, wanted)


def steps_of_proof(session: CaseSession, causes: Sequence[str]) -> tuple[str, ...]:
    """The steps of the checks that prove these causes cured, each once."""
    models = (session.rulebook.causes[cause] for cause in causes)
    return tuple(dict.fromkeys(step for model in models for step in model.verify.steps))


def cautions_of_proof(session: CaseSession, causes: Sequence[str]) -> tuple[str, ...]:
    """The cautions of the places where these cures are proved."""
    book = session.rulebook
    places = (book.causes[cause].verify.place for cause in causes)
    ids = (caution for place in places if place for caution in book.places[place].cautions)
    return tuple(book.cautions[caution].text for caution in dict.fromkeys(ids))


def things_to_note(session: CaseSession, causes: Sequence[str]) -> tuple[str, ...]:
    """What the rulebook wants written down of these causes, each once."""
    models = (session.rulebook.causes[cause] for cause in causes)
    return tuple(dict.fromkeys(one for model in models for one in model.record))


def proof_step(step: str, said: str) -> ProofStep:
    """A step with what was said of it: "not-done", or what it showed."""
    done = said != NOT_DONE
    return ProofStep(step=step, done=done, result=said if done and said else None)


def _changes(session: CaseSession, result: Result, words: ClosingWords) -> dict[str, object]:
    closing = session.closing
    changes: dict[str, object] = {}
    if words.work is not None:
        changes["work"] = words.work or None
    if words.parts:
        changes["parts"] = tuple(dict.fromkeys((*closing.parts, *words.parts)))
    if words.after:
        changes["after"] = (*closing.after, *_readings(session, words.after))
    if words.proof:
        steps = steps_of_proof(session, result.causes)
        proved = [
            proof_step(step, said)
            for step, said in _numbered(steps, words.proof, "--proof").items()
        ]
        new = {one.step for one in proved}
        changes["proof"] = (*(one for one in closing.proof if one.step not in new), *proved)
    if words.noted:
        things = things_to_note(session, result.causes)
        said = _numbered(things, words.noted, "--noted")
        notes = [Noted(what=what, words=text) for what, text in said.items() if text]
        changes["noted"] = (*(one for one in closing.noted if one.what not in said), *notes)
    if words.complaint_gone is not None:
        changes["complaint_gone"] = words.complaint_gone
    if words.minutes is not None:
        changes["minutes"] = words.minutes
    return changes


def _readings(session: CaseSession, answers: Mapping[str, str]) -> list[Reading]:
    book, at = session.rulebook, session.moment()
    readings = []
    for question, text in answers.items():
        if question not in book.questions:
            hint = did_you_mean(question, book.questions)
            raise ClosingError(
                f'no question has the id "{question}"' + (f"; {hint}" if hint else "")
            )
        try:
            book.parse_answer(question, text)
        except AnswerError as error:
            raise ClosingError(f'"{text}" is no answer to "{question}": {error.reason}') from error
        if session.closing.latest_after().get(question) != text:
            readings.append(Reading(question=question, answer=text, at=at))
    return readings


def _numbered(known: Sequence[str], said: Mapping[int, str], option: str) -> dict[str, str]:
    """What was said, by the step or thing that its number stands for."""
    for number in said:
        if not 0 < number <= len(known):
            listed = "; ".join(f"{place}: {one}" for place, one in enumerate(known, 1))
            raise ClosingError(
                f"{option} {number} stands for nothing; "
                + (f"known here: {listed}" if listed else "these causes have none")
            )
    return {known[number - 1]: text for number, text in said.items()}
