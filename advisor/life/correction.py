"""Cause and correction of a closed case: what was found, done, used, measured and proved."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from advisor.cases import CaseFile, Closing, replay
from advisor.engine.diagnosis import Diagnosis
from advisor.engine.values import UNKNOWN
from advisor.report.display import Display
from advisor.report.wording import NONE_OF_THE_LISTED
from advisor.rulebook import Rulebook

from .timeline import in_words


@dataclass(frozen=True, slots=True)
class CauseFound:
    """A confirmed cause; the id is None for none of the listed causes."""

    id: str | None
    name: str
    what: str


@dataclass(frozen=True, slots=True)
class Measured:
    """One thing before and after the work, in words with its unit; "" where it is not known."""

    fact: str
    name: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class RingsUsed:
    """Rings out of one box of the stock; `booked` is false while the stock still has them."""

    box: str
    count: int
    thickness: str
    booked: bool


@dataclass(frozen=True, slots=True)
class Proof:
    """A step of the check that proves the cure."""

    step: str
    done: bool
    result: str


@dataclass(frozen=True, slots=True)
class Correction:
    """What was done and what proved it; minutes are None when nobody said them."""

    work: str
    note: str
    rings: tuple[RingsUsed, ...]
    parts: tuple[str, ...]
    measured: tuple[Measured, ...]
    proof: tuple[Proof, ...]
    complaint_gone: bool | None
    noted: tuple[tuple[str, str], ...]
    minutes: float | None


def causes_found(case: CaseFile, rulebook: Rulebook) -> tuple[CauseFound, ...]:
    """The confirmed causes; empty while the case is open."""
    if case.outcome is None:
        return ()
    if case.outcome.none_of_the_listed:
        return (CauseFound(None, NONE_OF_THE_LISTED, ""),)
    models = ((name, rulebook.causes[name]) for name in case.outcome.causes)
    return tuple(CauseFound(name, model.name, model.what) for name, model in models)


def correction_of(case: CaseFile, rulebook: Rulebook, diagnosis: Diagnosis) -> Correction | None:
    """What was done; None while nothing is known of it."""
    if case.outcome is None and case.closing is None:
        return None
    closing = case.closing or Closing()
    return Correction(
        closing.work or "",
        (case.outcome.note if case.outcome else None) or "",
        tuple(RingsUsed(use.box, use.count, use.thickness, use.booked) for use in closing.rings),
        closing.parts,
        tuple(_measured(case, closing, rulebook, diagnosis)),
        tuple(Proof(one.step, one.done, one.result or "") for one in closing.proof),
        closing.complaint_gone,
        tuple((one.what, one.words) for one in closing.noted),
        closing.minutes,
    )


def _measured(
    case: CaseFile, closing: Closing, rulebook: Rulebook, diagnosis: Diagnosis
) -> Iterator[Measured]:
    """What was read again after the work, and what is computed from it, before and after."""
    readings = closing.latest_after()
    if not readings:
        return
    earlier = case.latest()
    for question, text in readings.items():
        before = in_words(rulebook, question, earlier.get(question, ""))
        name = rulebook.questions[question].ask
        yield Measured(question, name, before, in_words(rulebook, question, text))
    typed = {**earlier, **readings}
    after = replay(case.model_copy(update={"repairs": ()}), rulebook)
    for question, text in readings.items():
        after.answer(question, rulebook.parse_answer(question, text))
    shown_before, shown_after = Display(rulebook, earlier), Display(rulebook, typed)
    for fact in _shown(case, rulebook):
        old, new = diagnosis.value(fact), after.value(fact)
        if new is not UNKNOWN and old != new and fact not in readings:
            before = "" if old is UNKNOWN else shown_before.value(fact, old)
            yield Measured(fact, rulebook.name_of(fact), before, shown_after.value(fact, new))


def _shown(case: CaseFile, rulebook: Rulebook) -> Iterator[str]:
    """The computed facts that belong to the cure, each once."""
    causes = case.outcome.causes if case.outcome else ()
    facts = (fact for cause in causes for fact in rulebook.causes[cause].remedy.shows)
    yield from dict.fromkeys(facts)
