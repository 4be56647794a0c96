"""Lessons on practice vehicles with a hidden fault: worked on, scored, handed out to a class."""

from __future__ import annotations

from pathlib import Path

from advisor.cases import CaseLock
from advisor.interview import Port
from advisor.rulebook import Rulebook
from advisor.vehicles import Vehicles, example_answers

from .choosing import Wanted, seed_or_any
from .classes import class_sheet
from .errors import BegunAlreadyError, NotBegunError, TeachingError
from .lesson import begin_lesson, open_lesson
from .score import Score, score
from .scoretext import score_text
from .talk import Talk

__all__ = [
    "Score",
    "TeachingError",
    "Wanted",
    "class_sheet",
    "practise",
    "score_of",
    "score_text",
    "vehicles_of",
]


def vehicles_of(folder: Path, rulebook: Rulebook) -> Vehicles:
    """The practice vehicles of the rulebook in `folder`; LoadError for faulty examples."""
    return Vehicles(rulebook, example_answers(folder, rulebook))


def practise(  # noqa: PLR0913 - one call for the whole lesson
    path: Path,
    vehicles: Vehicles,
    seed: int | None,
    wanted: Wanted,
    *,
    port: Port,
    resume: str,
) -> None:
    """Begin or go on with the lesson at `path`; `resume` is the command that goes on with it.

    Raises Interrupted on Ctrl-C (every step is on disk), TeachingError, LoadError, CaseError when
    the disk or another program is in the way.
    """
    rulebook = vehicles.rulebook
    with CaseLock(path) as lock:
        if not path.exists():
            lesson = begin_lesson(path, vehicles, seed_or_any(seed), wanted, lock)
        elif seed is not None or wanted.says_something:
            raise BegunAlreadyError(path)
        else:
            lesson = open_lesson(path, vehicles, lock)

        def render() -> str:
            return score_text(score(rulebook, lesson.vehicle, lesson.practice), rulebook)

        Talk(lesson, port, render, resume).run()


def score_of(path: Path, vehicles: Vehicles) -> Score:
    """The score of the lesson at `path` as it stands."""
    if not path.exists():
        raise NotBegunError(path)
    lesson = open_lesson(path, vehicles)
    return score(vehicles.rulebook, lesson.vehicle, lesson.practice)
