"""Values in the user's own units: what was typed in thou is shown in thou."""

from __future__ import annotations

from collections.abc import Mapping

from advisor import units
from advisor.engine.values import Number, Value
from advisor.rulebook import Rulebook


class Display:
    """Shows the values of one case.

    An answered number keeps the unit in which it was typed. A computed one takes the typed unit
    of its first input of the same dimension; without one, the unit that the rulebook names.
    """

    def __init__(self, rulebook: Rulebook, typed: Mapping[str, str]) -> None:
        self._rulebook = rulebook
        self._unit_of: dict[str, units.Unit | None] = {}
        for question, text in typed.items():
            unit = rulebook.facts[question].unit
            if unit is not None:
                try:
                    self._unit_of[question] = units.parse(text, unit.dimension).unit
                except units.UnitError:  # "don't know" has no unit
                    continue

    def value(self, fact: str, value: Value) -> str:
        """The value of a fact in words, with its unit."""
        return self._rulebook.show_value(fact, value, self._unit(fact))

    def uncertainty(self, fact: str, u: float) -> str:
        """A standard uncertainty (SI) of a fact: a third digit tells nobody anything.

        Source: JCGM 100:2008, 7.2.6.
        """
        unit = self.unit(fact)
        factor = unit.factor if unit else 1.0
        return self.value(fact, Number(float(f"{u / factor:.2g}") * factor))

    def unit(self, fact: str) -> units.Unit | None:
        """The unit in which a fact is shown; None for one without a unit."""
        return self._unit(fact) or self._rulebook.facts[fact].unit

    def _unit(self, fact: str) -> units.Unit | None:
        if fact not in self._unit_of:
            self._unit_of[fact] = self._inherited(fact)
        return self._unit_of[fact]

    def _inherited(self, fact: str) -> units.Unit | None:
        own = self._rulebook.facts[fact].unit
        computed = self._rulebook.computed.get(fact)
        if own is None or computed is None:
            return None
        for source in computed.inputs.values():
            unit = self._unit(source)
            if unit is not None and unit.dimension == own.dimension:
                return unit
        return None
