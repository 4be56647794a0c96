"""Trying the mutants of a rulebook on its examples: which of them some example notices."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from advisor.rulebook import Rulebook

from ..reading import Example
from .bench import Bench
from .mutants import Mutant, NewApplies, NewCommonness, NewFinding, mutants
from .trial import Outcome, Trial

Progress = Callable[[int, int], None]  # examples done, of how many


@dataclass(frozen=True, slots=True)
class Sampling:
    """Which mutants are tried: a sample of so many, drawn by the seed; None: all of them.

    `progress` hears how many examples they have been tried on, and of how many.
    """

    seed: int = 0
    size: int | None = None
    progress: Progress = lambda done, whole: None

    def drawn(self, all_mutants: Iterable[Mutant]) -> tuple[Mutant, ...]:
        """The mutants to try, in the order of the files."""
        whole = tuple(all_mutants)
        if self.size is None or self.size >= len(whole):
            return whole
        places = random.Random(self.seed).sample(range(len(whole)), self.size)
        return tuple(whole[place] for place in sorted(places))


@dataclass(frozen=True, slots=True)
class Mutation:
    """The mutants that were tried, in the order of the files, and what came of each.

    `total` is how many there are in all. Those untouched changed nothing on any example: no
    example has the answers that could show them.
    """

    rulebook: Rulebook
    total: int
    tried: tuple[tuple[Mutant, Outcome], ...]
    sampling: Sampling

    def those(self, outcome: Outcome) -> tuple[Mutant, ...]:
        """The mutants with this outcome."""
        return tuple(mutant for mutant, came in self.tried if came is outcome)

    def count(self, outcome: Outcome, kind: str | None = None) -> int:
        """How many mutants of a kind, or of all, have this outcome."""
        return sum(came is outcome and kind in (None, mutant.kind) for mutant, came in self.tried)


def mutation(rulebook: Rulebook, examples: Sequence[Example], sampling: Sampling) -> Mutation:
    """Try the mutants on the examples; an example that fails without any mutant notices none."""
    whole = tuple(mutants(rulebook))
    drawn = sampling.drawn(whole)
    outcomes = dict.fromkeys(drawn, Outcome.UNTOUCHED)
    left = _by_finding(drawn)
    bench = Bench(rulebook.rules, drawn)
    for done, example in enumerate(examples):
        sampling.progress(done, len(examples))
        trial = Trial(rulebook, bench, example)
        if trial.is_sound:
            _try_all(trial, left, outcomes)
    sampling.progress(len(examples), len(examples))
    tried = tuple((mutant, outcomes[mutant]) for mutant in drawn)
    return Mutation(rulebook, len(whole), tried, sampling)


def _try_all(trial: Trial, left: dict[str, list[Mutant]], outcomes: dict[Mutant, Outcome]) -> None:
    """Try what is left, and leave no more what the example notices."""
    for finding, waiting in left.items():
        if finding and finding not in trial.weights:
            continue
        noticed = False
        for mutant in waiting:
            came = trial.tried(mutant)
            if came is not Outcome.UNTOUCHED:
                outcomes[mutant] = came
                noticed = noticed or came is Outcome.NOTICED
        if noticed:
            waiting[:] = [one for one in waiting if outcomes[one] is not Outcome.NOTICED]


def _by_finding(drawn: Iterable[Mutant]) -> dict[str, list[Mutant]]:
    """The mutants by the finding without which they change nothing; "" for the others."""
    found: dict[str, list[Mutant]] = {}
    for mutant in drawn:
        needs_known = not isinstance(mutant.change, NewFinding | NewApplies | NewCommonness)
        found.setdefault(mutant.id if needs_known else "", []).append(mutant)
    return found
