"""The concern says what was answered, in sentences, and names what nobody asked or knew."""

from __future__ import annotations

import pytest

from advisor.cases import CaseSession
from advisor.life import Concern, concern_of


def concern(session: CaseSession) -> Concern:
    return concern_of(session.case, session.rulebook, session.diagnosis)


def told(session: CaseSession) -> list[str]:
    return [sentence.text for sentence in concern(session).told]


def test_answers_become_sentences_in_the_order_of_a_repair_order(van: CaseSession) -> None:
    van.answer("history", "New rings, by ABS Garage")
    van.answer("speed", "60 mph")
    van.answer("noises", "clunk, boom")
    assert told(van) == [
        "It makes a clunk and a boom.",
        "It is worst at 60 mph.",
        "The last work: New rings, by ABS Garage.",
    ]


def test_option_with_a_sentence_of_its_own_stands_by_itself(van: CaseSession) -> None:
    van.answer("noises", "squeak, clunk")
    assert told(van) == ["It makes a clunk.", "It squeaks."]


@pytest.mark.parametrize(
    ("answer", "sentence"), [("yes", "It began after joint work."), ("no", "It began by itself.")]
)
def test_yes_and_no_have_their_own_sentences(van: CaseSession, answer: str, sentence: str) -> None:
    van.answer("began-after-work", answer)
    assert told(van) == [sentence]


def test_none_of_several_options_says_nothing_and_is_no_gap(van: CaseSession) -> None:
    van.answer("noises", "none")
    assert told(van) == []
    assert "what it is" not in concern(van).not_asked


def test_no_without_a_sentence_says_nothing_and_is_no_gap(van: CaseSession) -> None:
    van.answer("shudder-in-neutral", "no")
    assert (concern(van).told, concern(van).found) == ((), ())
    assert "under which load" not in concern(van).not_asked


def test_what_a_test_of_the_vehicle_showed_stands_apart(van: CaseSession) -> None:
    van.answer("shudder-in-neutral", "yes")
    assert concern(van).told == ()
    assert [one.text for one in concern(van).found] == ["It shudders in neutral as well."]


def test_gaps_tell_what_nobody_knew_from_what_nobody_was_asked(van: CaseSession) -> None:
    van.answer("noises", "boom")
    van.answer("speed", "dont-know")
    found = concern(van)
    assert found.not_known == ("how fast the vehicle goes then",)
    assert found.not_asked == ("under which load", "since when", "after which work")


def test_aspect_that_the_rulebook_asks_nothing_about_is_no_gap(van: CaseSession) -> None:
    assert "where it is felt or heard" not in concern(van).not_asked


def test_answer_taken_back_is_not_told(van: CaseSession) -> None:
    van.answer("noises", "boom")
    van.take_back("noises")
    assert told(van) == []
    assert "what it is" in concern(van).not_asked
