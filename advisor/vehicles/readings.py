"""What a gauge shows of a true value, and how a technician would write it down."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from random import Random

from advisor.engine.values import Kind, Number, Value
from advisor.rulebook import NumberQuestion, Rulebook
from advisor.rulebook.measuring import dimensions_of
from advisor.units import Unit

DONT_KNOW = "dont-know"
NO_UNIT = "1"
WHOLE = "count"
DIGITS = 3  # of a number that is read without a gauge


@dataclass(frozen=True, slots=True)
class Dial:
    """How a number question is read: its unit, and in SI its range and the gauge's step, limit, u.

    Without a gauge, `step` and `limit` are 0 and the reading has three significant digits.
    """

    unit: Unit
    low: float
    high: float
    step: float = 0.0
    limit: float = 0.0
    u: float = 0.0

    def reading(self, true_si: float, rng: Random) -> Number | None:
        """What is read for this true value; None when the dial doesn't reach it."""
        if not self.low <= true_si <= self.high:
            return None
        if not self.step:
            return Number(true_si)
        shown = true_si + (2.0 * rng.random() - 1.0) * self.limit
        steps = round(min(max(shown, self.low), self.high) / self.step)
        return Number(steps * self.step, self.u)

    def written(self, si: float) -> str:
        """The value with its unit, to the step of the gauge."""
        value = si / self.unit.factor
        number = Decimal(f"{value:.12g}").quantize(self._digit(value), rounding=ROUND_HALF_EVEN)
        text = format(number if number else Decimal(0).quantize(self._digit(0.0)), "f")
        return text if self.unit.symbol in (NO_UNIT, WHOLE) else f"{text} {self.unit.symbol}"

    def _digit(self, value: float) -> Decimal:
        """The last decimal place that is written."""
        if self.step:
            step = Decimal(f"{self.step / self.unit.factor:.6g}").normalize()
            return Decimal(1).scaleb(min(0, int(step.as_tuple().exponent)))
        if self.unit.symbol == WHOLE or value == 0.0:
            return Decimal(1)
        return Decimal(1).scaleb(min(0, math.floor(math.log10(abs(value))) + 1 - DIGITS))


def dials(rulebook: Rulebook) -> dict[str, Dial]:
    """How each number question of a rulebook is read."""
    return {
        name: _dial(rulebook, name, question)
        for name, question in rulebook.questions.items()
        if isinstance(question, NumberQuestion)
    }


def _dial(rulebook: Rulebook, name: str, question: NumberQuestion) -> Dial:
    unit = rulebook.facts[name].unit
    assert unit is not None, f"number question {name!r} has no unit"
    low, high = rulebook.measures[name].range or (-math.inf, math.inf)
    if question.gauge is None:
        return Dial(unit, low, high)
    gauge = rulebook.gauges[question.gauge]
    step = dimensions_of(gauge.step)[unit.dimension]
    limit = dimensions_of(gauge.limit)[unit.dimension]
    return Dial(unit, low, high, step, limit, rulebook.measures[name].u)


def answer_text(value: Value, kind: Kind, dial: Dial | None) -> str:
    """The answer as it is typed; "dont-know" for what isn't known."""
    if isinstance(value, Number):
        assert dial is not None, "only a number question has a number for its answer"
        return dial.written(value.value)
    if kind is Kind.YES_NO and isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, frozenset):
        return ", ".join(sorted(value)) or "none"
    return value if isinstance(value, str) else DONT_KNOW
