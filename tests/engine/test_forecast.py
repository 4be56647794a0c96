"""What tests would bring, against plain enumeration of their outcomes."""

from __future__ import annotations

import pytest

from advisor.engine.rules import Rules
from advisor.engine.values import Number, Value
from tests import helpers, oracles

READINGS = (-9.0, 3.0, 9.0)  # one in each band
COSTLY = [helpers.cause(name, repair_minutes=100.0) for name in ("a", "b")]


def half_read(*more: str) -> tuple[Rules, dict[str, Value]]:
    """A number at the first limit of two, computed and not read yet; a test that reads it.

    The test answers `more` questions too: "q-strong" restates what "q-weak" has told.
    """
    rules = helpers.rules(
        questions=[*map(helpers.number, "nx"), *map(helpers.yes_no, ("q-weak", "q-strong"))],
        computed=[helpers.computed("n", {"x": "x"}, lambda _: Number(1.0, 0.1))],
        findings=[
            helpers.band_finding("f", "n", (1.0, 5.0), (0.6, 0.3, 0.1), {"a": (0.1, 0.8, 0.1)}),
            helpers.finding("weak", {"a": 0.3}, observation="one"),
            helpers.finding("strong", {"a": 0.95, "b": 0.02}, observation="one"),
        ],
        causes=COSTLY,
        tests=[helpers.work("read", ["n", *more])],
    )
    return rules, {"x": Number(0.0), "q-weak": True}


def test_an_outcome_that_a_reading_has_ruled_out_is_not_foretold() -> None:
    (option,) = helpers.diagnosis(*half_read()).plan(at="desk").options
    assert [one.outcome for one in option.outlook] == ["band-0", "band-1"]
    assert sum(one.probability for one in option.outlook) == pytest.approx(1.0, abs=1e-12)


@pytest.mark.parametrize("strong", [False, True], ids=["alone", "beside what restates another"])
def test_a_half_read_number_is_worth_what_enumeration_gives(strong: bool) -> None:
    """The outcome that the first reading has ruled out counts nothing."""
    rules, answers = half_read(*["q-strong"] if strong else [])
    half, _, other = rules.findings
    now = oracles.posterior(rules, answers)
    after = 0.0
    for outcome, share in enumerate((0.5, 0.5, 0.0)):
        for told, value in enumerate((True, False) if strong else (None,)):
            given: dict[str, Value] = {"n": Number(READINGS[outcome])}
            chance = 0.0
            for guess, mass in now.items():
                likelihood = oracles.likelihood(rules, half, (0.5, 0.5, 0.0), guess)
                read = share * oracles.rates(rules, half, guess)[outcome] / likelihood
                chance += mass * read * (oracles.rates(rules, other, guess)[told] if strong else 1)
            if value is not None:
                given["q-strong"] = value
            then = oracles.posterior(rules, answers | given)
            after += chance * oracles.repair_minutes(rules, then)
    saved = oracles.repair_minutes(rules, now) - after
    (option,) = helpers.diagnosis(rules, answers).plan(at="desk").options
    assert option.saves == pytest.approx(saved - option.minutes, abs=1e-9)
