"""A statement as text, ready to paste into a repair order. Not yet wrapped."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from advisor.report.wording import minutes, named, one_line

from .concern import Concern
from .correction import Correction, RingsUsed
from .private import FIELDS
from .roadtest import RoadPlan
from .statement import Earlier, Statement
from .timeline import rings_in_words

_EVER_RIGHT = {
    "yes": "it was right for a time after that work",
    "no": "it was never right after that work",
    "dont-know": "whether it was ever right after that work is not known",
}


def statement_text(statement: Statement) -> str:
    """The whole statement; the verdict on driving comes first, sections are parted by a line."""
    sections = (
        _stops(statement),
        _head(statement),
        concern_lines(statement),
        _road_test(statement),
        cause_lines(statement),
        correction_lines(statement.correction),
    )
    return "\n\n".join("\n".join(lines) for section in sections if (lines := list(section)))


def verdict_text(statement: Statement) -> str:
    """The verdict on driving alone; "" when nothing speaks against it."""
    return "\n".join(_stops(statement))


def hand_over_text(statement: Statement) -> str:
    """What the desk hands on: verdict, concern and road-test plan."""
    sections = (_stops(statement), concern_lines(statement), _road_test(statement))
    return "\n\n".join("\n".join(lines) for section in sections if (lines := list(section)))


def _stops(statement: Statement) -> Iterator[str]:
    for stop in statement.stop_driving:
        yield "STOP DRIVING" + ("" if stop.certain else " until this is settled") + f": {stop.says}"
        yield f"   {stop.caution}"


def _head(statement: Statement) -> Iterator[str]:
    yield f"case {statement.case}"
    if statement.vehicle:
        yield f"vehicle: {one_line(statement.vehicle)}"
    for field, value in (statement.private or {}).items():
        yield f"{FIELDS[field]}: {one_line(value)}"


def concern_lines(statement: Statement) -> Iterator[str]:
    """The concern: the customer's own words, then what was told and found, then the gaps."""
    concern = statement.concern
    yield "CONCERN"
    if statement.complaint:
        yield f'The customer\'s own words: "{one_line(statement.complaint)}"'
    if statement.comeback_of is not None:
        yield _comeback(statement.comeback_of)
    if statement.failed_repairs:
        yield f"Repaired without a cure: {'; '.join(statement.failed_repairs)}."
    for sentences in (concern.told, concern.found):
        if sentences:
            lead = "Found on the vehicle: " if sentences is concern.found else ""
            yield lead + " ".join(one_line(sentence.text) for sentence in sentences)
    yield from _gaps(concern)


def _comeback(earlier: Earlier) -> str:
    then = f": {'; '.join(earlier.causes)}" if earlier.causes else ""
    work = f", and this was done: {one_line(earlier.work).rstrip('.')}" if earlier.work else ""
    return f"It comes back. Case {earlier.case}{then}{work}; {_EVER_RIGHT[earlier.ever_right]}."


def _gaps(concern: Concern) -> Iterator[str]:
    if concern.not_known:
        yield f"Not known: {'; '.join(concern.not_known)}."
    if concern.not_asked:
        yield f"Not asked: {'; '.join(concern.not_asked)}."


def _road_test(statement: Statement) -> Iterator[str]:
    if statement.causes:
        return
    yield "ROAD TEST, for the technician"
    plan = statement.road_test
    if statement.stop_driving:
        yield "None: the vehicle must not be driven."
    elif plan is None:
        yield "None: no test on the road pays for its minutes as things stand."
    else:
        yield from _road_plan(plan)


def _road_plan(plan: RoadPlan) -> Iterator[str]:
    for caution in plan.cautions:
        yield f"caution: {caution}"
    yield "where to look:"
    yield from (f"- {line}" for line in plan.look)
    yield f"in this order, about {minutes(plan.minutes)} with the way there:"
    for number, test in enumerate(plan.tests, 1):
        yield f"{number}. {test.name} ({minutes(test.minutes)})"
        if test.how:
            yield f"   {test.how}"
        yield from (f"   - {ask}" for ask in test.asks)


def cause_lines(statement: Statement) -> Iterator[str]:
    """What it was, under its heading; nothing while the case is open."""
    if statement.causes:
        yield "CAUSE"
    for cause in statement.causes:
        yield f"{cause.name}." + (f" {cause.what}" if cause.what else "")
    if statement.causes and statement.correction is not None and statement.correction.note:
        yield _ended(statement.correction.note)


def correction_lines(correction: Correction | None) -> Iterator[str]:
    """What was done and what proved it, under its heading; nothing while the case is open."""
    if correction is None:
        return
    yield "CORRECTION"
    if correction.work:
        yield _ended(correction.work)
    else:
        yield "What was done is not written down."
    yield from map(_rings, correction.rings)
    if correction.parts:
        yield f"Parts used: {'; '.join(map(one_line, correction.parts))}."
    for one in correction.measured:
        values = f"{one.before or 'not measured'} before, {one.after} after"
        yield f"- {named(one.name, values)}"
    yield from _proof(correction)
    if correction.noted:
        yield "Written down for the next time:"
        yield from (f"- {what}: {one_line(words)}" for what, words in correction.noted)
    if correction.minutes is not None:
        yield f"Work and proof took {minutes(correction.minutes)}."


def _rings(used: RingsUsed) -> str:
    rings = rings_in_words(used.count, used.thickness)
    still = "" if used.booked else "; the stock is not lessened by them yet"
    return f"{rings} from box {one_line(used.box)}{still}."


def _proof(correction: Correction) -> Iterable[str]:
    gone = correction.complaint_gone
    if gone is not None:
        yield "The complaint is gone." if gone else "The complaint is still there."
    if correction.proof:
        yield "Proof of the cure:"
    else:
        yield "No step of the proof of the cure is written down."
    for step in correction.proof:
        result = f": {one_line(step.result)}" if step.result else ""
        yield f"- {'done' if step.done else 'not done'}: {step.step.rstrip('.')}{result}"


def _ended(text: str) -> str:
    """Free words on one line, as a whole sentence."""
    line = one_line(text)
    return line if line.endswith((".", "!", "?")) else f"{line}."
