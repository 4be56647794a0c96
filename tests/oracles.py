"""What the engine should give, worked out again in the plainest way, from design.md alone.

Nothing here is incremental, cached, numbered or in logarithms. It shares only the data classes
with the engine.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import combinations, permutations

from scipy.special import ndtr  # type: ignore[import-untyped]

from advisor.engine.rules import (
    All,
    AnyOf,
    ByBand,
    ByChoice,
    ByCondition,
    ComputationError,
    Condition,
    Finding,
    Is,
    Known,
    Not,
    OneOf,
    Rules,
    Within,
)
from advisor.engine.values import UNKNOWN, Interval, Number, Value

Hypothesis = tuple[int, ...]  # the causes that are there, by place: none, one or two
Posterior = dict[Hypothesis, float]


def snap(probability: float) -> float:
    """True from 0.95 on, false up to 0.05 (design.md 4)."""
    if probability >= 0.95:
        return 1.0
    return 0.0 if probability <= 0.05 else probability


def facts(book: Rules, answers: Mapping[str, Value]) -> dict[str, Value]:
    """All facts: answers, and computed facts where nothing was measured."""
    return {fact: value_of(book, answers, fact) for fact in fact_ids(book)}


def fact_ids(book: Rules) -> list[str]:
    """The ids of all questions and computed facts."""
    return [item.id for item in book.questions] + [item.id for item in book.computed]


def value_of(book: Rules, answers: Mapping[str, Value], fact: str) -> Value:
    """The value of one fact, each input worked out anew."""
    if answers.get(fact, UNKNOWN) is not UNKNOWN:
        return answers[fact]
    for item in book.computed:
        if item.id == fact:
            inputs = {name: value_of(book, answers, read) for name, read in item.inputs.items()}
            known = {name: value for name, value in inputs.items() if value is not UNKNOWN}
            if not set(inputs) - item.optional <= known.keys():
                return UNKNOWN
            try:
                return item.compute(known)
            except ComputationError:
                return UNKNOWN
    return UNKNOWN


def share_within(value: Number, interval: Interval) -> float:
    """Probability that the true value lies in an interval, by scipy."""
    if value.u == 0.0:
        at_low = interval.low_closed and value.value == interval.low
        at_high = interval.high_closed and value.value == interval.high
        return float(interval.low < value.value < interval.high or at_low or at_high)
    high, low = ((end - value.value) / value.u for end in (interval.high, interval.low))
    return float(ndtr(high) - ndtr(low))


def truth(book: Rules, known: Mapping[str, Value], condition: Condition) -> float | None:
    """Probability that a condition is true; None while it is unknown (Kleene)."""
    if isinstance(condition, All):
        parts = [truth(book, known, item) for item in condition.items]
        if any(part == 0.0 for part in parts):
            return 0.0
        sound = [part for part in parts if part is not None]
        return snap(math.prod(sound)) if len(sound) == len(parts) else None
    if isinstance(condition, AnyOf):
        return truth(book, known, Not(All(tuple(Not(item) for item in condition.items))))
    if isinstance(condition, Not):
        inner = truth(book, known, condition.item)
        return None if inner is None else 1.0 - inner
    source = next((item for item in book.findings if item.id == condition.fact), None)
    if source is None:
        return _truth_of_fact(known.get(condition.fact, UNKNOWN), condition)
    return _truth_of_finding(book, known, source, condition)


def _truth_of_finding(
    book: Rules, known: Mapping[str, Value], source: Finding, condition: Condition
) -> float | None:
    shares = weights(book, known, source)
    match condition:
        case Known(_, wanted):
            return float((shares is not None) == wanted)
        case Is(_, bool(value)):
            wanted_outcomes = {"true" if value else "false"}
        case Is(_, str(value)):
            wanted_outcomes = {value}
        case OneOf(_, values):
            wanted_outcomes = set(values)
        case _:
            raise TypeError(condition)
    if shares is None:
        return None
    named = zip(source.outcomes, shares, strict=True)
    return snap(sum(share for outcome, share in named if outcome in wanted_outcomes))


def _truth_of_fact(value: Value, condition: Condition) -> float | None:
    if isinstance(condition, Known):
        return float((value is not UNKNOWN) == condition.known)
    if value is UNKNOWN:
        return None
    if isinstance(condition, Within):
        assert isinstance(value, Number)
        return snap(sum(share_within(value, interval) for interval in condition.intervals))
    assert isinstance(condition, Is | OneOf)
    wanted = condition.values if isinstance(condition, OneOf) else {condition.value}
    had = value if isinstance(value, frozenset) else {value}
    return float(not wanted.isdisjoint(had))


def weights(book: Rules, known: Mapping[str, Value], item: Finding) -> tuple[float, ...] | None:
    """Probability of each outcome of a finding, None while it is unknown."""
    source = item.source
    if isinstance(source, ByCondition):
        true = truth(book, known, source.when)
        return None if true is None else (true, 1.0 - true)
    value = known.get(source.fact, UNKNOWN)
    if value is UNKNOWN:
        return None
    if isinstance(source, ByChoice):
        assert isinstance(value, str)
        return tuple(
            float(place == source.outcome_of[value]) for place in range(len(item.outcomes))
        )
    assert isinstance(source, ByBand)
    assert isinstance(value, Number)
    shares = [share_within(value, band) for band in source.bands]
    certain = [place for place, share in enumerate(shares) if share >= 0.95]
    if certain:
        return tuple(float(place == certain[0]) for place in range(len(shares)))
    return tuple(shares)


def hypotheses(book: Rules) -> list[Hypothesis]:
    """None of the listed, each single cause, each pair of causes."""
    places = range(len(book.causes))
    return [(), *((place,) for place in places), *combinations(places, 2)]


def prior(book: Rules, known: Mapping[str, Value]) -> Posterior:
    """Relative commonness, a factor for pairs, a share for none; what cannot exist is out."""
    common = []
    for item in book.causes:
        applies = 1.0 if item.applies_if is None else truth(book, known, item.applies_if)
        common.append(item.commonness * (1.0 if applies is None else applies))
    if sum(common) == 0.0:
        return {guess: float(guess == ()) for guess in hypotheses(book)}
    share = [value / sum(common) for value in common]
    mass: Posterior = {(place,): value for place, value in enumerate(share)}
    for i, j in combinations(range(len(share)), 2):
        mass[i, j] = book.pair_factor * share[i] * share[j]
    listed = sum(mass.values())
    mass = {guess: value * (1.0 - book.none_share) / listed for guess, value in mass.items()}
    return {(): book.none_share, **mass}


def rates(book: Rules, item: Finding, guess: Hypothesis) -> tuple[float, ...]:
    """Rates of the outcomes of a finding under a hypothesis (design.md 6)."""
    columns = [item.rates.get(book.causes[place].id, item.usual) for place in guess]
    if not columns:
        return item.usual
    if len(columns) == 1:
        return columns[0]
    first, second = columns
    if isinstance(item.source, ByCondition):
        leak = min(item.usual[0], first[0], second[0])
        true = 1.0 - (1.0 - first[0]) * (1.0 - second[0]) / (1.0 - leak)
        return (true, 1.0 - true)
    return tuple((a + b) / 2.0 for a, b in zip(first, second, strict=True))


def likelihood(book: Rules, item: Finding, shares: Sequence[float], guess: Hypothesis) -> float:
    """How likely a finding is under a hypothesis; weighted outcomes are virtual evidence."""
    columns = rates(book, item, guess)
    return sum(share * rate for share, rate in zip(shares, columns, strict=True))


def spread(book: Rules, item: Finding, shares: Sequence[float]) -> float:
    """How far a finding drives none and the single causes apart: log of the greatest ratio."""
    guesses = [guess for guess in hypotheses(book) if len(guess) < 2]
    all_of_them = [likelihood(book, item, shares, guess) for guess in guesses]
    return math.log(max(all_of_them) / min(all_of_them))


def counted(book: Rules, known: Mapping[str, Value]) -> dict[str, tuple[float, ...]]:
    """The findings that count: of each observation the most telling, the first where equal."""
    best: dict[str, tuple[float, str, tuple[float, ...]]] = {}
    for item in book.findings:
        shares = weights(book, known, item)
        if shares is None:
            continue
        group = item.observation or f"alone: {item.id}"
        telling = spread(book, item, shares)
        if group not in best or telling > best[group][0]:
            best[group] = (telling, item.id, shares)
    return {name: shares for _, name, shares in best.values()}


def posterior(
    book: Rules, answers: Mapping[str, Value], without: frozenset[str] = frozenset()
) -> Posterior:
    """Bayes' rule over all hypotheses, one after the other; `without` some findings."""
    known = facts(book, answers)
    by_id = {item.id: item for item in book.findings}
    mass = prior(book, known)
    for name, shares in counted(book, known).items():
        if name not in without:
            mass = {
                guess: value * likelihood(book, by_id[name], shares, guess)
                for guess, value in mass.items()
            }
    whole = sum(mass.values())
    return {guess: value / whole for guess, value in mass.items()}


def marginal(belief: Mapping[Hypothesis, float], place: int) -> float:
    """Probability of a cause, over singles and pairs."""
    return sum(value for guess, value in belief.items() if place in guess)


def log_odds(belief: Mapping[Hypothesis, float], place: int) -> float:
    """Decibans of a cause against everything else."""
    against = sum(value for guess, value in belief.items() if place not in guess)
    return 10.0 * math.log10(marginal(belief, place) / against)


def minutes_of_sequence(
    book: Rules, belief: Mapping[Hypothesis, float], sequence: Sequence[int]
) -> float:
    """Expected minutes of trying these repairs until cured, then handing on."""
    whole = 0.0
    for guess, mass in belief.items():
        spent, left = 0.0, set(guess)
        cured = False
        for place in sequence:
            item = book.causes[place]
            spent += item.repair_minutes + item.verify_minutes
            left.discard(place)
            cured = bool(guess) and not left
            if cured:
                break
        whole += mass * (spent if cured else spent + book.escalation_minutes)
    return whole


def repair_minutes(book: Rules, belief: Mapping[Hypothesis, float]) -> float:
    """Least expected minutes over the stopping points of the order by probability over cost."""
    cost = [item.repair_minutes + item.verify_minutes for item in book.causes]
    chance = [marginal(belief, place) for place in range(len(cost))]
    order = sorted(
        (place for place, value in enumerate(chance) if value > 0.0),
        key=lambda place: (-chance[place] / cost[place], place),
    )
    return min(minutes_of_sequence(book, belief, order[:count]) for count in range(len(order) + 1))


def least_minutes_of_all_orders(book: Rules, belief: Mapping[Hypothesis, float]) -> float:
    """Least expected minutes over every order of every selection of repairs."""
    places = range(len(book.causes))
    return min(
        minutes_of_sequence(book, belief, sequence)
        for count in range(len(book.causes) + 1)
        for sequence in permutations(places, count)
    )


def saving(book: Rules, answers: Mapping[str, Value], questions: Sequence[str]) -> float:
    """Expected minutes of repair now, less those to expect once the questions are answered."""
    now = posterior(book, answers)
    return repair_minutes(book, now) - _expected(book, answers, questions)


def _expected(book: Rules, answers: Mapping[str, Value], questions: Sequence[str]) -> float:
    belief = posterior(book, answers)
    if not questions:
        return repair_minutes(book, belief)
    first, *rest = questions
    item = next(f for f in book.findings if f"q-{f.id}" == first)
    whole = 0.0
    for outcome, value in enumerate((True, False)):
        chance = sum(mass * rates(book, item, guess)[outcome] for guess, mass in belief.items())
        whole += chance * _expected(book, {**answers, first: value}, rest)
    return whole
