"""What is searched for is found, and what is asked wrongly is told."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date

import pytest

from advisor.cases import Closing
from advisor.library import LibraryError, Wanted, consult, search
from advisor.library.search import MOST_WORDS, Findings
from advisor.library.weighing import Light
from tests.library.making import LOOSE, UNBALANCED, Shelf, made

Find = Callable[..., list[str]]


@pytest.fixture
def find(shelf: Shelf) -> Find:
    """The ids of the cases that have all that is wanted."""

    def go(*words: str, **wanted: object) -> list[str]:
        findings = result(shelf, Wanted(words, **wanted))  # type: ignore[arg-type]
        return [one.case.id for one in findings.found]

    return go


def result(shelf: Shelf, wanted: Wanted, most: int = 100) -> Findings:
    return shelf.ask(lambda library: search(library, wanted, most))


def test_words_begin_words_of_vehicle_complaint_answers_and_notes(shelf: Shelf, find: Find) -> None:
    shelf.put(made("by-vehicle", vehicle="A red pickup"))
    shelf.put(made("by-complaint", complaint="The pick-up growls"))
    shelf.put(made("by-answer", {"history": "new clutch", "layout": "one-piece"}))
    shelf.put(made("by-note", causes=["unbalance"], note="A lost Wuchtgewicht, größer als gedacht"))
    shelf.put(made("by-work", closing=Closing(work="Balanced the shaft", parts=("two weights",))))
    assert find("pickup") == ["by-vehicle"]
    assert find("RED", "pick") == ["by-vehicle"]
    assert find("pick-up") == ["by-complaint"]
    assert find("clutch") == ["by-answer"]
    assert find("GRÖSSER") == ["by-note"]
    assert find("grosser") == ["by-note"]
    assert find("weights") == ["by-work"]
    assert find("ickup") == []
    assert find("red", "growls") == []


@pytest.mark.parametrize("word", ["shudders' OR 1=1 --", "it %", "sh_dders", "it*", "a NOT b"])
def test_signs_of_a_query_language_mean_nothing(shelf: Shelf, find: Find, word: str) -> None:
    shelf.put(made("van"))
    assert find(word) == (["van"] if word.startswith("it") else [])


@pytest.mark.parametrize("word", ["", " ", "%", "--", "\x00"])
def test_word_without_a_letter_or_digit_is_told(shelf: Shelf, find: Find, word: str) -> None:
    with pytest.raises(LibraryError, match="has a letter or a digit"):
        find("it", word)


def test_more_words_than_the_index_takes_are_refused(find: Find) -> None:
    assert find(*["word"] * MOST_WORDS) == []
    with pytest.raises(LibraryError, match="read 2000 words"):
        find(*["word"] * 2000)


def test_words_of_one_text_stand_side_by_side(shelf: Shelf, find: Find) -> None:
    shelf.put(made("bolts", complaint="The flange bolts were loose"))
    shelf.put(made("nuts", complaint="Bolts fine, but the flange is rusty"))
    assert find("flange bolts") == ["bolts"]
    assert find("flange", "bolts") == ["bolts", "nuts"]


def test_taken_back_answers_are_not_found(shelf: Shelf, find: Find) -> None:
    case = made("van", {"history": "new clutch"})
    shelf.put(
        case.with_record(case.answers[0].model_copy(update={"answer": None, "taken_back": True}))
    )
    assert find("clutch") == []


def test_facts_are_compared_as_values(shelf: Shelf, find: Find) -> None:
    shelf.put(made("thin", {"play": "0.40 mm", "noises": "clunk, boom"}))
    shelf.put(made("good", {"play": "0.05 mm", "noises": "boom"}))
    shelf.put(made("unknown", {"play": "dont-know"}))
    assert find(facts=("play=0.4 mm",)) == ["thin"]
    assert find(facts=("play=15.75 thou",)) == ["thin"]
    assert find(facts=("play=0 mm..0.1 mm",)) == ["good"]
    assert find(facts=("noises=boom",)) == ["good", "thin"]
    assert find(facts=("noises=clunk, boom",)) == ["thin"]
    assert find(facts=("noises=boom", "play=0.05 mm")) == ["good"]
    assert find(facts=("play=?",)) == ["unknown"]


@pytest.mark.parametrize(
    ("fact", "told"),
    [
        ("play", "write a question and its value"),
        ("play=", "write a question and its value"),
        ("paly=1 mm", 'did you mean "play"'),
        ("play=1 kg", "play: "),
        ("layout=three", "layout: "),
        ("play=0.2 mm..0.1 mm", "write the smaller value first"),
    ],
)
def test_fact_that_means_nothing_is_told(shelf: Shelf, find: Find, fact: str, told: str) -> None:
    with pytest.raises(LibraryError, match=told):
        find(facts=(fact,))


def test_cause_is_the_confirmed_one_and_the_leading_one_of_open_cases(
    shelf: Shelf, find: Find
) -> None:
    shelf.put(made("open-loose", LOOSE))
    shelf.put(made("open-unbalance", UNBALANCED))
    shelf.put(made("closed-otherwise", LOOSE, causes=["unbalance"]))
    shelf.put(made("closed-loose", UNBALANCED, causes=["loose-joint"]))
    assert find(cause="loose-joint") == ["closed-loose", "open-loose"]
    assert find(cause="unbalance", closed=True) == ["closed-otherwise"]
    with pytest.raises(LibraryError, match="did you mean"):
        find(cause="loose-joints")


def test_days_are_whole_and_both_included(shelf: Shelf, find: Find) -> None:
    shelf.put(made("early", at="2024-05-01T00:00:00Z"))
    shelf.put(made("late", at="2024-05-01T23:59:59Z"))
    shelf.put(made("next", at="2024-05-02T00:00:00Z"))
    shelf.put(made("never", at=None))
    day = date(2024, 5, 1)
    assert find(since=day, until=day) == ["late", "early"]
    assert find(since=date(2024, 5, 2)) == ["next"]
    assert find(since=day, until=date.max) == ["next", "late", "early"]
    assert result(shelf, Wanted(since=day)).undated == 1
    assert result(shelf, Wanted(("growls",), since=day)).undated == 0


def test_case_began_when_its_own_first_record_was_made(shelf: Shelf) -> None:
    case = made("van", at="2024-05-03T08:00:00Z")
    carried = case.answers[0].model_copy(update={"from_case": "old", "at": "2020-01-01T00:00:00Z"})
    shelf.put(case.model_copy(update={"answers": (carried, *case.answers)}))
    (found,) = result(shelf, Wanted()).found
    assert found.began == "2024-05-03T08:00:00Z"


def test_most_are_shown_and_all_are_counted(shelf: Shelf) -> None:
    for name in "abcd":
        shelf.put(made(name))
    findings = result(shelf, Wanted(), 2)
    assert [one.case.id for one in findings.found] == ["a", "b"]
    assert findings.as_data()["count"] == 4


def test_open_and_closed_are_told_apart(shelf: Shelf, find: Find) -> None:
    shelf.put(made("open"))
    shelf.put(made("closed", none=True))
    assert find(closed=True) == ["closed"]
    assert find(closed=False) == ["open"]


def test_result_as_data_keeps_its_names(shelf: Shelf) -> None:
    shelf.put(made("van", causes=["loose-joint"], minutes_spent=30.0))
    data = result(shelf, Wanted()).as_data()
    assert data["format"] == 1
    (one,) = data["cases"]
    assert one == {
        "file": "van.yaml",
        "id": "van",
        "began": "2024-05-01T09:30:00Z",
        "vehicle": "A van",
        "complaint": "It shudders",
        "closed": True,
        "confirmed": ["loose-joint"],
        "leading": "loose-joint",
        "probability": one["probability"],
        "place": None,
        "minutes_spent": 30.0,
    }
    assert 0.5 < one["probability"] < 1.0


def test_cases_are_weighed_again_only_for_another_rulebook(shelf: Shelf) -> None:
    shelf.put(made("van"))
    told: list[tuple[str, int]] = []

    def weighed(light: Light) -> None:
        consult(
            shelf.folder,
            shelf.index,
            light,
            lambda library: library.weighed(library.select()),
            tell=lambda doing, count: told.append((doing, count)),
        )

    weighed(shelf.light)
    weighed(shelf.light)
    assert told == [("reading", 1), ("weighing", 1)]
    weighed(replace(shelf.light, mark="changed"))
    assert told[2:] == [("weighing", 1)]
