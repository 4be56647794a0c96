"""The planner leads through a vehicle, sees only what it asks for, and pays as a case does."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.cases import new_case
from advisor.engine.values import UNKNOWN
from advisor.proof import walk
from advisor.rulebook import load
from tests.proof.book import THIN, example_text, folder_of, read


def set_opening(folder: Path, tests: str) -> None:
    path = folder / "rulebook.yaml"
    text = path.read_text(encoding="utf-8").replace("opening: [last-work]", f"opening: [{tests}]")
    path.write_text(text, encoding="utf-8")


def test_opening_comes_first_and_then_what_pays(tmp_path: Path) -> None:
    rulebook, (example,) = read(folder_of(tmp_path), example_text(THIN, "stops: []"))
    done = walk(rulebook, example.values)
    assert done.steps[0].test == "last-work"
    assert [step.test for step in done.steps] == list(dict.fromkeys(s.test for s in done.steps))
    assert done.diagnosis.plan(at="desk").test is None
    assert done.questions == sum(len(step.questions) for step in done.steps)


def test_question_without_an_answer_is_not_known(tmp_path: Path) -> None:
    rulebook = load(folder_of(tmp_path))
    done = walk(rulebook, {})
    assert done.questions > 1
    assert set(done.diagnosis.answers.values()) == {UNKNOWN}


def test_answer_is_seen_only_when_it_was_asked_for(tmp_path: Path) -> None:
    rulebook, (example,) = read(folder_of(tmp_path), example_text("note: hello", "stops: []"))
    assert "note" not in walk(rulebook, example.values).diagnosis.answers


def test_minutes_are_those_that_a_case_would_spend(tmp_path: Path) -> None:
    folder = folder_of(tmp_path)
    set_opening(folder, "last-work, vibrates, felt-in, measure-joint, note")
    rulebook, (example,) = read(folder, example_text(f"{THIN}, vibrates: true", "stops: []"))
    texts = example.model.answers
    done = walk(rulebook, example.values)
    session = new_case(tmp_path / "case.yaml", rulebook)
    for step in done.steps:
        for question in step.questions:
            session.answer(question, texts.get(question, "dont-know"))
    assert done.minutes == pytest.approx(session.case.minutes_spent, abs=1e-9)
    # The way to the road takes 15 min, once for two tests; that to the bench 10 min.
    assert [step.minutes for step in done.steps[:5]] == [0.5, 20.0, 1.0, 18.0, 1.0]


def test_question_opened_by_an_answer_is_asked_in_the_same_test(tmp_path: Path) -> None:
    folder = folder_of(tmp_path)
    questions = (folder / "questions.yaml").read_text(encoding="utf-8")
    together = questions.replace("    place: road\n    minutes: 5\n    cautions: [road-test]\n", "")
    together = together.replace("    place: road\n    minutes: 1\n", "")
    together = together.replace(
        "tests:\n",
        "tests:\n  drive: {name: Drive, place: road, minutes: 5, answers: [vibrates, felt-in]}\n",
    )
    (folder / "questions.yaml").write_text(together, encoding="utf-8")
    set_opening(folder, "drive")
    rulebook = load(folder)
    assert walk(rulebook, {"vibrates": True}).steps[0].questions == ("vibrates", "felt-in")
    assert walk(rulebook, {"vibrates": False}).steps[0].questions == ("vibrates",)
    assert walk(rulebook, {}).steps[0].minutes == 20.0  # 15 min to the road, 5 min of driving


def test_minutes_of_a_test_taken_up_again_are_not_spent_twice(tmp_path: Path) -> None:
    folder = folder_of(tmp_path)
    questions = (folder / "questions.yaml").read_text(encoding="utf-8")
    apart = questions.replace("    place: road\n    minutes: 1\n", "")
    apart = apart.replace("    place: desk\n    minutes: 1\n", "")
    apart = apart.replace(
        "tests:\n",
        "tests:\n  ask-both: {name: Ask, place: desk, minutes: 2, answers: [felt-in, note]}\n",
    )
    (folder / "questions.yaml").write_text(apart, encoding="utf-8")
    set_opening(folder, "ask-both, vibrates")
    steps = walk(load(folder), {"vibrates": True}).steps[:3]
    assert [(step.questions, step.minutes) for step in steps] == [
        (("note",), 2.0),
        (("vibrates",), 20.0),
        (("felt-in",), 0.0),
    ]
