"""Amounts of a file, each read at its place, and what is impossible or unusual about them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TypeVar

from pydantic import BaseModel, ValidationError

from advisor import units
from advisor.computing.ranges import Range, outside
from advisor.rulebook import Document, Problem, problems_of

Loc = tuple[str | int, ...]
M = TypeVar("M", bound=BaseModel)


@dataclass(slots=True)
class FileReader:
    """Reads the parts of one file and keeps every problem and warning, so that all are told."""

    document: Document
    problems: list[Problem] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)

    def valid(self, model: type[M], data: object, loc: Loc) -> M | None:
        """The record, or None with its problems noted."""
        try:
            return model.model_validate(data)
        except ValidationError as error:
            self.problems += problems_of(error, self.document, loc, model)
            return None

    def complain(self, loc: Loc, message: str, hint: str = "", code: str = "wrong-value") -> None:
        """Note what is wrong with the value at `loc`."""
        self.problems.append(self.document.problem(loc, code, message, hint))

    def amount(self, loc: Loc, text: str, dimension: str) -> units.Quantity | None:
        """The quantity, or None with the problem noted."""
        try:
            return units.parse(text, dimension)
        except units.UnitError as error:
            self.complain(loc, str(error), code="wrong-quantity")
            return None

    def length(self, loc: Loc, text: str, usual: Range) -> float | None:
        """A length above 0, in m."""
        return self._within(loc, text, "length", usual, above_zero=True)

    def speed(self, loc: Loc, text: str, usual: Range) -> float | None:
        """A speed of rotation above 0, in Hz."""
        return self._within(loc, text, "frequency", usual, above_zero=True)

    def angle(self, loc: Loc, text: str, usual: Range) -> float | None:
        """An angle between -90 and 90 deg, in rad."""
        found = self._within(loc, text, "angle", usual)
        if found is not None and abs(found) >= units.parse("90 deg", "angle").si:
            self.complain(loc, f"read {text}; it must lie between -90 deg and 90 deg")
            return None
        return found

    def distance(self, loc: Loc, text: str, usual: Range) -> float | None:
        """A length of 0 or more, in m."""
        found = self._within(loc, text, "length", usual)
        if found is not None and found < 0.0:
            self.complain(loc, f"read {text}; it must not be below 0")
            return None
        return found

    def plate(self, loc: Loc, text: str, usual: Range) -> float | None:
        """The thickness of a shim with its sign, in m."""
        return self._within(loc, text, "length", usual)

    def all_angles(self, loc: Loc, texts: Sequence[str], usual: Range) -> tuple[float, ...] | None:
        """The angles, or None when one of them cannot be read."""
        found = [self.angle((*loc, i), text, usual) for i, text in enumerate(texts)]
        known = tuple(one for one in found if one is not None)
        return known if len(known) == len(found) else None

    def _within(
        self, loc: Loc, text: str, dimension: str, usual: Range, *, above_zero: bool = False
    ) -> float | None:
        quantity = self.amount(loc, text, dimension)
        if quantity is None:
            return None
        if above_zero and quantity.si <= 0.0:
            self.complain(loc, f"read {text}; it must be more than 0")
            return None
        warning = outside(path_of(loc), usual, quantity.si, quantity.unit)
        if warning:
            mark = self.document.position_of(loc)
            self.warnings.append(f"line {mark.line}: {warning}")
        return quantity.si


def path_of(loc: Loc) -> str:
    """Where a value stands, for a person: "loads, laden, slopes, 2"."""
    return ", ".join(str(step + 1) if isinstance(step, int) else step for step in loc)
