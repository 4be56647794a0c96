"""Numbers and names in words, the same on every screen."""

from __future__ import annotations

from advisor.rulebook import ChoiceFinding, Rulebook

HARD_SPACE = "\u00a0"  # number and unit stay on one line
NONE_OF_THE_LISTED = "none of the listed causes"


def percent(probability: float) -> str:
    """A probability in whole percent; "under 1 %" and "over 99 %" at the ends."""
    if probability <= 0.005:
        return f"under 1{HARD_SPACE}%"
    if probability >= 0.995:
        return f"over 99{HARD_SPACE}%"
    return f"{100.0 * probability:.0f}{HARD_SPACE}%"


def minutes(count: float) -> str:
    """Minutes with their unit: to a tenth below ten, else whole."""
    number = f"{count:.1f}".removesuffix(".0") if abs(count) < 10.0 else f"{count:.0f}"
    return f"{number}{HARD_SPACE}min"


def decibans(weight: float) -> str:
    """A weight of evidence with its sign and unit, to a tenth."""
    rounded = round(weight, 1)
    return f"{rounded + 0.0:+.1f}{HARD_SPACE}db"


def cause_name(rulebook: Rulebook, cause: str | None) -> str:
    """The name of a cause; None is *none of the listed*."""
    return NONE_OF_THE_LISTED if cause is None else rulebook.causes[cause].name


def outcome_name(rulebook: Rulebook, finding: str, outcome: str) -> str:
    """An outcome in words: yes or no, the label of an option, or the name of a band."""
    model = rulebook.findings[finding]
    labels = rulebook.labels(model.choice) if isinstance(model, ChoiceFinding) else {}
    plain = {"true": "yes", "false": "no", **labels}
    return plain.get(outcome, outcome.replace("-", " "))


def order_name(order: str) -> str:
    """A rotation order as people write it: "1x shaft"."""
    return order.replace("-", " ")


def weighed_outcome(rulebook: Rulebook, finding: str, weights: tuple[float, ...]) -> str:
    """The outcome of a finding, or its outcomes with their chances when none is certain."""
    outcomes = rulebook.engine.effects.findings[finding].outcomes
    if 1.0 in weights:
        return outcome_name(rulebook, finding, outcomes[weights.index(1.0)])
    shares = sorted(zip(weights, outcomes, strict=True), key=lambda item: -item[0])
    likely = [
        f"{outcome_name(rulebook, finding, name)} {percent(share)}"
        for share, name in shares
        if share >= 0.005
    ]
    return "too close to call: " + ", ".join(likely)


def one_line(text: str) -> str:
    """What a person wrote, on one line: with line ends it could look like the program's words."""
    return " ".join(text.split())


def named(name: str, value: str) -> str:
    """A name with its value; a question needs no colon."""
    return f"{name} {value}" if name.endswith("?") else f"{name}: {value}"
