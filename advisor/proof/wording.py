"""Conditions, findings and probabilities as a rule author writes them: by their ids."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.engine.rules import All, AnyOf, Condition, Is, Known, Not, OneOf
from advisor.rulebook import Rulebook

from .naming import TOO_CLOSE, UNKNOWN


def share(probability: float) -> str:
    """A probability as the files write it, 0 to 1, to three digits."""
    return f"{probability:.3g}"


def decibans(weight: float) -> str:
    """A weight of evidence with its sign and unit, to a tenth; "-0.0" is written "+0.0"."""
    return f"{round(weight, 1) + 0.0:+.1f} db"


def outcome_of(outcomes: Sequence[str], weights: Sequence[float] | None) -> str:
    """The outcome of a finding as an example names it."""
    if weights is None:
        return UNKNOWN
    return outcomes[weights.index(1.0)] if 1.0 in weights else TOO_CLOSE


def condition_text(rulebook: Rulebook, condition: Condition) -> str:
    """A condition on one line."""
    match condition:
        case All(items) | AnyOf(items):
            word = "all" if isinstance(condition, All) else "any"
            return f"{word} of ({'; '.join(condition_text(rulebook, one) for one in items)})"
        case Not(item):
            return f"not ({condition_text(rulebook, item)})"
        case Is(fact, value):
            return f"{fact}: {str(value).lower() if isinstance(value, bool) else value}"
        case OneOf(fact, values):
            return f"{fact}: {' or '.join(sorted(values))}"
        case Known(fact, known):
            return f"{fact}: {'known' if known else 'not known'}"
        case within:
            return f"{within.fact}: {rulebook.show_intervals(within.fact, within.intervals)}"


def counted(count: int, noun: str) -> str:
    """A number of things: "1 case", "2 cases"."""
    return f"{count} {noun}{'' if count == 1 else 's'}"
