"""After the tests: a repair that cured closes the case, one that did not is evidence."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from advisor.cases import open_case
from advisor.engine.repair import RepairStep
from advisor.interview.mending import Repairs, Tried
from advisor.rulebook import Rulebook
from tests.interview.talk import Talker

TO_THE_END = ["1", "none", "?", "yes"]
STEPS = Repairs((RepairStep("joint", 0.6, 65.0, 1.0), RepairStep("support", 0.3, 110.0, 0.4)))


@pytest.mark.parametrize(
    ("typed", "tried"),
    [
        ("1 cured", Tried("joint", True)),
        ("2 not cured", Tried("support", False)),
        ("2: Not cured", Tried("support", False)),
        ("1cured", Tried("joint", True)),
        ("3 cured", None),
        ("0 cured", None),
        ("cured", None),
        ("1 maybe", None),
        ("", None),
    ],
)
def test_reply_names_a_repair_and_how_it_went(typed: str, tried: Tried | None) -> None:
    assert STEPS.tried(typed) == tried


def test_unreadable_reply_says_what_was_expected() -> None:
    fault = STEPS.fault("3 cured")
    assert fault is not None
    assert fault.reason == (
        'read "3 cured"; expected a number from 1 to 2 with "cured" or "not cured", '
        'such as "1 cured"; or Enter to leave'
    )


def test_cure_closes_the_case_with_its_outcome(talk: Talker, shop: Rulebook, van: Path) -> None:
    done = talk(shop, van, [*TO_THE_END, "1 cured"])
    assert done.case.outcome is not None
    assert done.case.outcome.causes == ("loose-joint",)
    assert done.case.repairs == ()


def test_repair_without_a_cure_is_evidence_and_the_case_goes_on(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    done = talk(shop, van, [*TO_THE_END, "1 not cured", "stop"])
    assert [repair.cause for repair in done.case.repairs] == ["loose-joint"]
    session = open_case(van, shop)
    assert session.diagnosis.mended == {"loose-joint"}
    assert "loose-joint" not in [one.cause for one in session.diagnosis.ranking().causes]


def test_repair_spends_its_minutes(talk: Talker, shop: Rulebook, van: Path) -> None:
    before = talk(shop, van, [*TO_THE_END, ""]).case.minutes_spent
    after = talk(shop, van, ["1 not cured", "stop"]).case.minutes_spent
    joint = shop.causes["loose-joint"]
    assert after == before + joint.remedy.minutes + joint.verify.minutes


def test_choices_stand_side_by_side_with_a_letter_each(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    prompt = talk(shop, van, [*TO_THE_END, ""]).screen.asked[-1].text.replace("\u00a0", " ")
    advised = r"^- a: \d+ min \| \d+ % \| \d+ min: repair at once, first .* \(advised\)$"
    assert re.search(advised, prompt, re.MULTILINE)
    assert re.search(
        r"^- [b-e]: \d+ min \| - \| \d+ min: hand the vehicle on$", prompt, re.MULTILINE
    )


def test_a_chosen_repair_is_told_with_its_cautions_first(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    done = talk(shop, van, [*TO_THE_END, "a", ""])
    _, told = done.screen.told[-1]
    assert told.startswith("THE CURE, if it is this: ")
    steps = shop.causes["loose-joint"].remedy
    for caution in steps.cautions:
        assert told.index(shop.cautions[caution].text) < told.index(steps.steps[0])


def test_a_chosen_test_is_done_its_cautions_first_and_the_case_goes_on(
    talk: Talker, shop: Rulebook, van: Path
) -> None:
    prompt = talk(shop, van, [*TO_THE_END, ""]).screen.asked[-1].text
    letter = next(line[2] for line in prompt.split("\n") if "test first" in line)
    before = len(open_case(van, shop).case.latest())
    done = talk(shop, van, [letter, "0.1 mm", "stop"])
    assert len(done.case.latest()) == before + 1


def test_words_work_among_the_choices_too(talk: Talker, shop: Rulebook, van: Path) -> None:
    done = talk(shop, van, [*TO_THE_END, "help", "ranking", "x 2", ""])
    assert "These words work here:" in done.screen.text
    assert "causes as they stand:" in done.screen.text
    assert "skip: " not in done.screen.text  # it does nothing here
    assert "choose, side by side" not in done.screen.asked[-1].text  # it still stands above
    assert re.search(r": number 2 of \d+, ", done.screen.text)
