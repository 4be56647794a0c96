"""The proof of a rulebook: its examples run, and on request coverage, scores and mutation."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from advisor.rulebook import Problem, Rulebook

from .coverage import Coverage, coverage
from .mutation import Mutation, Sampling, mutation
from .mutation.text import mutation_data
from .reading import Example, read_examples
from .running import Result, probability, run_example
from .tally import Scores, Tally, scores

FORMAT = 1  # of the JSON form; raised when a field changes its meaning or goes


@dataclass(frozen=True, slots=True)
class Proof:
    """The results of all examples in the order of the files; the rest is None if not wanted."""

    rulebook: Rulebook
    results: tuple[Result, ...]
    coverage: Coverage | None
    scores: Scores | None
    mutation: Mutation | None = None

    @property
    def failing(self) -> tuple[Result, ...]:
        """The examples to mend: those that failed with no known gap, and the closed gaps."""
        return tuple(
            result
            for result in self.results
            if result.is_closed_gap or (result.failures and not result.is_known_gap)
        )

    @property
    def known_gaps(self) -> tuple[Result, ...]:
        """The examples that failed as is written down in them."""
        return tuple(result for result in self.results if result.is_known_gap)

    @property
    def closed_gaps(self) -> tuple[Result, ...]:
        """The examples that passed although it is written down that they fail."""
        return tuple(result for result in self.results if result.is_closed_gap)

    @property
    def renewed(self) -> tuple[Problem, ...]:
        """The warnings of ids of old in the examples."""
        return tuple(one for result in self.results for one in result.example.renewed)

    def as_data(self) -> dict[str, Any]:
        """The proof as plain data for JSON."""
        meta = self.rulebook.meta
        return {
            "format": FORMAT,
            "rulebook": meta.id,
            "rulebook_version": meta.version,
            "examples": [_example_data(result) for result in self.results],
            "known_gaps": [_gap_data(result) for result in self.known_gaps],
            "closed_gaps": [_gap_data(result) for result in self.closed_gaps],
            "warnings": [problem.as_dict() for problem in self.renewed],
            "coverage": asdict(self.coverage) if self.coverage else None,
            "scores": _scores_data(self.scores) if self.scores else None,
            "mutation": mutation_data(self.mutation) if self.mutation else None,
        }


def prove(
    rulebook: Rulebook,
    examples: Path,
    *,
    with_coverage: bool = False,
    with_scores: bool = False,
    mutants: Sampling | None = None,
) -> Proof:
    """Run the examples in a folder; LoadError with every problem when they can't be read.

    `mutants` says which mutants to try, if any.
    """
    read = read_examples(examples, rulebook)
    results = tuple(run_example(rulebook, one) for one in read)
    return Proof(
        rulebook,
        results,
        coverage(rulebook, results) if with_coverage else None,
        scores(rulebook, results) if with_scores else None,
        mutation(rulebook, read, mutants) if mutants else None,
    )


def _example_data(result: Result) -> dict[str, Any]:
    return {
        **_place_data(result.example),
        "says": result.example.model.says,
        "held_back": result.example.model.held_back,
        "passed": not result.failures,
        "leading": result.leading,
        "leading_probability": probability(result.ranking, result.leading),
        "failures": [asdict(failure) for failure in result.failures],
    }


def _gap_data(result: Result) -> dict[str, Any]:
    return {**_place_data(result.example, "known_gap"), "why": result.example.model.known_gap}


def _place_data(example: Example, *steps: str) -> dict[str, Any]:
    mark = example.mark(*steps)
    return {
        "id": example.id,
        "path": example.document.path,
        "line": mark.line,
        "column": mark.column,
    }


def _scores_data(found: Scores) -> dict[str, Any]:
    return {
        "seen": _tally_data(found.seen) if found.seen else None,
        "held_back": _tally_data(found.held_back) if found.held_back else None,
    }


def _tally_data(tally: Tally) -> dict[str, Any]:
    return {**asdict(tally), "calibration": [one.as_data() for one in tally.calibration]}
