"""What tests would bring, against plain enumeration of their outcomes."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import pytest

from advisor.engine.forecast import MOST_BRANCHES, SHOWN_FINDINGS
from advisor.engine.rules import Finding, Rules
from advisor.engine.values import Number, Value
from tests import helpers, oracles

COSTLY = [helpers.cause(name, repair_minutes=100.0) for name in ("a", "b")]
Readings = Sequence[tuple[str, str, Sequence[Value]]]  # finding, question, the value by outcome
Shares = Mapping[str, tuple[float, ...]]  # what a reading has told of the findings half read


def yes_no(*findings: str) -> Readings:
    return [(name, f"q-{name}", (True, False)) for name in findings]


def chances(
    rules: Rules, belief: oracles.Posterior, name: str, shares: Shares
) -> list[list[float]]:
    """For each outcome of a finding the mass of each hypothesis that goes with it."""
    item = next(finding for finding in rules.findings if finding.id == name)
    half = shares.get(name)
    joint = []
    for outcome in range(len(item.outcomes)):
        masses = []
        for guess, mass in belief.items():
            rate = oracles.rates(rules, item, guess)[outcome]
            if half is not None:
                rate *= half[outcome] / oracles.likelihood(rules, item, half, guess)
            masses.append(mass * rate)
        joint.append(masses)
    return joint


def minutes_after(
    rules: Rules, answers: dict[str, Value], readings: Readings, shares: Shares
) -> float:
    """Expected minutes of repair once these findings are read, outcome by outcome."""
    belief = oracles.posterior(rules, answers)
    if not readings:
        return oracles.repair_minutes(rules, belief)
    (name, question, values), *others = readings
    return sum(
        sum(masses) * minutes_after(rules, answers | {question: value}, others, shares)
        for masses, value in zip(chances(rules, belief, name, shares), values, strict=True)
        if sum(masses) > 0.0
    )


def saving(
    rules: Rules, answers: dict[str, Value], readings: Readings, shares: Shares | None = None
) -> float:
    now = oracles.repair_minutes(rules, oracles.posterior(rules, answers))
    return now - minutes_after(rules, answers, readings, shares or {})


def information(rules: Rules, answers: dict[str, Value], name: str, shares: Shares) -> float:
    """The mutual information of a finding and the hypotheses, in nats, from its definition."""
    belief = oracles.posterior(rules, answers)
    told = 0.0
    for masses in chances(rules, belief, name, shares):
        for mass, before in zip(masses, belief.values(), strict=True):
            if mass > 0.0:
                told += mass * math.log(mass / (before * sum(masses)))
    return told


def one_test(*findings: Finding, known: str = "", pair_factor: float = 0.1) -> Rules:
    """All of these findings are read by one test of a minute, but for the one that is known."""
    asked = [f"q-{item.id}" for item in findings if item.id != known]
    tests = [helpers.work("all", asked)]
    return helpers.rules(findings=findings, causes=COSTLY, tests=tests, pair_factor=pair_factor)


# -- a number half read --

HALF = {"f": (0.5, 0.5, 0.0)}  # at the limit of the first two bands, far from the third
OUTCOMES: Readings = [("f", "n", (Number(-9.0), Number(3.0), Number(9.0)))]


def half_read(
    *more: str, rates: tuple[float, ...] = (0.1, 0.4, 0.5)
) -> tuple[Rules, dict[str, Value]]:
    """A number at the first limit of two, computed and not read yet; a test that reads it.

    `rates` are those of its bands with cause a. The test answers `more` questions too:
    "q-strong" restates what "q-weak" has told.
    """
    rules = helpers.rules(
        questions=[*map(helpers.number, "nx"), *map(helpers.yes_no, ("q-weak", "q-strong", "q-g"))],
        computed=[helpers.computed("n", {"x": "x"}, lambda _: Number(1.0, 0.1))],
        findings=[
            helpers.band_finding("f", "n", (1.0, 5.0), (0.6, 0.3, 0.1), {"a": rates}),
            helpers.finding("weak", {"a": 0.3}, observation="one"),
            helpers.finding("strong", {"a": 0.95, "b": 0.02}, observation="one"),
            helpers.finding("g", {"b": 0.2}),
        ],
        causes=COSTLY,
        tests=[helpers.work("read", ["n", *more])],
    )
    return rules, {"x": Number(0.0), "q-weak": True}


@pytest.mark.parametrize("more", [(), ("strong",)], ids=["alone", "beside what restates another"])
def test_a_half_read_number_is_worth_what_enumeration_gives(more: tuple[str, ...]) -> None:
    """The outcome that the first reading has ruled out counts nothing."""
    rules, answers = half_read(*(f"q-{name}" for name in more))
    (option,) = helpers.diagnosis(rules, answers).plan(at="desk").options
    saved = saving(rules, answers, [*OUTCOMES, *yes_no(*more)], HALF)
    assert option.saves == pytest.approx(saved - option.minutes, abs=1e-9)


def test_an_outcome_that_a_reading_has_ruled_out_is_not_foretold() -> None:
    (option,) = helpers.diagnosis(*half_read()).plan(at="desk").options
    assert [one.outcome for one in option.outlook] == ["band-0", "band-1"]
    assert sum(one.probability for one in option.outlook) == pytest.approx(1.0, abs=1e-12)


# -- findings that restate what is known --


def test_restating_a_more_telling_finding_adds_nothing_to_what_else_a_test_tells() -> None:
    findings = [
        helpers.finding("strong", {"a": 0.6}, observation="one"),
        helpers.finding("weak", {"a": 0.3, "b": 0.05}, observation="one"),
        helpers.finding("g", {"b": 0.9}, usual=0.05),
    ]
    rules = one_test(*findings, known="strong")
    answers: dict[str, Value] = {"q-strong": True}
    (option,) = helpers.diagnosis(rules, answers).plan(at="desk").options
    saved = saving(rules, answers, yes_no("g"))
    assert option.saves == pytest.approx(saved - option.minutes, abs=1e-9)


def test_a_cause_that_only_the_replaced_finding_spoke_against_counts_again() -> None:
    """Its repair pays once that finding is replaced, though it doesn't now."""
    findings = [
        helpers.finding("weak", {"b": 0.02}, usual=0.9, observation="one"),
        helpers.finding("strong", {"a": 0.999}, usual=0.005, observation="one"),
    ]
    rules = one_test(*findings, known="weak", pair_factor=0.0)
    answers: dict[str, Value] = {"q-weak": True}
    case = helpers.diagnosis(rules, answers)
    (option,) = case.plan(at="desk").options
    assert "b" not in {step.cause for step in case.plan(at="desk").repair.steps}
    saved = saving(rules, answers, yes_no("strong"))
    assert option.saves == pytest.approx(saved - option.minutes, abs=1e-9)


# -- more findings than are followed --


def telling(count: int) -> list[Finding]:
    """Yes/no findings, each more telling than the one before it."""
    return [
        helpers.finding(f"f-{place}", {"ab"[place % 2]: 0.4 + 0.1 * place})
        for place in range(count)
    ]


def test_of_more_findings_than_are_followed_those_that_tell_most_count() -> None:
    """Four of yes or no have 16 outcomes together, five have 32."""
    assert 2**4 <= MOST_BRANCHES < 2**5
    rules = one_test(*telling(5))
    (option,) = helpers.diagnosis(rules).plan(at="desk").options
    by_information = sorted(rules.findings, key=lambda f: -information(rules, {}, f.id, {}))
    followed = [item.id for item in by_information[:4]]
    assert "f-0" not in followed
    saved = saving(rules, {}, yes_no(*followed))
    assert option.saves == pytest.approx(saved - option.minutes, abs=1e-9)


def one_of_many(count: int, *others: Finding) -> tuple[Rules, Readings]:
    """A finding of so many values, read by one test with `others`; the values by their answers."""
    values = [f"value-{place}" for place in range(count)]
    even = dict.fromkeys(values, 1.0 / count)
    falling = [2.0 * (count - place) / count / (count + 1) for place in range(count)]
    findings = [helpers.choice_finding("chosen", "c", even, {"a": falling}), *others]
    asked = ["c", *(f"q-{item.id}" for item in others)]
    rules = helpers.rules(
        questions=[helpers.choice("c", *values), *map(helpers.yes_no, asked[1:])],
        findings=findings,
        causes=COSTLY,
        tests=[helpers.work("all", asked)],
    )
    return rules, [("chosen", "c", values), *yes_no(*(item.id for item in others))]


@pytest.mark.parametrize(("count", "others"), [(3, 3), (25, 0)])
def test_findings_are_followed_up_to_24_outcomes_and_one_finding_always(
    count: int, others: int
) -> None:
    rules, readings = one_of_many(count, *telling(others))
    (option,) = helpers.diagnosis(rules).plan(at="desk").options
    saved = saving(rules, {}, readings)
    assert option.saves == pytest.approx(saved - option.minutes, abs=1e-9)


def test_the_outlook_is_of_the_findings_that_tell_most() -> None:
    rules = one_test(*telling(5))
    (option,) = helpers.diagnosis(rules).plan(at="desk").options
    by_information = sorted(rules.findings, key=lambda f: -information(rules, {}, f.id, {}))
    foretold = list(dict.fromkeys(one.finding for one in option.outlook))
    assert foretold == [item.id for item in by_information[:SHOWN_FINDINGS]]


def test_a_half_read_finding_tells_only_what_its_reading_has_left_open() -> None:
    """Of the two, the half-read one would tell more, had it not been read."""
    rules, answers = half_read("q-g", rates=(0.2, 0.12, 0.68))
    told = [information(rules, answers, name, HALF) for name in ("f", "g")]
    assert information(rules, answers, "f", {}) > told[1] > told[0]
    (option,) = helpers.diagnosis(rules, answers).plan(at="desk").options
    assert [one.finding for one in option.outlook] == ["g", "g", "f", "f"]
