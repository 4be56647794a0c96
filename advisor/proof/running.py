"""Running examples: what came out of each, and which expectations it did not meet."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from advisor.engine.diagnosis import Diagnosis
from advisor.engine.ranking import Ranking
from advisor.rulebook import Rulebook

from .expecting import Unmet, standing, unmet_findings, unmet_places
from .naming import NONE
from .reading import Example
from .trail import cause_trail, finding_trail
from .wording import outcome_of, share


@dataclass(frozen=True, slots=True)
class Failure:
    """One expectation that was not met, with its place.

    `trail` holds the lines of each cause or finding that the expectation is about, and of the
    leading cause.
    """

    line: int
    column: int
    expected: str
    found: str
    trail: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Result:
    """One example that was run; it passed when there is no failure."""

    example: Example
    diagnosis: Diagnosis
    ranking: Ranking
    failures: tuple[Failure, ...]

    @property
    def leading(self) -> str:
        """The cause that leads, or none-of-the-listed."""
        return leading(self.ranking)

    @property
    def is_known_gap(self) -> bool:
        """Whether it failed, as is written down in the example."""
        return bool(self.failures) and self.example.model.known_gap is not None

    @property
    def is_closed_gap(self) -> bool:
        """Whether it passed although it is written down that it fails."""
        return not self.failures and self.example.model.known_gap is not None

    def is_right(self, field: str, cause: str) -> bool:
        """Whether the example passed and names the cause in this field."""
        return not self.failures and getattr(self.example.model.expect, field) == cause


def leading(ranking: Ranking) -> str:
    """The cause that leads, or none-of-the-listed."""
    return NONE if ranking.none_leads else ranking.causes[0].cause


def first_three(ranking: Ranking) -> tuple[str, ...]:
    """The three most probable causes, as the ranking shows them."""
    return tuple(one.cause for one in ranking.causes[:3])


def probability(ranking: Ranking, name: str) -> float:
    """The probability of a cause, alone or with another, or of none-of-the-listed."""
    if name == NONE:
        return ranking.none_probability
    return next((one.probability for one in ranking.causes if one.cause == name), 0.0)


def run_example(rulebook: Rulebook, example: Example) -> Result:
    """Give the example's answers to a fresh diagnosis and look at what was expected."""
    diagnosis = Diagnosis(rulebook.engine)
    for question, value in example.values.items():
        diagnosis.answer(question, value)
    ranking = diagnosis.ranking()
    failures = [
        _failure(rulebook, example, diagnosis, one)
        for one in _unmet(rulebook, example, diagnosis, ranking)
    ]
    in_order = tuple(sorted(failures, key=lambda failure: (failure.line, failure.column)))
    return Result(example, diagnosis, ranking, in_order)


def _unmet(
    rulebook: Rulebook, example: Example, diagnosis: Diagnosis, ranking: Ranking
) -> Iterator[Unmet]:
    findings = rulebook.engine.effects.findings

    def outcome(name: str) -> str:
        return outcome_of(findings[name].outcomes, diagnosis.weights(name))

    expect = example.model.expect
    yield from unmet_places(expect, standing(ranking))
    yield from unmet_findings(expect, outcome, diagnosis.stops())


def _failure(rulebook: Rulebook, example: Example, diagnosis: Diagnosis, unmet: Unmet) -> Failure:
    """The unmet expectation at its place, with the trails of what it is about."""
    mark = example.mark("expect", *unmet.steps)
    trails = [
        *(_cause_trail(rulebook, diagnosis, name) for name in unmet.causes),
        *(finding_trail(rulebook, diagnosis, name) for name in unmet.findings),
    ]
    told = (unmet.expected, unmet.found)
    return Failure(mark.line, mark.column, *told, tuple(map(tuple, trails)))


def _cause_trail(rulebook: Rulebook, diagnosis: Diagnosis, name: str) -> Iterable[str]:
    if name == NONE:
        return (f"{NONE}: probability {share(diagnosis.belief().none)}",)
    return cause_trail(rulebook, diagnosis, name)
