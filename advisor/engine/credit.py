"""How much each finding adds to the log-odds of each cause, in decibans."""

from __future__ import annotations

import math
from collections.abc import Sequence

from .belief import Belief
from .effects import DECIBANS_PER_NEPER, Effect

FARTHEST = 3000.0  # decibans; odds beyond what a float holds are taken as these
NEARLY_ALL = 0.99  # of the mass; beyond it a difference of sums loses digits


def log_odds(belief: Belief, cause: int) -> float:
    """Odds of a cause, over singles and pairs, against everything else; in decibans."""
    held = belief.single[cause] + sum(belief.pair[cause])
    others = belief.none
    for i, (mass, row) in enumerate(zip(belief.single, belief.pair, strict=True)):
        if i != cause:
            others += mass + 0.5 * (sum(row[:cause]) + sum(row[cause + 1 :]))
    return _decibans(held, others)


def log_odds_of_all(belief: Belief) -> list[float]:
    """The same for every cause at once."""
    total = belief.total
    return [
        log_odds(belief, cause) if held > NEARLY_ALL * total else _decibans(held, total - held)
        for cause, held in enumerate(belief.marginals())
    ]


def _decibans(held: float, others: float) -> float:
    if held <= 0.0 or others <= 0.0:
        return math.inf if others <= 0.0 else -math.inf
    return DECIBANS_PER_NEPER * math.log(held / others)


def credit_of(prior: Belief, counted: Sequence[tuple[str, Effect]]) -> dict[str, list[float]]:
    """For each finding, the decibans that it adds to each cause; they add up exactly.

    A finding's weight against a mixture of other causes depends on what is known already
    (I. J. Good: W(H:EF) = W(H:E) + W(H:F|E)). So each is weighed twice, coming in the order of
    the files and in the reverse, and the mean is taken: of two findings that say much the same,
    neither takes all the credit.
    """
    mean = {name: [0.0] * len(prior.single) for name, _ in counted}
    for order in (counted, tuple(reversed(counted))):
        belief = prior
        before = [bounded(value) for value in log_odds_of_all(belief)]
        for name, effect in order:
            belief = belief.after(effect)
            belief = belief.scaled(1.0 / belief.total)
            after = [bounded(value) for value in log_odds_of_all(belief)]
            mean[name] = [
                value + 0.5 * (new - old)
                for value, new, old in zip(mean[name], after, before, strict=True)
            ]
            before = after
    return mean


def bounded(decibans: float) -> float:
    """Decibans within FARTHEST."""
    return max(-FARTHEST, min(FARTHEST, decibans))
