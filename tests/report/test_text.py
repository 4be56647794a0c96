"""The assessment as text: what must be read first comes first, and nobody's words steer it."""

from __future__ import annotations

import re

import pytest

from advisor.cases import open_case
from advisor.layout import cells, clean, wrap
from advisor.report import assess, assessment_text
from advisor.rulebook import Rulebook
from tests.report.making import SIDE_WIND, STACK, assessed

HEADINGS = ("CAUSES, most probable first", "HOW SURE", "WHAT TO DO NEXT", "KNOWN SO FAR")
HOSTILE = "\x1b[31mred\x1b]0;title\x07 \u202eback \x9b2J\x00 \r\nCAUSES\n\n 1. 99 %: all is well"
THIN = {"last-work": "joint-replaced", **STACK, "yoke-span": "80.12 mm"}


def shown(rulebook: Rulebook, answers: dict[str, str], **about: str) -> str:
    return assessment_text(assessed(rulebook, answers, **about))


def on_screen(rulebook: Rulebook, answers: dict[str, str], **about: str) -> str:
    """As the command line shows it."""
    return wrap(clean(shown(rulebook, answers, **about)), 80)


def test_sections_come_in_the_order_in_which_they_are_needed(small: Rulebook) -> None:
    text = shown(small, THIN)
    places = [text.index(f"\n\n{heading}\n") for heading in HEADINGS]
    assert places == sorted(places)
    assert text.index("\n\nTHE CURE, if it is this: ") < text.index("\n\nKNOWN SO FAR\n")


def test_causes_are_numbered_with_their_evidence_for_and_against(small: Rulebook) -> None:
    text = shown(small, {"last-work": "joint-replaced"}).replace("\u00a0", " ")
    assert re.search(
        r"^ 1\. \d+ %: Retaining rings too thin, so that the cross can shift\n"
        r"      for: It began after a joint was replaced: yes \(\+\d\.\d db\)$",
        text,
        re.MULTILINE,
    )
    against = r"^      against: It began after a joint was replaced: yes \(-\d\.\d db\)$"
    assert re.search(against, text, re.MULTILINE)
    assert re.search(r"^ -  \d+ %: none of the listed causes$", text, re.MULTILINE)


def test_none_of_the_listed_stands_at_its_place_among_the_causes(driveline: Rulebook) -> None:
    answers = open_case(SIDE_WIND, driveline).case.latest()
    lines = shown(driveline, answers).split("\n")
    causes = lines[lines.index(HEADINGS[0]) + 1 :]
    assert causes[0].endswith(": none of the listed causes")
    assert causes[1].startswith(" 1. ")


def test_doubts_are_told_one_by_one(small: Rulebook) -> None:
    answers = {**STACK, "yoke-span": "80.06 mm", "note": "it hops", "end-play": "0.30 mm"}
    text = shown(small, answers).replace("\u00a0", " ")
    assert " - The rings differ: too close to call: " in text
    assert "     read: First ring less second ring: 0.000 mm +/- 0.017 mm\n" in text
    assert "     would settle it: a reading with a standard uncertainty of at most " in text
    assert (
        " - measured and computed disagree: End play of the cross in the yoke "
        "measured 0.3000 mm +/- 0.0065 mm, computed 0.060 mm +/- 0.024 mm; check both"
    ) in text
    assert " - worth a second look: A wheel hops: yes; only under 1 % to be expected" in text


def test_cautions_of_an_alternative_test_come_before_it(small: Rulebook) -> None:
    text = shown(small, {})
    step = text.index("or: Which end play does the dial indicator read?")
    for caution in ("A retaining ring can spring out.", "Hold the shaft with a strap."):
        assert 0 < text.index(f"   CAUTION: {caution}") < step


def test_caution_is_told_once_for_all_tests_that_follow_it(small: Rulebook) -> None:
    section = shown(small, {}).split("\n\n")[3]
    assert section.startswith("WHAT TO DO NEXT\n")
    assert section.count("ring can spring out") == 1
    assert section.count("   or: ") >= 2


def test_repairs_are_listed_when_no_test_pays(small: Rulebook) -> None:
    text = shown(small, {"last-work": "joint-replaced"}).replace("\u00a0", " ")
    assert "   no test is worth its minutes any more; repair in this order:\n   1. " in text
    assert re.search(r"^   expected to the cure: \d+ min$", text, re.MULTILINE)


def test_stop_comes_before_everything_but_the_head(driveline: Rulebook) -> None:
    text = shown(driveline, {"safety-signs": "part-missing", "complaint-kind": "clunk"})
    sections = text.split("\n\n")
    assert sections[0].startswith("case made: ")
    assert sections[1].startswith("STOP DRIVING: ")
    assert sections[2].startswith(HEADINGS[0])


def test_closed_case_says_at_once_what_it_was(driveline: Rulebook) -> None:
    session = open_case(SIDE_WIND, driveline)
    assert "\nclosed: " not in shown(driveline, session.case.latest())
    head = assessment_text(assess(session.case, driveline, session.diagnosis)).split("\n\n")[0]
    assert head.endswith(
        '\nclosed: it was "none of the listed causes"; below is how things stood before that was '
        "known"
    )


# -- text from people --


@pytest.mark.parametrize("field", ["vehicle", "complaint"])
def test_words_of_the_case_stay_on_their_line_and_steer_nothing(
    field: str, small: Rulebook
) -> None:
    text = on_screen(small, {}, **{field: HOSTILE})
    assert not set(text) & {"\x1b", "\x07", "\x9b", "\x00", "\r", "\u202e"}
    assert text.split("\n").count("CAUSES") == 0
    assert sum(line.startswith(" 1. ") for line in text.split("\n")) == 1


def test_words_of_an_answer_stay_on_their_line_and_steer_nothing(small: Rulebook) -> None:
    text = on_screen(small, {"note": HOSTILE})
    assert not set(text) & {"\x1b", "\x07", "\x9b", "\x00", "\r", "\u202e"}
    assert "CAUSES" not in text.split("\n")
    assert "Anything else to note? [31mred]0;title back 2J CAUSES 1. 99 %: all is" in text


def test_two_thousand_characters_are_wrapped_and_all_there(small: Rulebook) -> None:
    words = ("shake " * 334)[:2000]
    for long in (words, "x" * 2000, "\u8f66" * 2000):
        text = on_screen(small, {}, vehicle=long, complaint=long)
        assert max(map(cells, text.split("\n"))) <= 80
        assert "".join(text.split()).count("".join(long.split())) == 2


def test_case_without_words_shows_none(small: Rulebook) -> None:
    text = shown(small, {}, vehicle="", complaint="")
    assert "vehicle:" not in text
    assert "complaint:" not in text


def test_nothing_known_shows_no_empty_heading(small: Rulebook) -> None:
    assert "KNOWN SO FAR" not in shown(small, {})
