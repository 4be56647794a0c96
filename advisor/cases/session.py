"""A case that is open: the file, its rulebook, and the diagnosis, kept in step."""

from __future__ import annotations

import os
from collections.abc import Collection, Mapping
from datetime import UTC, datetime
from pathlib import Path
from types import MappingProxyType

from advisor.engine import rules as engine
from advisor.engine.diagnosis import Diagnosis
from advisor.engine.plan import Plan
from advisor.engine.values import Value
from advisor.rulebook import Rulebook

from .casefile import FORMAT, CaseFile, Result, RulebookRef
from .closing import Closing
from .errors import CaseExistsError, ChangedError, NotOverwrittenError, WriteError
from .fitting import fit
from .lock import CaseLock
from .reading import read_with_places
from .records import Reading, Record, Repair, utc_text
from .store import check_id, set_aside, text_on_disk, write_case


def utc_now() -> datetime:
    """The clock of the log."""
    return datetime.now(UTC)


class CaseSession:
    """An open case. Every change is on disk before it counts here.

    A change raises WriteError or NotOverwrittenError when the file could not be written; nothing
    has changed then. `warnings` are lines to show once, such as that another version of the
    rulebook answered this case. `text` is that of the file as it was read, None for a new one.
    `closed` are questions that can't be answered in this sitting, such as those whose gauge is
    missing; `who` is the name or the initials of who sits there, if given.
    """

    def __init__(  # noqa: PLR0913 - all that is known of a case when it is opened
        self,
        path: Path,
        rulebook: Rulebook,
        case: CaseFile,
        *,
        lock: CaseLock | None = None,
        warnings: tuple[str, ...] = (),
        text: str | None = None,
    ) -> None:
        self.path = path
        self.rulebook = rulebook
        self.warnings = warnings
        self.closed: frozenset[str] = frozenset()
        self.who: str | None = None
        self.diagnosis = replay(case, rulebook)
        self._case = case
        self._lock = lock
        self._text = text
        self._test_of = {
            question: test for test in rulebook.rules.tests for question in test.questions
        }

    @property
    def case(self) -> CaseFile:
        """The case as it is on disk."""
        return self._case

    @property
    def place(self) -> str:
        """Where one is now: that of the case, or the first of the rulebook."""
        return self._case.place or self.rulebook.rules.places[0].id

    def plan(self, places: Collection[str] | None = None) -> Plan:
        """What to do next from where one is, within `places` (all by default)."""
        return self.diagnosis.plan(
            at=self.place, places=places, put_off=self._case.put_off, closed=self.closed
        )

    def test_of(self, question: str) -> engine.Test:
        """The test that answers a question."""
        return self._test_of[question]

    def save(self) -> None:
        """Write the case as it stands."""
        self._write(self._case)

    def answer(self, question: str, text: str, *, by: str | None = None) -> Value:
        """Take the answer to a question, as typed; raises AnswerError when it can't be read.

        The first answer of a test spends the test's minutes; an answer at another place also
        spends the way there. From now on the case names the version of this rulebook.
        """
        value = self.rulebook.parse_answer(question, text)
        test = self._test_of[question]
        spent = self.minutes_of(test)
        record = Record(
            question=question,
            answer=text,
            at=self.moment(),
            by=by,
            who=self.who,
            minutes=spent or None,
        )
        self._write(self._after_work(test, spent).with_record(record))
        self.diagnosis.answer(question, value)
        return value

    def take_back(self, question: str, *, by: str | None = None) -> None:
        """Forget the answer to a question; the log keeps it."""
        record = Record(question=question, taken_back=True, at=self.moment(), by=by, who=self.who)
        self._write(self._case.with_record(record))
        self.diagnosis.take_back(question)

    def put_off(self, test: str) -> None:
        """Remember that a test is put off."""
        if test not in self._case.put_off:
            self._update(put_off=(*self._case.put_off, test))

    def take_up(self, test: str) -> None:
        """Remember that a test is no longer put off."""
        if test in self._case.put_off:
            self._update(put_off=tuple(other for other in self._case.put_off if other != test))

    def describe(self, *, vehicle: str, complaint: str) -> None:
        """Set the vehicle and the complaint, in free words."""
        self._update(vehicle=vehicle, complaint=complaint)

    def mend(self, *causes: str, by: str | None = None) -> None:
        """Take in that causes were mended and the complaint remained: that is evidence too.

        Spends the minutes of the repairs and their proof; the next repair is a new one.
        """
        repairs = [self._repair(cause, by) for cause in causes]
        changes: dict[str, object] = {
            "repairs": (*self._case.repairs, *repairs),
            "minutes_spent": self._case.minutes_spent + sum(one.minutes or 0.0 for one in repairs),
        }
        if self._case.closing is not None:
            changes["closing"] = self.closing.model_copy(update={"complaint_gone": None})
        self._update(**changes)
        for cause in causes:
            self.diagnosis.mend(cause)

    def _repair(self, cause: str, by: str | None) -> Repair:
        model = self.rulebook.causes[cause]
        spent = model.remedy.minutes + model.verify.minutes
        return Repair(
            cause=cause,
            answers_before=len(self._case.answers),
            at=self.moment(),
            by=by,
            who=self.who,
            minutes=spent or None,
        )

    def close(
        self,
        result: Result,
        *,
        by: str | None = None,
        changes: Mapping[str, object] = MappingProxyType({}),
    ) -> None:
        """Set what the trouble turned out to be, who said so, and other fields of the closing."""
        closing = self.closing.model_copy(
            update={**changes, "at": self.moment(), "by": by, "who": self.who}
        )
        self._update(outcome=result, closing=closing)

    @property
    def closing(self) -> Closing:
        """What is known of the work that cured the vehicle; empty at first."""
        return self._case.closing or Closing()

    def moment(self) -> str:
        """Now, as the log writes it."""
        return utc_text(utc_now())

    def note_closing(self, **changes: object) -> None:
        """Set fields of the closing, such as `work`, `minutes` or `rings`."""
        self._update(closing=self.closing.model_copy(update=changes))

    def read_after(self, question: str, text: str) -> Value:
        """Take a reading after the work; it proves the cure and changes no ranking.

        Raises AnswerError when it can't be read.
        """
        value = self.rulebook.parse_answer(question, text)
        reading = Reading(question=question, answer=text, at=self.moment())
        self.note_closing(after=(*self.closing.after, reading))
        return value

    def minutes_of(self, test: engine.Test) -> float:
        """The minutes that the test costs now: its own if not yet begun, and the way there."""
        own = 0.0 if self._case.has_record_of(test.questions) else test.minutes
        return own + self.minutes_to(test.place)

    def minutes_to(self, place: str) -> float:
        """The minutes of going to a place from where one is now."""
        return 0.0 if place == self.place else self.rulebook.places[place].minutes

    def _after_work(self, test: engine.Test, spent: float) -> CaseFile:
        meta = self.rulebook.meta
        changes = {
            "rulebook": RulebookRef(id=meta.id, version=meta.version),
            "minutes_spent": self._case.minutes_spent + spent,
            "place": test.place,
        }
        return self._case.model_copy(update=changes)

    def _update(self, **changes: object) -> None:
        self._write(self._case.model_copy(update=changes))

    def _write(self, case: CaseFile) -> None:
        try:
            fresh = self._text is None
            self._text = write_case(self.path, case, fresh=fresh, check=self._check_is_ours)
        except (NotOverwrittenError, FileExistsError) as error:
            refused = ChangedError(self.path) if isinstance(error, OSError) else error
            refused.kept = set_aside(self.path, case)
            raise refused from None
        except WriteError:  # the disk may have failed after the new file was in its place
            self._text = text_on_disk(self.path) or self._text
            raise
        self._case = case

    def _check_is_ours(self) -> None:
        """Whether the file is still as it was left; editors know nothing of the lock."""
        if self._lock is not None:
            self._lock.check()
        if text_on_disk(self.path) != self._text:
            raise ChangedError(self.path)


def replay(case: CaseFile, rulebook: Rulebook) -> Diagnosis:
    """The diagnosis with the answers that count, each before or after the repairs as it was given.

    The case must fit the rulebook.
    """
    diagnosis = Diagnosis(rulebook.engine)
    end = len(case.answers)
    mended: dict[int, list[str]] = {}  # causes, by the line of the log that came next
    for repair in case.repairs:
        line = end if repair.answers_before is None else min(end, repair.answers_before)
        mended.setdefault(line, []).append(repair.cause)
    answers = {line: (question, text) for question, (line, text) in case.latest_lines().items()}
    since: dict[str, Value] = {}  # answers since the last repair
    for line in range(end + 1):
        for cause in mended.get(line, ()):
            diagnosis.answer_all(since)
            since = {}
            diagnosis.mend(cause)
        if line in answers:
            question, text = answers[line]
            since[question] = rulebook.parse_answer(question, text)
    diagnosis.answer_all(since)
    return diagnosis


def open_case(path: Path, rulebook: Rulebook, *, lock: CaseLock | None = None) -> CaseSession:
    """Open the case at `path`; LoadError with all its problems when it can't be understood."""
    read = read_with_places(path, rulebook.retired)
    fitting = fit(read, rulebook)
    return CaseSession(
        path,
        rulebook,
        fitting.case,
        lock=lock,
        warnings=fitting.warnings,
        text=read.document.text,
    )


def new_case(
    path: Path,
    rulebook: Rulebook,
    *,
    vehicle: str = "",
    complaint: str = "",
    lock: CaseLock | None = None,
) -> CaseSession:
    """Begin a case at `path`, on disk at once; its id is the file's name without the ending.

    Raises CaseIdError for a name that is no id, CaseExistsError when there is a file already.
    """
    case = CaseFile(
        format=FORMAT,
        id=check_id(path.stem),
        rulebook=RulebookRef(id=rulebook.meta.id, version=rulebook.meta.version),
        vehicle=vehicle,
        complaint=complaint,
    )
    return begin_case(path, rulebook, case, lock=lock)


def begin_case(
    path: Path, rulebook: Rulebook, case: CaseFile, *, lock: CaseLock | None = None
) -> CaseSession:
    """Begin a case of which something is known already; raises as `new_case` does."""
    check_id(path.stem)
    if os.path.lexists(path):
        raise CaseExistsError(path)
    session = CaseSession(path, rulebook, case, lock=lock)
    session.save()
    return session
