"""What a case says by ids that its rulebook retired, with nothing in their place."""

from __future__ import annotations

from bisect import bisect_left
from typing import Final

from advisor.rulebook import Retired, Successor

from .casefile import CaseFile, NoLonger, Result
from .records import Repair

_SECTIONS: Final = {
    "question": ("questions",),
    "test": ("tests", "questions"),  # a question with a place is a test by itself
    "place": ("places",),
    "cause": ("causes",),
}


class Gone:
    """The ids of a rulebook that were retired, with nothing in their place."""

    def __init__(self, retired: Retired) -> None:
        self._gone = {key: one for key, one in retired.items() if one.id is None}

    def __bool__(self) -> bool:
        return bool(self._gone)

    def successor(self, what: str, name: str) -> Successor | None:
        """When and why a question, test, place or cause went; None if it did not."""
        keys = ((section, name) for section in _SECTIONS[what])
        return next((self._gone[key] for key in keys if key in self._gone), None)

    def has(self, what: str, name: str) -> bool:
        """Whether a question, test, place or cause went."""
        return self.successor(what, name) is not None


def without_gone(case: CaseFile, gone: Gone) -> CaseFile:
    """The case with what it says by gone ids put aside under `retired`, where it counts no more.

    Where one is, and tests put off, are forgotten. A confirmed cause that went was none of the
    listed causes, if there is no other.
    """
    if not gone:
        return case
    lines = [line for line, one in enumerate(case.answers) if gone.has("question", one.question)]
    changes: dict[str, object] = {
        "answers": tuple(one for one in case.answers if not gone.has("question", one.question)),
        "repairs": tuple(
            _after_fewer(one, lines) for one in case.repairs if not gone.has("cause", one.cause)
        ),
        "put_off": tuple(one for one in case.put_off if not gone.has("test", one)),
        "retired": _put_aside(case, gone),
    }
    if case.place is not None and gone.has("place", case.place):
        changes["place"] = None
    if case.outcome is not None:
        causes = tuple(one for one in case.outcome.causes if not gone.has("cause", one))
        note = case.outcome.note
        changes["outcome"] = Result(causes=causes, none_of_the_listed=not causes, note=note)
    if case.closing is not None:
        after = (one for one in case.closing.after if not gone.has("question", one.question))
        changes["closing"] = case.closing.model_copy(update={"after": tuple(after)})
    return case.model_copy(update=changes)


def _after_fewer(repair: Repair, lines: list[int]) -> Repair:
    """The repair when these lines of the log are no longer there."""
    before = repair.answers_before
    if before is None:
        return repair
    return repair.model_copy(update={"answers_before": before - bisect_left(lines, before)})


def _put_aside(case: CaseFile, gone: Gone) -> NoLonger | None:
    """All that was put aside at any time; None for nothing."""
    before = case.retired or NoLonger()
    after = case.closing.after if case.closing else ()
    causes = case.outcome.causes if case.outcome else ()
    whole = NoLonger(
        answers=(
            *before.answers,
            *(one for one in case.answers if gone.has("question", one.question)),
        ),
        after=(*before.after, *(one for one in after if gone.has("question", one.question))),
        repairs=(*before.repairs, *(one for one in case.repairs if gone.has("cause", one.cause))),
        causes=(*before.causes, *(one for one in causes if gone.has("cause", one))),
    )
    return None if whole == NoLonger() else whole
