"""One case file as the index keeps it: the case, or what is wrong with the file."""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from advisor.cases import CaseFile, read_case
from advisor.cases.records import utc_text
from advisor.rulebook import LoadError, Problem

_WORD = re.compile(r"\w+")


@dataclass(frozen=True, slots=True)
class Entry:
    """A case of a library by the name of its file; without a case, its problems."""

    name: str
    case: CaseFile | None
    problems: tuple[Problem, ...] = ()


def read_entry(folder: Path, name: str) -> Entry:
    """The case file of this name as it is now."""
    try:
        return Entry(name, read_case(folder / name))
    except LoadError as error:
        return Entry(name, None, error.problems)


def began(case: CaseFile) -> str | None:
    """When the first record of the case's own was made, in UTC; None when the case doesn't say."""
    moments = [record.at for record in case.answers if record.at and record.from_case is None]
    moments += [repair.at for repair in case.repairs if repair.at]
    if case.closing is not None and case.closing.at:
        moments.append(case.closing.at)
    return min((utc_text(datetime.fromisoformat(moment)) for moment in moments), default=None)


def free_words(case: CaseFile) -> Iterable[str]:
    """All that people wrote: vehicle, complaint, answers, notes, work."""
    yield from (case.vehicle, case.complaint, *case.latest().values())
    if case.outcome is not None:
        yield case.outcome.note or ""
    closing = case.closing
    if closing is not None:
        yield from (closing.work or "", *closing.parts)
        yield from (step.result or "" for step in closing.proof)
        yield from (noted.words for noted in closing.noted)


def searchable(texts: Iterable[str]) -> str:
    """The words of the texts as searching compares them, each after a blank."""
    return "".join(f" {word}" for text in texts for word in _WORD.findall(folded(text)))


def folded(text: str) -> str:
    """The text in small letters without accents."""
    spread = unicodedata.normalize("NFKD", text.casefold())
    return "".join(sign for sign in spread if not unicodedata.combining(sign))


def problems_as_text(problems: Iterable[Problem]) -> str:
    """The problems as JSON for the index, without the path, which depends on who looks."""
    return json.dumps(
        [
            (one.line, one.column, one.end_column, one.code, one.message, one.hint, one.source)
            for one in problems
        ]
    )


def problems_from_text(text: str, path: Path) -> tuple[Problem, ...]:
    """The problems of the file at this path, back from the index."""
    return tuple(
        Problem(path.as_posix(), line, column, end, code, message, hint, (), source)
        for line, column, end, code, message, hint, source in json.loads(text)
    )
