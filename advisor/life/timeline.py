"""The time line of a case: who answered, changed and repaired what, and when."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, dataclass
from typing import Any

from advisor.cases import CaseFile, Record
from advisor.report.wording import cause_name, minutes, one_line
from advisor.rulebook import Rulebook

FORMAT = 1  # of the JSON form; raised when a field changes its meaning or goes
NOBODY_KNOWS = "dont-know"
_WORDING = {
    "changed": "{name} {value} (changed from: {before})",
    "taken-back": "{name} taken back (it was: {before})",
    "carried-over": "{name} {value} (from the earlier case)",
    "reading-after": "{name} {value} (after the work)",
    "rings-taken": "{value} from box {name}",
    "repaired-without-cure": "repaired without a cure: {name}",
    "closed": "closed as: {name}",
}


@dataclass(frozen=True, slots=True)
class Event:
    """One thing that happened; `at` is "" when nobody noted it.

    `kind` is answered, changed, taken-back, carried-over, repaired-without-cure, rings-taken,
    reading-after or closed; `about` the id of the question or cause, or the box of the rings;
    `before` the value it had.
    """

    at: str
    kind: str
    about: str
    name: str
    value: str
    before: str
    role: str
    who: str
    minutes: float


@dataclass(frozen=True, slots=True)
class Timeline:
    """All events, oldest first. `minutes_spent` are those of finding, repairs without cure too."""

    format: int
    case: str
    events: tuple[Event, ...]
    minutes_spent: float
    minutes_of_cure: float | None

    def as_data(self) -> dict[str, Any]:
        """The time line as plain data for JSON."""
        return asdict(self)


def timeline_of(case: CaseFile, rulebook: Rulebook) -> Timeline:
    """The time line of a case, in the order of its moments, where they are known."""
    events = [*_answers(case, rulebook), *_repairs(case, rulebook), *_closing(case, rulebook)]
    ordered, last = [], ""
    for event in events[: len(case.answers)]:  # a line without a moment stays by its neighbour
        last = max(event.at, last)
        ordered.append((last, event))
    ordered += [(event.at or last, event) for event in events[len(case.answers) :]]
    ordered.sort(key=lambda pair: pair[0])
    return Timeline(
        FORMAT,
        case.id,
        tuple(event for _, event in ordered),
        case.minutes_spent,
        case.closing.minutes if case.closing else None,
    )


def _answers(case: CaseFile, rulebook: Rulebook) -> Iterator[Event]:
    so_far: dict[str, str] = {}
    for record in case.answers:
        before = so_far.pop(record.question, "")
        if record.answer is not None:
            so_far[record.question] = record.answer
        yield Event(
            record.at or "",
            _kind(record, before),
            record.question,
            rulebook.questions[record.question].ask,
            in_words(rulebook, record.question, record.answer or ""),
            in_words(rulebook, record.question, before),
            record.by or "",
            record.who or "",
            record.minutes or 0.0,
        )


def _kind(record: Record, before: str) -> str:
    if record.taken_back:
        return "taken-back"
    if record.from_case is not None:
        return "carried-over"
    return "changed" if before and before != record.answer else "answered"


def in_words(rulebook: Rulebook, question: str, text: str) -> str:
    """An answer of the log for people: the labels of its options, a number as it was typed."""
    if text in ("", NOBODY_KNOWS):
        return text and "not known"
    if rulebook.facts[question].unit is not None:
        return text
    return rulebook.show_value(question, rulebook.parse_answer(question, text))


def _repairs(case: CaseFile, rulebook: Rulebook) -> Iterator[Event]:
    for repair in case.repairs:
        yield Event(
            repair.at or "",
            "repaired-without-cure",
            repair.cause,
            cause_name(rulebook, repair.cause),
            "",
            "",
            repair.by or "",
            repair.who or "",
            repair.minutes or 0.0,
        )


def rings_in_words(count: int, thickness: str) -> str:
    """So many rings of a thickness: "2 rings of 1.54 mm"."""
    return f"1 ring of {thickness}" if count == 1 else f"{count} rings of {thickness}"


def _closing(case: CaseFile, rulebook: Rulebook) -> Iterator[Event]:
    closing = case.closing
    for reading in closing.after if closing else ():
        name = rulebook.questions[reading.question].ask
        value = in_words(rulebook, reading.question, reading.answer)
        yield Event(
            reading.at or "", "reading-after", reading.question, name, value, "", "", "", 0.0
        )
    for use in closing.rings if closing else ():
        value = rings_in_words(use.count, use.thickness)
        yield Event(use.at or "", "rings-taken", use.box, one_line(use.box), value, "", "", "", 0.0)
    if case.outcome is None:
        return
    for cause in case.outcome.causes or (None,):
        yield Event(
            (closing.at if closing else None) or "",
            "closed",
            cause or "",
            cause_name(rulebook, cause),
            "",
            "",
            (closing.by if closing else None) or "",
            (closing.who if closing else None) or "",
            0.0,
        )


def timeline_text(timeline: Timeline) -> str:
    """The time line, a line or two an event."""
    lines = [f"case {timeline.case}", *(_line(event) for event in timeline.events)]
    if not timeline.events:
        lines.append("nothing was answered yet")
    cure = timeline.minutes_of_cure
    after = "" if cure is None else f"; work and proof of the cure {minutes(cure)}"
    return "\n".join([*lines, f"spent so far: {minutes(timeline.minutes_spent)}{after}"])


def _line(event: Event) -> str:
    when = event.at.replace("T", " ").removesuffix("Z") or "time not noted"
    by = " ".join(part for part in (event.role, f"({event.who})" if event.who else "") if part)
    took = f", {minutes(event.minutes)}" if event.minutes else ""
    head = f"- {when}{f', {by}' if by else ''}{took}: "
    value, before = one_line(event.value), one_line(event.before)
    wording = _WORDING.get(event.kind, "{name} {value}")
    return head + wording.format(name=event.name, value=value, before=before)
