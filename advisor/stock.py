"""The shop's own retaining rings, read strictly from its stock file."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import Annotated, Any, Final, Literal

from pydantic import Field, Strict, ValidationError

from advisor import units
from advisor.driveline.ringchoice import StockEntry
from advisor.rulebook import (
    Document,
    LoadError,
    Problem,
    Rulebook,
    problems_of,
    read_record,
)
from advisor.rulebook.fields import Amount, Model, Text

FORMAT: Final = 1
GAUGE: Final = "micrometer"
"""The gauge of the rulebook that rings without an uncertainty are taken to be measured with."""

MOST_BOXES: Final = 400
USUAL_M: Final = (0.5e-3, 4e-3)
"""Thickness of retaining rings of propeller shafts; judgement, as in the shipped rulebook."""

MOST_UNCERTAIN_M: Final = 0.05e-3
"""As uncertain as the play allowed is wide: no ring can be chosen by it. Handbook section 8 (F)."""

_OTHER_UNITS: Final = ("mm", "thou", "in")


class BoxModel(Model):
    """One box of equal rings."""

    thickness: Amount = Field(description="thickness of a ring, with unit: 1.50 mm")
    uncertainty: Amount | None = Field(
        default=None,
        description="standard uncertainty of the thickness, with unit: 0.005 mm; "
        "without it, that of the micrometer",
    )
    count: int = Field(ge=0, description="how many rings there are")
    coated: bool = Field(default=False, description="true: coated, as aluminium forks need")
    style: Literal["outside", "inside"] = Field(
        default="outside", description="kind of ring: outside or inside the fork ears"
    )


class TakenModel(Model):
    """Rings that were taken out of a box for a case; the program writes it beside the new count."""

    use: Text = Field(description="id of this use alone, as the case names it")
    case: Text = Field(description="id of the case")
    box: Text = Field(description="name of the box")
    count: int = Field(ge=1, description="how many rings were taken")
    at: Text | None = Field(default=None, description="when, ISO 8601 in UTC, in quotes")


class StockModel(Model):
    """The whole stock file; each box is read by itself, so that all mistakes come at once."""

    format: int = Field(description="number of the format that the program must understand: 1")
    rings: dict[str, Any] = Field(
        min_length=1, max_length=MOST_BOXES, description="the boxes: name of the box: record"
    )
    taken: Annotated[tuple[TakenModel, ...], Strict(False)] = Field(
        default=(),
        description="rings taken out for cases, written by the program; "
        "a line may go once its case is closed",
    )


@dataclass(frozen=True, slots=True)
class Box:
    """A box by its name: its rings, and their thickness as written, with its unit."""

    name: str
    thickness: units.Quantity
    rings: StockEntry


@dataclass(frozen=True, slots=True)
class Stock:
    """All boxes in the order of the file; `warnings` are problems that stop nothing."""

    path: Path
    boxes: tuple[Box, ...]
    warnings: tuple[Problem, ...]


def read_stock(path: Path, rulebook: Rulebook) -> Stock:
    """The stock in this file. Raises LoadError with every problem found.

    A box without an uncertainty has that of the rulebook's micrometer, as the user's settings
    have changed it.
    """
    document, model = read_record(path, StockModel, "the stock", FORMAT)
    reader = _Reader(document, micrometer_u(rulebook))
    boxes = tuple(reader.boxes(model.rings))
    if reader.errors:
        raise LoadError(reader.errors)
    return Stock(path, boxes, tuple(reader.warnings))


def micrometer_u(rulebook: Rulebook) -> float | None:
    """Standard uncertainty in m of a ring measured by micrometer; None without such a gauge."""
    reading = rulebook.gauge_reading.get(GAUGE)
    uncertainty: Mapping[str, float] = reading.uncertainty if reading else MappingProxyType({})
    return uncertainty.get("length")


class _Reader:
    def __init__(self, document: Document, default_u_m: float | None) -> None:
        self._document = document
        self._default_u_m = default_u_m
        self.errors: list[Problem] = []
        self.warnings: list[Problem] = []

    def boxes(self, records: Mapping[str, Any]) -> Iterator[Box]:
        for name, record in records.items():
            try:
                model = BoxModel.model_validate(record)
            except ValidationError as error:
                self.errors += problems_of(error, self._document, ("rings", name), BoxModel)
                continue
            thickness = self._length(name, "thickness", model.thickness)
            u_m = self._u_m(name, model)
            if thickness is not None and u_m is not None:
                self._warn(name, thickness)
                entry = StockEntry(thickness.si, u_m, model.count, model.coated, model.style)
                yield Box(name, thickness, entry)

    def _u_m(self, name: str, model: BoxModel) -> float | None:
        if model.uncertainty is None:
            if self._default_u_m is None:
                message = f'"uncertainty" is missing, and the rulebook has no gauge "{GAUGE}"'
                self.errors.append(
                    self._document.problem(("rings", name), "missing-field", message)
                )
            return self._default_u_m
        u = self._length(name, "uncertainty", model.uncertainty)
        if u is not None and u.si > MOST_UNCERTAIN_M:
            message = (
                f"read an uncertainty of {u}; by a ring so uncertain no end play can be chosen"
            )
            loc = ("rings", name, "uncertainty")
            self.warnings.append(self._document.problem(loc, "unlikely-value", message))
        return None if u is None else u.si

    def _length(self, name: str, field: str, text: str) -> units.Quantity | None:
        """The length, which must be more than nothing; None with a problem."""
        loc = ("rings", name, field)
        try:
            quantity = units.parse(text, "length")
        except units.UnitError as error:
            self.errors.append(self._document.problem(loc, "wrong-quantity", str(error)))
            return None
        if quantity.si <= 0.0:
            message = f'"{field}" must be more than 0 mm; read {quantity}'
            self.errors.append(self._document.problem(loc, "wrong-value", message))
            return None
        return quantity

    def _warn(self, name: str, thickness: units.Quantity) -> None:
        low, high = USUAL_M
        if low <= thickness.si <= high:
            return
        likely = _likely_unit(thickness)
        meant = f", likely {likely}" if likely else ""
        message = (
            f"read {thickness}{meant}; a ring of 0.5 mm to 4 mm (20 thou to 157 thou) was expected"
        )
        loc = ("rings", name, "thickness")
        self.warnings.append(self._document.problem(loc, "unlikely-value", message))


def _likely_unit(thickness: units.Quantity) -> str:
    """The unit in which the number would be a usual thickness, or ""."""
    number = thickness.si / thickness.unit.factor
    low, high = USUAL_M
    for name in _OTHER_UNITS:
        if low <= number * units.unit_named(name).factor <= high:
            return name
    return ""
