"""The work: made-up causes and yes/no findings, one vehicle's answers, and what must come out.

A hypothesis is none of the listed, one cause, or a pair; every engine is given the same prior
over them and the same rates, each finding's own question being all that it reads.
"""

from __future__ import annotations

import math
import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from advisor.engine.diagnosis import Diagnosis
from advisor.engine.effects import noisy_or
from advisor.engine.rules import Rules
from tests import helpers

SPEAKS_TO = 6  # causes to which a finding speaks
Answers = Mapping[int, bool]  # by the place of the finding


@dataclass(frozen=True)
class Work:
    """A rulebook, the prior of its hypotheses, and each finding's rate of "true" under them."""

    rules: Rules
    prior: Sequence[float]
    rates: Sequence[Sequence[float]]

    def expected(self, known: Answers) -> list[float]:
        """The posterior of each hypothesis: prior times rates, over their sum."""
        masses = [
            mass
            * math.prod(
                self.rates[place][hypothesis] if is_true else 1.0 - self.rates[place][hypothesis]
                for place, is_true in known.items()
            )
            for hypothesis, mass in enumerate(self.prior)
        ]
        whole = math.fsum(masses)
        return [mass / whole for mass in masses]


def work(causes: int, findings: int, seed: int = 1) -> Work:
    """So many causes and findings, the same for the same seed."""
    source = random.Random(f"{causes} {findings} {seed}")
    ids = [f"cause-{place}" for place in range(causes)]
    usual = [source.uniform(0.02, 0.3) for _ in range(findings)]
    own = [
        {name: source.uniform(0.05, 0.95) for name in source.sample(ids, SPEAKS_TO)}
        for _ in range(findings)
    ]
    rules = helpers.rules(
        findings=[
            helpers.finding(f"f-{place}", own[place], usual=usual[place])
            for place in range(findings)
        ],
        causes=[helpers.cause(name, commonness=source.uniform(0.5, 5.0)) for name in ids],
    )
    pairs = list(combinations(ids, 2))
    belief = Diagnosis(rules).prior()
    return Work(
        rules,
        [belief.none, *belief.single, *in_pairs(belief.pair)],
        [
            [rest]
            + [rates.get(name, rest) for name in ids]
            + [noisy_or(rest, rates.get(a, rest), rates.get(b, rest)) for a, b in pairs]
            for rest, rates in zip(usual, own, strict=True)
        ],
    )


def in_pairs(rows: Sequence[Sequence[float]]) -> list[float]:
    """What symmetric rows hold of each pair, in the order of the hypotheses."""
    return [rows[i][j] for i, j in combinations(range(len(rows)), 2)]


def answers(findings: int, count: int, seed: int) -> dict[int, bool]:
    """The answers of one vehicle to so many of the findings, by chance."""
    source = random.Random(f"answers {seed}")
    return {place: source.random() < 0.3 for place in source.sample(range(findings), count)}
