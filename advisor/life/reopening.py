"""The case of a vehicle that came back: what still holds is taken over, the repair is evidence."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Literal, get_args

from advisor.cases import (
    FORMAT,
    CaseError,
    CaseFile,
    CaseLock,
    CaseSession,
    Comeback,
    Record,
    Repair,
    RulebookRef,
    begin_case,
)
from advisor.cases.store import check_id

from .closing import short_words
from .timeline import NOBODY_KNOWS
from .work import questions_touched

EverRight = Literal["yes", "no", "dont-know"]
EVER_RIGHT: tuple[EverRight, ...] = get_args(EverRight)


class StillOpenError(CaseError):
    """The earlier case has no outcome, so nothing can have come back."""

    def __init__(self, path: Path) -> None:
        super().__init__(f'{path} is still open; go on with it by "advisor ask", or close it first')


@dataclass(frozen=True, slots=True)
class Reopened:
    """A case begun for a vehicle that came back, and what it says of the earlier one.

    `to_ask_again` are questions whose answers the work may have changed; `repairs` the causes
    whose repair counts as evidence, since it brought no cure.
    """

    case: CaseFile
    comeback: Comeback
    to_ask_again: tuple[str, ...]

    @property
    def taken_over(self) -> tuple[str, ...]:
        """The questions whose answers were taken over."""
        return tuple(record.question for record in self.case.answers)

    @property
    def repairs(self) -> tuple[str, ...]:
        """The causes whose repair counts as evidence."""
        return tuple(dict.fromkeys(repair.cause for repair in self.case.repairs))


def reopen(earlier: CaseSession, new: Path, ever_right: EverRight, complaint: str = "") -> Reopened:
    """Begin the case at `new` for the vehicle of a closed case, on disk in one writing.

    Never right after the repair: the repair of the confirmed causes brought no cure, which is
    evidence. Right for a time: the repair did cure, and nothing is held against those causes.
    Raises StillOpenError, or CaseError when `new` can't be begun.
    """
    if earlier.case.outcome is None:
        raise StillOpenError(earlier.path)
    case_id = check_id(new.stem)
    lasting = dict(_lasting(earlier))
    read_after = earlier.closing.latest_after()
    touched = set(questions_touched(earlier.rulebook, earlier.case.outcome.causes))
    again = tuple(q for q in lasting if q in touched and q not in read_after)
    words = short_words(complaint, "the complaint")
    comeback = _comeback(earlier, ever_right)
    case = _beginning(earlier, case_id, comeback, words).model_copy(
        update={
            "answers": tuple(
                Record(
                    question=question,
                    answer=text,
                    at=earlier.moment(),
                    from_case=earlier.case.id,
                )
                for question, text in lasting.items()
                if question not in again
            )
        }
    )
    with CaseLock(new) as lock:
        begin_case(new, earlier.rulebook, case, lock=lock)
    return Reopened(case, comeback, again)


def _lasting(earlier: CaseSession) -> Iterator[tuple[str, str]]:
    """The answers that hold beyond a case, the readings after the work before those before it."""
    answers = {**earlier.case.latest(), **earlier.closing.latest_after()}
    for question, text in answers.items():
        if earlier.rulebook.questions[question].lasts is not None and text != NOBODY_KNOWS:
            yield question, text


def _comeback(earlier: CaseSession, ever_right: EverRight) -> Comeback:
    old, closing = earlier.case, earlier.closing
    return Comeback(
        case=old.id,
        ever_right=ever_right,
        causes=old.outcome.causes if old.outcome else (),
        complaint=old.complaint,
        work=closing.work or (old.outcome.note if old.outcome else None),
        closed_at=closing.at,
    )


def _beginning(earlier: CaseSession, case_id: str, comeback: Comeback, complaint: str) -> CaseFile:
    old, meta = earlier.case, earlier.rulebook.meta
    closing = earlier.closing
    failed = tuple(
        Repair(cause=cause, at=closing.at, by=closing.by, who=closing.who)
        for cause in comeback.causes
    )
    return CaseFile(
        format=FORMAT,
        id=case_id,
        rulebook=RulebookRef(id=meta.id, version=meta.version),
        vehicle=old.vehicle,
        complaint=complaint,
        repairs=(*old.repairs, *failed) if comeback.ever_right == "no" else (),
        comeback_of=comeback,
    )
