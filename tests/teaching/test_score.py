"""The score: minutes, wrong repairs and unsafe steps, and what each step told."""

from __future__ import annotations

import math

import pytest
from scipy.stats import entropy  # type: ignore[import-untyped]

from advisor.engine.diagnosis import Diagnosis
from advisor.rulebook import Rulebook
from advisor.teaching.choosing import Drawn
from advisor.teaching.lesson import practice_of
from advisor.teaching.practicefile import Step
from advisor.teaching.score import Score, advised, entropy_bits, score
from advisor.teaching.scoretext import score_text
from tests.teaching.conftest import LOOSE


def scored(book: Rulebook, *steps: Step) -> Score:
    practice = practice_of(book, 7, Drawn(0, LOOSE))
    for step in steps:
        practice = practice.after(step)
    return score(book, LOOSE, practice)


def test_wrong_repairs_unsafe_steps_and_hints_are_counted(book: Rulebook) -> None:
    found = scored(
        book,
        Step(test="bolts-loose"),
        Step(test="vibrates"),
        Step(hint="ranking"),
        Step(repair="wheel-unbalance"),
        Step(repair="flange-loose"),
    ).learner
    assert (found.tests, found.wrong_repairs, found.unsafe_steps, found.hints) == (2, 1, 1, 1)
    assert found.end == "cured"
    assert found.minutes == pytest.approx(0.5 + 1 + 20 + 50 + 15)
    assert [step.unsafe for step in found.steps] == [False, True, False, False]


def test_weight_of_a_step_is_that_of_its_finding(book: Rulebook) -> None:
    """Good's weight of evidence, 10 log10 of the ratio of the odds, worked out by itself."""
    diagnosis = Diagnosis(book.engine)
    diagnosis.answer("last-work", "none-known")
    index = book.engine.effects.index_of["flange-loose"]
    before = diagnosis.belief().marginals()[index]
    diagnosis.answer("bolts-loose", True)
    after = diagnosis.belief().marginals()[index]
    (step,) = scored(book, Step(test="bolts-loose")).learner.steps
    expected = 10.0 * math.log10(after / (1.0 - after) * (1.0 - before) / before)
    assert step.toward_truth_db == pytest.approx(expected)
    assert step.truth_probability == pytest.approx(after)


def test_entropy_is_that_of_scipy(book: Rulebook) -> None:
    belief = Diagnosis(book.engine).belief()
    masses = [belief.none, *belief.single]
    masses += [belief.pair[i][j] for i in range(len(belief.pair)) for j in range(i)]
    assert entropy_bits(belief) == pytest.approx(entropy(masses, base=2))


def test_advisor_cures_the_vehicle_without_driving_it(book: Rulebook) -> None:
    found = advised(book, LOOSE)
    assert found.end == "cured"
    assert found.unsafe_steps == 0
    assert all(step.followed for step in found.steps)


def test_step_that_the_advisor_would_take_is_said_so(book: Rulebook) -> None:
    first = advised(book, LOOSE).steps[0]
    (step,) = scored(book, Step(test=first.id)).learner.steps
    assert step.followed


def test_unsafe_drive_is_told_as_a_fault(book: Rulebook) -> None:
    text = score_text(scored(book, Step(test="bolts-loose"), Step(test="vibrates")), book)
    assert "FAULT: driven 1 time while known to be unsafe to drive" in text


def test_page_tells_each_step_and_what_the_advisor_would_have_done(book: Rulebook) -> None:
    steps = (
        Step(test="measure-joint"),
        Step(repair="wheel-unbalance"),
        Step(repair="flange-loose"),
    )
    text = score_text(scored(book, *steps), book).replace("\u00a0", " ")
    lines = text.splitlines()
    assert "what was wrong: A loose flange" in lines
    wrong = next(line for line in lines if line.startswith("2. mend: A wheel out of balance"))
    assert wrong.endswith("50 min; a wrong repair")
    assert lines[lines.index(wrong) + 1].startswith("   advisor: ")
    assert any(line.startswith("3. mend: A loose flange: 15 min; a right repair") for line in lines)


def test_fault_is_kept_back_while_the_lesson_goes_on(book: Rulebook) -> None:
    text = score_text(scored(book, Step(test="bolts-loose")), book, told=False)
    assert "loose flange" not in text
    assert "so far: 1.5 min" in text.replace("\u00a0", " ")


def test_data_has_the_format_and_both_ways(book: Rulebook) -> None:
    data = scored(book, Step(handed_on=True)).as_data()
    assert data["format"] == 1
    assert data["learner"]["end"] == "handed-on"
    assert data["learner"]["minutes"] == pytest.approx(240.5)
    assert data["advisor"]["end"] == "cured"
