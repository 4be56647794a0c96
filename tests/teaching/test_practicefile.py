"""The practice file: written, read again, and complained of with its place."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.rulebook import LoadError, Rulebook
from advisor.teaching.choosing import Drawn
from advisor.teaching.lesson import practice_of
from advisor.teaching.practicefile import Step, mark_of, read_practice, write_practice
from advisor.vehicles import Vehicle
from tests.teaching.conftest import LOOSE


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "lesson.yaml"


def test_written_practice_is_read_again(path: Path, book: Rulebook) -> None:
    practice = practice_of(book, 7, Drawn(3, LOOSE))
    for step in (Step(test="vibrates"), Step(hint="ranking"), Step(repair="flange-loose")):
        practice = practice.after(step)
    write_practice(path, practice)
    assert read_practice(path, book) == practice
    assert "flange-loose" not in path.read_text(encoding="utf-8").split("steps:")[0]


HEAD = 'format: 1\nrulebook: {id: "small", version: "0.1.0"}\nseed: 7\nnumber: 0\nmark: "x"\n'


@pytest.mark.parametrize(
    ("text", "place", "code"),
    [
        (HEAD + "steps:\n- {test: vibrate}\n", (7, 10), "unknown-test"),
        (HEAD + "steps:\n- {repair: flange-lose}\n", (7, 12), "unknown-cause"),
        (HEAD + "steps:\n- {}\n", (7, 3), "wrong-value"),
        (HEAD.replace("0.1.0", "0.0.9"), (2, 1), "wrong-value"),
        (HEAD.replace("format: 1", "format: 2"), (1, 9), "unknown-format"),
        (HEAD.replace("seed: 7", "seed: -7"), (3, 7), "wrong-value"),
        (HEAD + "step: []\n", (6, 1), "unknown-field"),
    ],
    ids=["test", "cause", "empty", "version", "format", "seed", "field"],
)
def test_mistake_is_told_with_its_place(
    path: Path, book: Rulebook, text: str, place: tuple[int, int], code: str
) -> None:
    path.write_text(text, encoding="utf-8")
    with pytest.raises(LoadError) as caught:
        read_practice(path, book)
    (problem,) = caught.value.problems
    assert (problem.line, problem.column, problem.code) == (*place, code)


def test_mark_tells_vehicles_apart() -> None:
    other = Vehicle(LOOSE.faults, {**LOOSE.answers, "bolts-loose": "no"})
    assert mark_of(other) != mark_of(LOOSE)
    assert mark_of(LOOSE) == mark_of(Vehicle(LOOSE.faults, dict(LOOSE.answers)))
