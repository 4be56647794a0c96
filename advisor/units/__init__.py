"""Quantities as people type and read them: "57.5 thou", "1,46 mm", "65 mph"; SI inside."""

from advisor.units._errors import UnitError
from advisor.units._reading import Quantity, parse
from advisor.units._showing import show
from advisor.units._table import DIMENSIONS, UNITS, Unit, unit_named, units_of
from advisor.units._whole import whole_number

__all__ = [
    "DIMENSIONS",
    "UNITS",
    "Quantity",
    "Unit",
    "UnitError",
    "parse",
    "show",
    "unit_named",
    "units_of",
    "whole_number",
]
