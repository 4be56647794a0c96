"""The time line keeps who said what, what it was before, and what it took."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from advisor.cases import CaseSession, Record, Result
from advisor.cases import session as session_module
from advisor.life import Timeline, timeline_of, timeline_text


def timeline(session: CaseSession) -> Timeline:
    return timeline_of(session.case, session.rulebook)


def test_a_changed_answer_shows_what_it_was_and_who_changed_it(van: CaseSession) -> None:
    van.who = "MK"
    van.answer("play", "0.3 mm", by="service-advisor")
    van.who = None
    van.answer("play", "12 thou", by="technician")
    van.take_back("play", by="technician")
    assert timeline_text(timeline(van)).splitlines() == [
        "case van",
        "- 2024-05-01 09:30:00, service-advisor (MK), 6\u00a0min: What is the end play of the "
        "cross? 0.3 mm",
        "- 2024-05-01 09:30:00, technician: What is the end play of the cross? 12 thou "
        "(changed from: 0.3 mm)",
        "- 2024-05-01 09:30:00, technician: What is the end play of the cross? taken back "
        "(it was: 12 thou)",
        "spent so far: 6\u00a0min",
    ]


def test_the_same_answer_again_is_no_change(van: CaseSession) -> None:
    van.answer("layout", "one-piece")
    van.answer("layout", "one-piece")
    assert [event.kind for event in timeline(van).events] == ["answered", "answered"]


def test_events_come_in_the_order_of_their_moments(
    van: CaseSession, monkeypatch: pytest.MonkeyPatch
) -> None:
    def at(hour: int) -> None:
        moment = datetime(2024, 5, 1, hour, 0, tzinfo=UTC)
        monkeypatch.setattr(session_module, "utc_now", lambda: moment)

    at(8)
    van.answer("layout", "two-piece")
    at(9)
    van.mend("bad-support", by="technician")
    at(10)
    van.answer("noises", "boom")
    at(12)
    van.read_after("play", "0.1 mm")
    at(13)
    van.close(Result(causes=("loose-joint",)), by="technician")
    found = timeline(van)
    assert [event.kind for event in found.events] == [
        *("answered", "repaired-without-cure", "answered", "reading-after", "closed"),
    ]
    assert found.events[1].minutes == 110.0
    assert found.events[0].value == "Two pieces"


def test_lines_without_a_moment_keep_their_place(van: CaseSession) -> None:
    records = (
        Record(question="layout", answer="one-piece", at="2024-05-02T08:00:00Z"),
        Record(question="noises", answer="boom"),
        Record(question="history", answer="dont-know", from_case="car"),
    )
    case = van.case.model_copy(update={"answers": records})
    found = timeline_of(case, van.rulebook)
    assert [event.about for event in found.events] == ["layout", "noises", "history"]
    shown = timeline_text(found)
    assert "- time not noted: Which noises are heard? A boom" in shown
    assert "What was done to it lately? not known (from the earlier case)" in shown


def test_case_without_answers_says_so(van: CaseSession) -> None:
    assert "nothing was answered yet" in timeline_text(timeline(van))
