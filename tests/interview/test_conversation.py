"""The conversation, through both ports: what is asked, told and kept."""

from __future__ import annotations

import io
import os
import re
from pathlib import Path

import pytest

from advisor.cases import LONGEST_ANSWER, InUseError, new_case, open_case, read_case
from advisor.cases import lock as lock_module
from advisor.engine.forecast import Outcome
from advisor.interview import ROLES, PlainPort, Tone, texts
from advisor.interview.asking import Asker, Step
from advisor.rulebook import Rulebook, load
from tests.cases.shop import write_shop
from tests.interview.talk import CLOSING, CTRL_C, Recorder, Refused, Talk, Talker

# layout, noises, history, began-after-work; a one-piece shaft has no support to ask about
OPENING = ["1", "none", "?", "?"]
PLAY = "What is the end play of the cross?"
LAYOUT = "How many pieces has the shaft?"
NOISES = "Which noises are heard?"


def answers(talk: Talk) -> dict[str, str]:
    return talk.case.latest()


# -- the way through --


def test_opening_tests_come_first_in_their_order(talk: Talker, shop: Rulebook, van: Path) -> None:
    done = talk(shop, van, OPENING)
    assert done.screen.questions()[:4] == [
        LAYOUT,
        NOISES,
        "What was done to it lately?",
        "Did it begin after joint work?",
    ]


def test_header_shows_vehicle_and_complaint(talk: Talker, shop: Rulebook, van: Path) -> None:
    told = talk(shop, van, []).screen.told[0]
    assert told[0] is Tone.HEADING
    assert 'vehicle: A van\ncomplaint: "It shudders"' in told[1]


def test_new_case_asks_for_vehicle_and_complaint(
    talk: Talker, shop: Rulebook, tmp_path: Path
) -> None:
    done = talk(shop, tmp_path / "new-one.yaml", ["A pickup", "It booms at 50 mph"])
    assert (done.case.id, done.case.vehicle) == ("new-one", "A pickup")
    assert done.case.complaint == "It booms at 50 mph"


def test_words_about_the_vehicle_are_asked_until_there_are_some(
    talk: Talker, shop: Rulebook, tmp_path: Path
) -> None:
    done = talk(shop, tmp_path / "new-one.yaml", ["", "x" * 1001, "A pickup", "/stop"])
    assert done.screen.text.count("expected a few words") == 2
    assert (done.case.vehicle, done.status) == ("A pickup", 0)  # kept, although one stopped


def test_question_whose_condition_is_false_is_not_asked(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    support = "Is the rubber of the centre support torn?"
    assert support not in talk(shop, van, ["one-piece", "none"]).screen.questions()


def test_question_is_asked_once_its_condition_is_true(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    assert talk(shop, van, ["two-piece"]).screen.questions()[1].startswith("Is the rubber")


def test_answers_are_kept_as_typed_and_options_by_their_id(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    done = talk(shop, van, ["2", "no", "1, squeak", "New rings: 57.5 thou", "n", "", "0,25mm"])
    assert answers(done) == {
        "layout": "two-piece",
        "support-torn": "no",
        "noises": "clunk, squeak",
        "history": "New rings: 57.5 thou",
        "began-after-work": "n",
        "play": "0,25mm",
    }
    assert {record.by for record in done.case.answers} == {"technician"}


def test_best_test_is_offered_with_reason_minutes_outlook_and_cautions_before_it(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    done = talk(shop, van, OPENING)
    offer = next(text for _, text in done.screen.told if text.startswith("next: "))
    assert offer.startswith(
        "next: Measure the end play (At the bench, 6\u00a0min with the way there)"
    )
    assert "reason: it saves about" in offer
    assert "what it would tell:\n- The cross has too much end play:\n  yes (chance" in offer
    assert (Tone.CAUTION, "caution: Wear eye protection.") in done.screen.told
    assert PLAY not in done.screen.questions()


def test_accepted_test_asks_its_questions_and_spends_its_minutes(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    done = talk(shop, van, [*OPENING, "", "0.01 mm"])
    assert answers(done)["play"] == "0.01 mm"
    assert (done.case.minutes_spent, done.case.place) == (3.0 + 0.5 + 2.0 + 4.0, "bench")


def test_another_test_can_be_chosen_by_number_and_is_announced_before_it_is_done(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    done = talk(shop, van, [*OPENING, "2", "", "no"])
    assert "next: Does it shudder in neutral as well?" in done.screen.text
    assert (Tone.CAUTION, "caution: Check for loose parts before driving.") in done.screen.told
    assert answers(done)["shudder-in-neutral"] == "no"


def test_test_can_be_chosen_by_its_id(talk: Talker, shop: Rulebook, van: Path) -> None:
    done = talk(shop, van, [*OPENING, "shudder-in-neutral", "", "yes"])
    assert answers(done)["shudder-in-neutral"] == "yes"


def test_test_put_off_is_offered_last_and_can_still_be_chosen(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    done = talk(shop, van, [*OPENING, "skip", "stop"])
    assert done.case.put_off == ("measure-play",)
    listed = done.screen.asked[-1].text
    assert listed.index("Measure the end play") > listed.index("Does it shudder in neutral")
    assert "put off" in listed
    again = talk(shop, van, ["measure-play", "", "0.3 mm"])
    assert answers(again)["play"] == "0.3 mm"
    assert again.case.put_off == ()


def test_end_comes_when_no_test_pays_with_the_callers_report(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    done = talk(shop, van, ["1", "none", "?", "yes", ""])
    assert done.status == 0
    assert done.screen.told[-1][1] == CLOSING
    assert "No further test pays" in done.screen.told[-2][1]


def test_tests_put_off_are_offered_before_the_end_and_enter_ends(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    done = talk(shop, van, [*OPENING, "skip", "skip", "skip", "", ""])
    assert "No other test pays for its minutes. Enter: finish" in done.screen.asked[-2].text
    assert done.screen.told[-1][1] == CLOSING


def test_test_whose_questions_do_not_apply_is_not_offered(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    """It is not known whether the shaft has a support to ask about, so nothing is asked of it."""
    done = talk(shop, van, ["?", "none", "?", "?", *["skip"] * 9])
    assert set(done.case.put_off) == {"measure-play", "shudder-in-neutral", "bolts-loose"}
    assert "next: Ask about the vehicle" not in done.screen.text


# -- roles --


def test_service_advisor_stays_at_the_desk_and_leaves_the_rest(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    done = talk(shop, van, [*OPENING, "", "no"], "service-advisor")
    assert done.screen.questions()[0] == "Do you know how many pieces the shaft has?"
    assert done.case.place == "desk"
    left = next(text for _, text in done.screen.told if text.startswith("left for"))
    assert "Measure the end play (At the bench" in left
    assert answers(done)["bolts-loose"] == "no"


def test_technician_leaves_nothing_to_others(talk: Talker, shop: Rulebook, van: Path) -> None:
    assert (
        "left for"
        not in talk(shop, van, ["1", "none", "?", "yes", "measure-play", "", "0.5 mm"]).screen.text
    )


# -- the words --


def test_back_asks_the_previous_question_and_keeps_later_answers(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    done = talk(shop, van, ["1", "1", "/back", "back", "two-piece", "no", "/stop"])
    assert answers(done) == {"layout": "two-piece", "noises": "clunk", "support-torn": "no"}
    assert [record.answer for record in done.case.answers][:3] == [
        "one-piece",
        "clunk",
        "two-piece",
    ]


def test_back_shows_the_answer_and_enter_keeps_it(talk: Talker, shop: Rulebook, van: Path) -> None:
    done = talk(shop, van, ["1", "back", "", "boom"])
    assert "answered so far: One piece (Enter keeps it)" in done.screen.asked[2].text
    assert answers(done) == {"layout": "one-piece", "noises": "boom"}
    assert len(done.case.answers) == 2


def test_back_at_the_first_question_says_so(talk: Talker, shop: Rulebook, van: Path) -> None:
    done = talk(shop, van, ["back", "1"])
    assert "there is no question before this" in done.screen.text
    assert answers(done) == {"layout": "one-piece"}


def test_back_at_an_offer_goes_to_the_last_question(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    done = talk(shop, van, [*OPENING, "back", "yes", "stop"])
    assert answers(done)["began-after-work"] == "yes"


def test_change_that_makes_an_opening_question_apply_asks_it(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    done = talk(shop, van, [*OPENING, "back", "back", "/back", "back", "2", "yes", "stop"])
    assert answers(done)["support-torn"] == "yes"


def test_skip_leaves_the_question_open_and_goes_on_with_the_test(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    done = talk(shop, van, ["1", "skip", "?", "?"])
    assert "noises" not in answers(done)
    assert done.case.put_off == ("basics",)
    assert done.screen.questions().count(NOISES) == 1


def test_skip_at_an_answered_question_takes_the_answer_back(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    done = talk(shop, van, ["1", "back", "skip", "none", "/stop"])
    assert answers(done) == {"noises": "none"}
    assert [record.taken_back for record in done.case.answers] == [False, True, False]
    assert "taken back" in done.screen.text


def test_why_tells_reason_findings_and_leading_causes(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    text = talk(shop, van, [*OPENING[:3], "why"]).screen.text
    assert "why: Work that went wrong begins at once." in text
    assert "what hangs on it:\n- It began after joint work" in text
    assert "leading now: Shaft out of balance" in text


def test_how_tells_the_way_the_gauge_and_the_cautions(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    text = talk(shop, van, [*OPENING, "", "how"]).screen.text
    assert "how: Push the cross to and fro." in text
    assert "gauge: Digital caliper, step 0.01 mm, limit of error 0.02 mm" in text
    assert text.count("caution: Wear eye protection.") == 2


def test_words_that_ask_work_at_an_offer_too(talk: Talker, shop: Rulebook, van: Path) -> None:
    text = talk(shop, van, [*OPENING, "why", "how", "ranking", "help"]).screen.text
    assert text.count("what it would tell:") == 2
    assert "how: Push the cross to and fro." in text
    assert "causes as they stand:" in text
    assert "- back: go to the previous question" in text


def test_back_at_an_offer_with_nothing_answered_says_so(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    done = talk(shop, van, [*["skip", "skip", "/skip", "skip"], "back"])
    assert "there is no question before this" in done.screen.text
    assert answers(done) == {}


def test_skip_of_the_last_question_from_an_offer_takes_it_back(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    done = talk(shop, van, [*OPENING, "back", "skip"])
    assert "began-after-work" not in answers(done)
    assert done.case.put_off == ("began-after-work",)


def test_how_of_a_question_without_any_says_so(talk: Talker, shop: Rulebook, van: Path) -> None:
    assert "how: nothing special" in talk(shop, van, ["how"]).screen.text


def test_dont_know_at_an_offer_is_refused_in_words(talk: Talker, shop: Rulebook, van: Path) -> None:
    assert "nothing is asked here" in talk(shop, van, [*OPENING, "?"]).screen.text


def test_ranking_lists_causes_and_none_of_the_listed(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    text = talk(shop, van, ["ranking"]).screen.text
    assert "1. Shaft out of balance: " in text
    assert "- none of the listed causes: " in text


def test_dont_know_is_remembered_and_not_asked_again(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    done = talk(shop, van, ["?", "dont-know"])
    assert answers(done) == {"layout": "dont-know", "noises": "dont-know"}
    again = talk(shop, van, ["nothing"])
    assert again.screen.questions()[0] == "What was done to it lately?"


def test_bare_words_are_an_answer_to_a_text_question(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    done = talk(shop, van, ["1", "none", "/why", "back"])
    assert "why: The last work is often the cause." in done.screen.text
    assert answers(done)["history"] == "back"


def test_stop_saves_and_says_how_to_go_on(talk: Talker, shop: Rulebook, van: Path) -> None:
    done = talk(shop, van, ["1", "stop"])
    assert done.status == 0
    said, command = done.screen.told[-2:]
    assert said == (Tone.PLAIN, "saved. Go on with:")
    assert command == (Tone.COMMAND, f"advisor ask {van}")


# -- what is no answer --


@pytest.mark.parametrize(
    ("lines", "question"),
    [
        (([*OPENING, ""], "0.3 furlong", "0.3 mm"), "play"),
        (([*OPENING, ""], "0.3", "0.3 mm"), "play"),
        (([], "three-piece", "1"), "layout"),
        ((["1"], "1, hum", "1, 2"), "noises"),
        ((["1", "none", "?"], "perhaps", "yes"), "began-after-work"),
        ((["1", "none"], "x" * (LONGEST_ANSWER + 1), "x"), "history"),
        ((OPENING, "9", ""), None),
    ],
)
def test_bad_answer_is_asked_again(
    talk: Talker, shop: Rulebook, van: Path, lines: tuple[list[str], str, str], question: str | None
) -> None:
    before, bad, good = lines
    done = talk(shop, van, [*before, Refused(bad), good])
    assert bad not in answers(done).values()
    assert question is None or question in answers(done)


def test_nothing_typed_is_no_answer(talk: Talker, shop: Rulebook, van: Path) -> None:
    done = talk(shop, van, ["", "1"])
    assert "nothing was typed" in done.screen.text
    assert answers(done) == {"layout": "one-piece"}


def test_number_out_of_its_range_is_kept_only_when_confirmed(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    done = talk(shop, van, [*OPENING, "", "30 mm", "perhaps", "no", "3 mm", "yes"])
    assert "read 30 mm; expected 0 mm to 2 mm" in "\n".join(done.screen.questions())
    assert answers(done)["play"] == "3 mm"
    assert "30 mm" not in [record.answer for record in done.case.answers]


@pytest.mark.parametrize("word", ["stop", "/stop"])
def test_stop_works_at_a_confirmation(talk: Talker, shop: Rulebook, van: Path, word: str) -> None:
    done = talk(shop, van, [*OPENING, "", "30 mm", word])
    assert "play" not in answers(done)
    assert done.screen.told[-2][1] == "saved. Go on with:"


def test_control_characters_of_an_answer_are_dropped(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    done = talk(shop, van, ["1", "none", "new\u202e rings\u200b"])
    assert answers(done)["history"] == "new rings"


# -- cautions --


def test_stop_driving_is_said_as_soon_as_it_is_true_and_once(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    done = talk(shop, van, [*OPENING, "bolts-loose", "", "yes", "stop"])
    said = [text for tone, text in done.screen.told if text.startswith("STOP DRIVING")]
    assert said == [
        "STOP DRIVING this vehicle: Flange bolts are loose\ncaution: Do not drive this vehicle."
    ]


def test_stop_driving_too_close_to_call_is_said_with_its_doubt(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    text = talk(shop, van, [*OPENING, "measure-play", "", "1.5 mm"]).screen.text
    said = "STOP DRIVING this vehicle until a better measurement settles this: The cross can come"
    assert said in text


def test_stop_driving_is_said_again_when_the_case_is_resumed(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    session = open_case(van, shop)
    session.answer("bolts-loose", "yes")
    told = talk(shop, van, []).screen.told
    assert [tone for tone, _ in told[:3]] == [Tone.HEADING, Tone.PLAIN, Tone.CAUTION]


# -- leaving and coming back --


def test_end_of_input_is_a_stop(talk: Talker, shop: Rulebook, van: Path) -> None:
    done = talk(shop, van, ["1"])
    assert done.status == 0
    assert done.screen.told[-2][1] == "saved. Go on with:"
    assert answers(done) == {"layout": "one-piece"}


def test_ctrl_c_keeps_the_answers_and_is_raised(talk: Talker, shop: Rulebook, van: Path) -> None:
    done = talk(shop, van, ["1", CTRL_C])
    assert done.status == 130
    assert done.screen.told[-2][1] == "interrupted; every answer is saved. Go on with:"
    assert answers(done) == {"layout": "one-piece"}


@pytest.mark.parametrize("last", ["stop", CTRL_C])
def test_no_lock_stays_behind(talk: Talker, shop: Rulebook, van: Path, last: str) -> None:
    talk(shop, van, [last])
    assert [entry.name for entry in van.parent.iterdir()] == [van.name]


def test_resumed_case_goes_on_where_it_stopped(talk: Talker, shop: Rulebook, van: Path) -> None:
    talk(shop, van, ["1", "?"])
    again = talk(shop, van, ["nothing"])
    assert "this case goes on: 2 answers so far, 3\u00a0min spent" in again.screen.text
    assert again.screen.questions()[0] == "What was done to it lately?"
    assert again.case.minutes_spent == 3.5 - 0.5  # the test goes on and is not paid again


def test_back_works_across_sittings(talk: Talker, shop: Rulebook, van: Path) -> None:
    talk(shop, van, ["1"])
    assert answers(talk(shop, van, ["back", "2"])) == {"layout": "two-piece"}


def test_test_left_half_done_is_offered_first(talk: Talker, shop: Rulebook, van: Path) -> None:
    talk(shop, van, [*OPENING, "2", "", "no", "stop"])
    session = open_case(van, shop)
    session.take_back("shudder-in-neutral")
    again = talk(shop, van, ["", "yes"])
    assert answers(again)["shudder-in-neutral"] == "yes"


def test_opening_test_resumed_and_done_is_not_offered_again(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    talk(shop, van, OPENING[:2])
    again = talk(shop, van, OPENING[2:])
    assert "next: Measure the end play" in again.screen.text


def test_warning_about_another_rulebook_version_is_shown_first(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    van.write_text(van.read_text(encoding="utf-8").replace('"1.0.0"', '"0.9.0"'), encoding="utf-8")
    tone, text = talk(shop, van, []).screen.told[0]
    assert tone is Tone.PROBLEM
    assert text.startswith("warning: the case was answered with rulebook")


def test_second_program_on_the_case_is_told_and_writes_nothing(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    before = van.read_bytes()
    with lock_module.CaseLock(van), pytest.raises(InUseError):
        talk(shop, van, ["1"])
    assert van.read_bytes() == before


def test_full_disk_is_told_and_the_answer_asked_again(
    talk: Talker, shop: Rulebook, van: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    fsync, calls = os.fsync, []

    def full_once(handle: int) -> None:
        calls.append(handle)
        if len(calls) == 1:
            raise OSError(28, "No space left on device")
        fsync(handle)

    monkeypatch.setattr(os, "fsync", full_once)
    done = talk(shop, van, ["1", "2"])
    assert "the disk is full" in done.screen.text
    assert answers(done) == {"layout": "two-piece"}
    assert len(done.case.answers) == 1


def test_case_without_complaint_is_asked_for_it_when_resumed(
    talk: Talker, shop: Rulebook, tmp_path: Path
) -> None:
    path = tmp_path / "empty.yaml"
    new_case(path, shop)
    talk(shop, path, ["/skip", "It hums"])
    case = read_case(path)
    assert (case.vehicle, case.complaint) == ("", "It hums")


# -- another cause, and a second look --


@pytest.mark.parametrize("typed", ["x 2", "x2", "why-not 2"])
def test_why_not_tells_where_another_cause_stands_and_what_would_put_it_first(
    talk: Talker, shop: Rulebook, van: Path, typed: str
) -> None:
    done = talk(shop, van, [typed, "stop"])
    assert re.search(r": number 2 of \d+, \d+\s%", done.screen.text)
    assert "it would lead if this were so" in done.screen.text
    assert done.case.latest() == {}


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("x", 'type "x" and its number'),
        ("x 99", 'read "99"; the causes have the numbers 1 to'),
        ("x loose", ": number "),
        ("x nonsense", 'no cause is named "nonsense"'),
    ],
)
def test_why_not_says_what_it_can_be_asked(
    talk: Talker, shop: Rulebook, van: Path, typed: str, told: str
) -> None:
    assert told in talk(shop, van, [typed, "stop"]).screen.text


def test_why_not_works_at_an_offer(talk: Talker, shop: Rulebook, van: Path) -> None:
    done = talk(shop, van, [*OPENING, "x 1", "stop"])
    assert ": number 1 of " in done.screen.text


def with_signs(folder: Path, count: int) -> Rulebook:
    """The shop's rulebook with signs of a loose joint that hardly anything else shows."""
    sign = (
        "  sign-{k}: {{ask: Is it there?, kind: yes-no, place: desk, minutes: 1, why: It tells.}}\n"
    )
    shows = (
        "  shows-{k}: {{says: Sign {k} is there, when: {{sign-{k}: true}}, usual: 2 in 100, "
        "with: {{loose-joint: 98 in 100}}, why: It tells., source: judgement}}\n"
    )
    shop = write_shop(folder)
    parts = [
        "questions:\n",
        *(sign.format(k=k) for k in range(count)),
        "findings:\n",
        *(shows.format(k=k) for k in range(count)),
    ]
    (shop / "signs.yaml").write_text("".join(parts), encoding="utf-8")
    return load(shop)


def test_an_answer_at_odds_with_the_others_is_pointed_out_once_and_kept(tmp_path: Path) -> None:
    session = new_case(tmp_path / "odd.yaml", with_signs(tmp_path, 4))
    for k in range(3):
        session.answer(f"sign-{k}", "yes")
    screen = Recorder(PlainPort(io.StringIO("no\nno\n"), io.StringIO(), width=60))
    asker = Asker(session, screen, ROLES["technician"])
    for _ in range(2):
        assert asker.ask("sign-3") is Step.ANSWERED
    assert screen.text.count("worth a second look: Sign 3 is there: no; ") == 1
    assert '"back" asks it again' in screen.text
    assert session.case.latest()["sign-3"] == "no"


def test_an_answer_that_fits_the_others_is_taken_without_a_word(tmp_path: Path) -> None:
    session = new_case(tmp_path / "even.yaml", with_signs(tmp_path, 2))
    session.answer("sign-0", "yes")
    screen = Recorder(PlainPort(io.StringIO("yes\n"), io.StringIO(), width=60))
    Asker(session, screen, ROLES["technician"]).ask("sign-1")
    assert "second look" not in screen.text


@pytest.mark.parametrize(
    ("each", "lines"),
    [
        (
            False,
            [
                "yes (chance 80 %) or no (chance 20 %): then Shaft out of balance leads with "
                "50 % to 60 %"
            ],
        ),
        (
            True,
            [
                "yes (chance 80 %): then Shaft out of balance leads with 60 %",
                "no (chance 20 %): then Shaft out of balance leads with 50 %",
            ],
        ),
    ],
    ids=["together", "each"],
)
def test_outcomes_after_which_the_same_leads_stand_together(
    shop: Rulebook, each: bool, lines: list[str]
) -> None:
    outcomes = [
        Outcome("bolts", "true", 0.8, "unbalance", 0.6),
        Outcome("bolts", "false", 0.2, "unbalance", 0.5),
    ]
    shown = texts.outlook(shop, outcomes, most=1, each=each)[2:]
    assert [line.strip().replace("\u00a0", " ") for line in shown] == lines
