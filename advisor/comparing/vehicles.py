"""The vehicles that two rulebooks are compared over: a folder of cases, or their own examples."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from advisor.cases.fitting import fit
from advisor.cases.folder import case_paths
from advisor.cases.reading import read_with_places
from advisor.cases.session import replay
from advisor.engine.diagnosis import Diagnosis
from advisor.proof import FOLDER, Example, read_examples
from advisor.proof.naming import NONE
from advisor.rulebook import AnswerError, LoadError, Rulebook, did_you_mean, file_problem


class Unreadable(Exception):  # noqa: N818 - of this vehicle by one rulebook, told and not raised on
    """A vehicle that a rulebook cannot take in; `reasons` say why, a line each."""

    def __init__(self, reasons: tuple[str, ...]) -> None:
        super().__init__("; ".join(reasons))
        self.reasons = reasons


@dataclass(frozen=True, slots=True)
class Taken:
    """A vehicle as a rulebook takes it in, by the ids of this rulebook.

    `right` is what its trouble is, empty when that is not known; `place` is where one is.
    """

    diagnosis: Diagnosis
    right: frozenset[str]
    place: str | None


@dataclass(frozen=True, slots=True)
class Vehicle:
    """One vehicle: where it is written, and how a rulebook takes it in, or raises Unreadable."""

    id: str
    path: str
    line: int
    taken_by: Callable[[Rulebook], Taken]


def vehicles_of_cases(folder: Path) -> tuple[Vehicle, ...]:
    """The cases of a folder; LoadError when it can't be listed or holds none."""
    try:
        paths = case_paths(folder)
    except OSError as error:
        reason = f"the cases cannot be read: {(error.strerror or 'no reason is known').lower()}"
        raise LoadError([file_problem(str(folder), "unreadable-file", reason)]) from error
    if not paths:
        reason = "no *.yaml file lies here, so there is no case to compare over"
        raise LoadError([file_problem(str(folder), "unreadable-file", reason)])
    return tuple(map(_vehicle_of_case, paths))


def _vehicle_of_case(path: Path) -> Vehicle:
    try:
        read = read_with_places(path)
    except LoadError as error:
        reasons = tuple(problem.message for problem in error.problems)

        def unreadable(rulebook: Rulebook) -> Taken:
            raise Unreadable(reasons)

        return Vehicle(path.stem, path.as_posix(), 1, unreadable)

    def taken_by(rulebook: Rulebook) -> Taken:
        try:
            case = fit(read_with_places(path, rulebook.retired), rulebook).case
        except LoadError as error:
            raise Unreadable(tuple(problem.message for problem in error.problems)) from error
        none = case.outcome is not None and case.outcome.none_of_the_listed
        right = frozenset((NONE,) if none else case.outcome.causes if case.outcome else ())
        return Taken(replay(case, rulebook), right, case.place)

    return Vehicle(read.case.id, path.as_posix(), 1, taken_by)


def vehicles_of_examples(
    old: tuple[Path, Rulebook], new: tuple[Path, Rulebook]
) -> tuple[Vehicle, ...]:
    """The examples of both rulebooks; where both have one of the same id, the newer one.

    LoadError when those of either can't be read with the rulebook beside which they lie.
    """
    found: dict[str, Example] = {}
    for folder, rulebook in (new, old):
        if (folder / FOLDER).is_dir() or (not found and folder == old[0]):
            for example in read_examples(folder / FOLDER, rulebook):
                found.setdefault(example.id, example)
    return tuple(map(_vehicle_of_example, found.values()))


def _vehicle_of_example(example: Example) -> Vehicle:
    def taken_by(rulebook: Rulebook) -> Taken:
        answers = {
            question: text
            for question, text in example.model.answers.items()
            if not _is_gone(rulebook, "questions", question)
        }
        reasons = tuple(_reasons(answers, rulebook))
        if reasons:
            raise Unreadable(reasons)
        found = Diagnosis(rulebook.engine)
        for question, text in answers.items():
            found.answer(question, rulebook.parse_answer(question, text))
        return Taken(found, frozenset(_by_ids_of(rulebook, example.right)), None)

    return Vehicle(example.id, example.document.path, example.mark().line, taken_by)


def _by_ids_of(rulebook: Rulebook, causes: Collection[str]) -> Iterator[str]:
    """The causes as the rulebook names them; those that went were none of the listed."""
    there = [cause for cause in causes if not _is_gone(rulebook, "causes", cause)]
    for cause in there or [NONE] * bool(causes):
        new = rulebook.retired.get(("causes", cause))
        yield cause if new is None or new.id is None else new.id


def _is_gone(rulebook: Rulebook, section: str, name: str) -> bool:
    """Whether the id was retired with nothing in its place."""
    found = rulebook.retired.get((section, name))
    return found is not None and found.id is None


def _reasons(answers: Mapping[str, str], rulebook: Rulebook) -> Iterator[str]:
    for question, text in answers.items():
        if question not in rulebook.questions:
            hint = did_you_mean(question, rulebook.questions)
            yield f'no question has the id "{question}"' + (f"; {hint}" if hint else "")
            continue
        try:
            rulebook.parse_answer(question, text)
        except AnswerError as error:
            yield f'the answer to "{question}" cannot be read: {error.reason}'
