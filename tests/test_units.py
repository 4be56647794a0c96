"""What technicians type is read, shown back, or refused with a sentence that helps."""

from __future__ import annotations

import copy
import pickle
import subprocess
import sys

import pint
import pytest

from advisor import units
from advisor.units import (
    DIMENSIONS,
    UNITS,
    Quantity,
    Unit,
    UnitError,
    parse,
    show,
    unit_named,
    units_of,
    whole_number,
)

# Factors of floats that are each rounded once in pint and once here.
FLOAT_TOLERANCE = 1e-12

PINT_NAMES = {
    "mm": "millimeter",
    "in": "inch",
    "thou": "thou",
    "um": "micrometer",
    "cm": "centimeter",
    "m": "meter",
    "ft": "foot",
    "km": "kilometer",
    "mi": "mile",
    "s": "second",
    "min": "minute",
    "h": "hour",
    "ms": "millisecond",
    "deg": "degree",
    "rad": "radian",
    "arcmin": "arcminute",
    "arcsec": "arcsecond",
    "mph": "mile / hour",
    "km/h": "kilometer / hour",
    "m/s": "meter / second",
    "Hz": "turn / second",
    "rpm": "revolutions_per_minute",
    "kg": "kilogram",
    "g": "gram",
    "lb": "pound",
    "oz": "ounce",
    "N*m": "newton * meter",
    "lbf*ft": "force_pound * foot",
    "lbf*in": "force_pound * inch",
    "kgf*m": "force_kilogram * meter",
    "J": "joule",
    "kJ": "kilojoule",
    "N": "newton",
    "kN": "kilonewton",
    "lbf": "force_pound",
    "kgf": "force_kilogram",
    "m/s^2": "meter / second ** 2",
    "gee": "standard_gravity",
    "rad/s^2": "radian / second ** 2",
    "deg/s^2": "degree / second ** 2",
    "g*mm": "gram * millimeter",
    "oz*in": "ounce * inch",
    "g*cm": "gram * centimeter",
    "g*in": "gram * inch",
    "kg*mm": "kilogram * millimeter",
    "kg*m": "kilogram * meter",
    "1": "dimensionless",
    "%": "percent",
    "count": "count",
    "kg/m^3": "kilogram / meter ** 3",
    "g/cm^3": "gram / centimeter ** 3",
    "lb/in^3": "pound / inch ** 3",
    "MPa": "megapascal",
    "psi": "pound_force_per_square_inch",
    "bar": "bar",
    "kPa": "kilopascal",
    "GPa": "gigapascal",
    "Pa": "pascal",
    "ksi": "kip_per_square_inch",
}
PINT_SI_NAMES = {
    "length": "meter",
    "time": "second",
    "angle": "radian",
    "speed": "meter / second",
    "frequency": "turn / second",
    "mass": "kilogram",
    "torque": "newton * meter",
    "energy": "joule",
    "force": "newton",
    "acceleration": "meter / second ** 2",
    "angular-acceleration": "radian / second ** 2",
    "unbalance": "kilogram * meter",
    "ratio": "dimensionless",
    "count": "count",
    "density": "kilogram / meter ** 3",
    "pressure": "pascal",
}

# Typed text, dimension, number and unit as they should be understood.
ACCEPTED = [
    ("57.5 thou", "length", 57.5, "thou"),
    ("57.5THOU", "length", 57.5, "thou"),
    ("2 mil", "length", 2.0, "thou"),
    ("2 Mils", "length", 2.0, "thou"),
    ("5 thousandths of an inch", "length", 5.0, "thou"),
    ("0.0575 in", "length", 0.0575, "in"),
    (".0575 in.", "length", 0.0575, "in"),
    ('0.0575"', "length", 0.0575, "in"),
    ("0.0575”", "length", 0.0575, "in"),
    ("0.0575″", "length", 0.0575, "in"),
    ("0.0575''", "length", 0.0575, "in"),
    ("1.46 mm", "length", 1.46, "mm"),
    ("1.46mm", "length", 1.46, "mm"),
    ("1.46 MM", "length", 1.46, "mm"),
    ("  1.46\tmm \r\n", "length", 1.46, "mm"),
    ("1.46\u00a0mm", "length", 1.46, "mm"),
    ("1,46 mm", "length", 1.46, "mm"),
    ("0,046 mm", "length", 0.046, "mm"),
    (",05 mm", "length", 0.05, "mm"),
    ("1,4605 mm", "length", 1.4605, "mm"),
    ("1250,125 mm", "length", 1250.125, "mm"),
    ("1000 mm", "length", 1000.0, "mm"),
    ("1. mm", "length", 1.0, "mm"),
    ("1e3 mm", "length", 1000.0, "mm"),
    ("1E-2mm", "length", 0.01, "mm"),
    ("+5 mm", "length", 5.0, "mm"),
    ("-5 mm", "length", -5.0, "mm"),
    ("−5 mm", "length", -5.0, "mm"),
    ("– 5 mm", "length", -5.0, "mm"),
    ("1/16 in", "length", 0.0625, "in"),
    ('1 1/2"', "length", 1.5, "in"),
    ("1-1/2 in", "length", 1.5, "in"),
    ("-1 1/2 in", "length", -1.5, "in"),
    ("1/2-inch", "length", 0.5, "in"),
    ("5 ft 3 in", "length", 5.25, "ft"),
    ("5'3\"", "length", 5.25, "ft"),
    ("50 um", "length", 50.0, "um"),
    ("50 µm", "length", 50.0, "um"),
    ("50 μm", "length", 50.0, "um"),
    ("50 microns", "length", 50.0, "um"),
    ("65 mph", "speed", 65.0, "mph"),
    ("65 m.p.h.", "speed", 65.0, "mph"),
    ("65 Miles per hour", "speed", 65.0, "mph"),
    ("105 km/h", "speed", 105.0, "km/h"),
    ("105 km / h", "speed", 105.0, "km/h"),
    ("105 kmh", "speed", 105.0, "km/h"),
    ("105 KPH", "speed", 105.0, "km/h"),
    ("1 1/2 deg", "angle", 1.5, "deg"),
    ("2°", "angle", 2.0, "deg"),
    ("2º", "angle", 2.0, "deg"),
    ("30 min", "angle", 30.0, "arcmin"),
    ("1° 30'", "angle", 1.5, "deg"),
    ("1°30′", "angle", 1.5, "deg"),
    ("1 deg 30 min", "angle", 1.5, "deg"),
    ("-1 deg 30 min", "angle", -1.5, "deg"),
    ("-0 deg 30 min", "angle", -0.5, "deg"),
    ("1° 30' 36\"", "angle", 1.51, "deg"),
    ("30 min", "time", 30.0, "min"),
    ("1 h 30 min", "time", 1.5, "h"),
    ("12 Hz", "frequency", 12.0, "Hz"),
    ("12hz", "frequency", 12.0, "Hz"),
    ("720 rpm", "frequency", 720.0, "rpm"),
    ("720 r/min", "frequency", 720.0, "rpm"),
    ("10 g", "mass", 10.0, "g"),
    ("0.3 oz", "mass", 0.3, "oz"),
    ("1.2 Kg", "mass", 1.2, "kg"),
    ("20 lbs.", "mass", 20.0, "lb"),
    ("1 lb 4 oz", "mass", 1.25, "lb"),
    ("20 lb", "force", 20.0, "lbf"),
    ("60 ft-lb", "torque", 60.0, "lbf*ft"),
    ("60 ft. lbs.", "torque", 60.0, "lbf*ft"),
    ("60 lbf ft", "torque", 60.0, "lbf*ft"),
    ("60 foot-pounds", "torque", 60.0, "lbf*ft"),
    ("90 in-lb", "torque", 90.0, "lbf*in"),
    ("80 Nm", "torque", 80.0, "N*m"),
    ("80 nm", "torque", 80.0, "N*m"),
    ("80 N m", "torque", 80.0, "N*m"),
    ("80 N·m", "torque", 80.0, "N*m"),
    ("80 N*m", "torque", 80.0, "N*m"),
    ("8 kg-m", "torque", 8.0, "kgf*m"),
    ("200 g mm", "unbalance", 200.0, "g*mm"),
    ("200 g*mm", "unbalance", 200.0, "g*mm"),
    ("200 gmm", "unbalance", 200.0, "g*mm"),
    ("0.5 oz in", "unbalance", 0.5, "oz*in"),
    ("0.5 oz-in", "unbalance", 0.5, "oz*in"),
    ("150 MPa", "pressure", 150.0, "MPa"),
    ("150 mpa", "pressure", 150.0, "MPa"),
    ("150 N/mm²", "pressure", 150.0, "MPa"),
    ("30 psi", "pressure", 30.0, "psi"),
    ("2 bar", "pressure", 2.0, "bar"),
    ("200 kPa", "pressure", 200.0, "kPa"),
    ("206 GPa", "pressure", 206.0, "GPa"),
    ("3 m/s2", "acceleration", 3.0, "m/s^2"),
    ("3 m/s²", "acceleration", 3.0, "m/s^2"),
    ("0.2 g", "acceleration", 0.2, "gee"),
    ("0.2 gee", "acceleration", 0.2, "gee"),
    ("300 rad/s^2", "angular-acceleration", 300.0, "rad/s^2"),
    ("7.85 g/cm3", "density", 7.85, "g/cm^3"),
    ("3.73", "ratio", 3.73, "1"),
    ("3.73:1", "ratio", 3.73, "1"),
    ("41/10", "ratio", 4.1, "1"),
    ("12 %", "ratio", 12.0, "%"),
    ("12%", "ratio", 12.0, "%"),
    ("8", "count", 8.0, "count"),
]

# Typed text, dimension, where the fault is, the whole sentence.
REFUSED = [
    ("", "length", 0, "nothing was written; write a value such as 1.5 mm"),
    (" \n", "count", 0, "nothing was written; write a value such as 8"),
    ("0.0575", "length", 6, '"0.0575" has no unit: is it 0.0575 in or 0.0575 mm?'),
    (" 1/2 ", "length", 4, '"1/2" has no unit: is it 1/2 in or 1/2 mm?'),
    ("1 in 10", "length", 7, '"10" has no unit: is it 10 in or 10 mm?'),
    ("2", "angle", 1, '"2" has no unit: is it 2 deg or 2 rad?'),
    ("20", "mass", 2, '"20" has no unit: is it 20 g or 20 kg?'),
    ("30", "time", 2, '"30" has no unit: is it 30 min or 30 s?'),
    ("65", "speed", 2, '"65" has no unit: is it 65 mph or 65 km/h?'),
    ("65 mph", "length", 3, "65 mph is a speed; a length was asked, such as 1.5 mm"),
    ("1.5mm", "angle", 3, "1.5 mm is a length; an angle was asked, such as 2.5 deg"),
    (
        "5 rad/s2",
        "force",
        2,
        "5 rad/s2 is an angular acceleration; a force was asked, such as 20 N",
    ),
    ("5 mm", "ratio", 2, "5 mm is a length; a ratio was asked, such as 3.73"),
    ("5 %", "count", 2, "5 % is a ratio; a count was asked, such as 8"),
    ("5 thuo", "length", 2, '"thuo" is not a known unit of length; did you mean thou?'),
    ("1 mPa", "pressure", 2, '"mPa" is not a known unit of pressure; did you mean MPa, Pa or kPa?'),
    (
        "5 quux",
        "length",
        2,
        '"quux" is not a known unit of length; a length was asked, such as 1.5 mm',
    ),
    (
        "1 deg -30 min",
        "angle",
        2,
        '"deg -30 min" is not a known unit of angle; an angle was asked, such as 2.5 deg',
    ),
    ("1,000 mm", "length", 1, '"1,000" can be read two ways: is it 1000 mm or 1.000 mm?'),
    ("125,000 um", "length", 3, '"125,000" can be read two ways: is it 125000 um or 125.000 um?'),
    ("-12,500", "ratio", 3, '"12,500" can be read two ways: is it 12500 or 12.500?'),
    (
        "1,234.5 mm",
        "length",
        0,
        '"1,234.5" is not a plain number; write one decimal point'
        " and no thousands separators, such as 1250.5",
    ),
    (
        "-1.2.3 mm",
        "length",
        1,
        '"1.2.3" is not a plain number; write one decimal point'
        " and no thousands separators, such as 1250.5",
    ),
    (
        "1 000 mm",
        "length",
        2,
        '"1 000 mm" has two numbers side by side; write one, such as 1.5 mm or 1 1/2',
    ),
    ("1/0 in", "length", 2, "a fraction cannot have 0 below its line"),
    ("nan mm", "length", 0, '"nan mm" does not begin with a number; write a value such as 1.5 mm'),
    ("-inf", "length", 1, '"-inf" does not begin with a number; write a value such as 1.5 mm'),
    (
        "about 5 mm",
        "length",
        0,
        '"about 5 mm" does not begin with a number; write a value such as 1.5 mm',
    ),
    ("-", "ratio", 0, '"-" does not begin with a number; write a value such as 3.73'),
    (
        "1e400 mm",
        "length",
        0,
        '"1e400" is far too large or too small to be meant; look at the number again',
    ),
    (
        "1e-999999999999 mm",
        "length",
        0,
        '"1e-999999999999" is far too large or too small to be meant; look at the number again',
    ),
    ("9" * 10_000, "length", 80, "10000 characters are too many for one value; write it as 1.5 mm"),
    (
        "1\x07 mm",
        "length",
        1,
        "a character that cannot be shown (U+0007) stands in the text;"
        " write a value such as 1.5 mm",
    ),
    (
        "1 m\u200bm",
        "length",
        3,
        "a character that cannot be shown (U+200B) stands in the text;"
        " write a value such as 1.5 mm",
    ),
    (
        "٣ mm",
        "length",
        0,
        '"٣" cannot be read here; write numbers with the digits 0 to 9, such as 1.5 mm or 1 1/2',
    ),
    (
        "1½ in",
        "length",
        1,
        '"½" cannot be read here; write numbers with the digits 0 to 9, such as 1.5 mm or 1 1/2',
    ),
    (
        "1.46 mm ± 0.02 mm",
        "length",
        8,
        'write the value alone, such as 1.5 mm, without "±": the uncertainty is the gauge\'s',
    ),
    (
        "1.46 mm +/- 0.02 mm",
        "length",
        8,
        'write the value alone, such as 1.5 mm, without "+/-": the uncertainty is the gauge\'s',
    ),
    (
        "1'000 um",
        "length",
        2,
        '"1 ft" and "000 um" do not add up to one value; write one number with one unit',
    ),
    (
        "1'010 in",
        "length",
        2,
        '"1 ft" and "010 in" do not add up to one value; write one number with one unit',
    ),
    (
        "1 deg 75 min",
        "angle",
        6,
        '"1 deg" and "75 arcmin" do not add up to one value; write one number with one unit',
    ),
    (
        "1.5 deg 30 min",
        "angle",
        8,
        '"1.5 deg" and "30 arcmin" do not add up to one value; write one number with one unit',
    ),
    ("2.5", "count", 0, "2.5 is not a count; write a whole number"),
    (" -3", "count", 1, "-3 is not a count; write a whole number"),
]


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry[float]:
    return pint.UnitRegistry(cache_folder=None)


@pytest.mark.parametrize("unit", UNITS, ids=lambda unit: unit.symbol)
def test_factor_agrees_with_pint(unit: Unit, registry: pint.UnitRegistry[float]) -> None:
    """F: the factors of pint's own table, an independent source."""
    quantity = registry.Quantity(1.0, PINT_NAMES[unit.symbol])
    factor = quantity.to(PINT_SI_NAMES[unit.dimension]).magnitude
    assert unit.factor == pytest.approx(factor, rel=FLOAT_TOLERANCE, abs=0.0)


@pytest.mark.parametrize(
    ("text", "dimension", "si"),
    [
        ("1 in", "length", 0.0254),
        ("1 thou", "length", 0.0000254),
        ("1 mi", "length", 1609.344),
        ("1 mph", "speed", 0.44704),
        ("1 lb", "mass", 0.45359237),
        ("1 gee", "acceleration", 9.80665),
        ("1 lbf", "force", 4.4482216152605),
        ("90 km/h", "speed", 25.0),
        ("720 rpm", "frequency", 12.0),
        ("57.5 thou", "length", 0.0014605),
        ("0.1 %", "ratio", 0.001),
    ],
    ids=str,
)
def test_exactly_defined_units_give_exactly_the_nearest_float(
    text: str, dimension: str, si: float
) -> None:
    """M: definitions of 1959 and the standard gravity; D: the rest, worked out by hand."""
    assert parse(text, dimension).si == si


def test_same_length_in_any_unit_is_the_same_float() -> None:
    """A limit in inches and a reading in thou must meet exactly."""
    assert len({parse(t, "length").si for t in ("57.5 thou", "0.0575 in", "1.4605 mm")}) == 1


@pytest.mark.parametrize(
    ("text", "dimension", "number", "symbol"), ACCEPTED, ids=[f"{a[1]}: {a[0]}" for a in ACCEPTED]
)
def test_spelling_is_read(text: str, dimension: str, number: float, symbol: str) -> None:
    quantity = parse(text, dimension)
    assert quantity.unit.symbol == symbol
    assert quantity.unit.dimension == dimension
    assert quantity.si == pytest.approx(number * quantity.unit.factor, rel=1e-15, abs=0.0)


@pytest.mark.parametrize(
    ("text", "dimension"), [a[:2] for a in ACCEPTED], ids=[f"{a[1]}: {a[0]}" for a in ACCEPTED]
)
def test_quantity_as_text_is_read_as_the_same_quantity(text: str, dimension: str) -> None:
    quantity = parse(text, dimension)
    assert parse(str(quantity), dimension) == quantity


@pytest.mark.parametrize(
    ("text", "dimension", "tidied"),
    [
        ('0.0575"', "length", "0.0575 in"),
        ("1,46MM", "length", "1.46 mm"),
        ("− .50 mil", "length", "-0.50 thou"),
        ('1-1/2"', "length", "1 1/2 in"),
        ("1° 30'", "angle", "1 deg 30 arcmin"),
        ("60 ft. lbs.", "torque", "60 lbf*ft"),
        ("3.73:1", "ratio", "3.73"),
        ("12%", "ratio", "12 %"),
        ("8", "count", "8"),
        ("1.E+03 mm", "length", "1e3 mm"),
    ],
    ids=str,
)
def test_quantity_keeps_the_digits_and_the_unit_typed(
    text: str, dimension: str, tidied: str
) -> None:
    assert str(parse(text, dimension)) == tidied


@pytest.mark.parametrize(
    ("text", "dimension", "position", "sentence"),
    REFUSED,
    ids=[f"{r[1]}: {r[0][:20]!a}" for r in REFUSED],
)
def test_refusal_says_what_was_read_and_what_to_write(
    text: str, dimension: str, position: int, sentence: str
) -> None:
    with pytest.raises(UnitError) as caught:
        parse(text, dimension)
    assert (caught.value.position, str(caught.value)) == (position, sentence)
    assert (caught.value.text, caught.value.reason) == (text, sentence)


def test_every_dimension_asks_back_with_two_of_its_own_units() -> None:
    for dimension in DIMENSIONS:
        if dimension in ("ratio", "count"):
            continue
        with pytest.raises(UnitError, match="has no unit: is it") as caught:
            parse("7", dimension)
        first, second = caught.value.reason.partition("is it ")[2].rstrip("?").split(" or ")
        assert parse(first, dimension).unit != parse(second, dimension).unit


def test_example_in_every_dimension_can_be_typed() -> None:
    for dimension in DIMENSIONS:
        with pytest.raises(UnitError, match="such as ") as caught:
            parse("", dimension)
        assert parse(caught.value.reason.partition("such as ")[2], dimension)


@pytest.mark.parametrize("unit", UNITS, ids=lambda unit: unit.symbol)
def test_symbol_names_its_unit(unit: Unit) -> None:
    assert unit_named(unit.symbol) is unit
    assert unit in units_of(unit.dimension)
    if unit.symbol not in ("1", "count"):
        assert parse(f"3 {unit.symbol}", unit.dimension).unit is unit


@pytest.mark.parametrize(
    ("name", "symbol"),
    [
        ("inch", "in"),
        ("MIL", "thou"),
        ("Nm", "N*m"),
        ("g", "g"),
        ("min", "min"),
        ("s", "s"),
        ("lb", "lb"),
        ("kg m", "kg*m"),
        ("°", "deg"),
        ("ratio", "1"),
    ],
    ids=str,
)
def test_other_name_of_a_unit_is_known(name: str, symbol: str) -> None:
    assert unit_named(name).symbol == symbol


@pytest.mark.parametrize(
    ("name", "sentence"),
    [
        ("inhc", '"inhc" is not a known unit; did you mean inch?'),
        ("", '"" is not a known unit; write one such as mm, in, deg or mph'),
        ("zzzz", '"zzzz" is not a known unit; write one such as mm, in, deg or mph'),
        ("\x1b[31m", '"<U+001B>[31m" is not a known unit; write one such as mm, in, deg or mph'),
        (
            "q" * 500,
            f'"{"q" * 37}..." is not a known unit; write one such as mm, in, deg or mph',
        ),
    ],
    ids=["near", "empty", "far", "control", "long"],
)
def test_unknown_unit_name_gets_the_nearest_known(name: str, sentence: str) -> None:
    with pytest.raises(UnitError) as caught:
        unit_named(name)
    assert (str(caught.value), caught.value.text, caught.value.position) == (sentence, name, 0)


def test_unknown_dimension_is_a_mistake_of_the_caller() -> None:
    with pytest.raises(ValueError, match='"colour" is not a dimension; write length, ') as caught:
        parse("5 mm", "colour")
    assert not isinstance(caught.value, UnitError)


def test_every_dimension_has_its_si_unit_and_every_symbol_stands_once() -> None:
    assert len({unit.symbol for unit in UNITS}) == len(UNITS)
    for dimension in DIMENSIONS:
        assert 1.0 in {unit.factor for unit in units_of(dimension)}


@pytest.mark.parametrize(
    ("si", "symbol", "u_si", "text"),
    [
        (0.0014605, "thou", 0.0, "57.5 thou"),
        (0.0014605, "in", 0.0, "0.0575 in"),
        (0.0014605, "mm", 0.0, "1.461 mm"),
        (0.00001, "mm", 0.0, "0.01 mm"),
        (1e-8, "mm", 0.0, "0.00001 mm"),
        (1e-10, "mm", 0.0, "1e-7 mm"),
        (2e-18, "mm", 0.0, "0 mm"),
        (-2e-18, "mm", 0.0, "0 mm"),
        (-0.0, "mm", 0.0, "0 mm"),
        (0.0099996, "mm", 0.0, "10 mm"),
        (123.4567, "mm", 0.0, "123457 mm"),
        (1e7, "mm", 0.0, "1e10 mm"),
        (12.0, "rpm", 0.0, "720 rpm"),
        (0.12, "%", 0.0, "12 %"),
        (3.7272727, "1", 0.0, "3.727"),
        (8.0, "count", 0.0, "8"),
        (0.00146, "mm", 0.0000119, "1.460 mm +/- 0.012 mm"),
        (0.00146, "mm", 0.00002, "1.46 mm +/- 0.02 mm"),
        (0.00146, "mm", 0.00000996, "1.46 mm +/- 0.01 mm"),
        (0.0014604999999, "mm", 0.000001, "1.460 mm +/- 0.001 mm"),
        (0.0014605, "mm", 0.000001, "1.461 mm +/- 0.001 mm"),
        (-0.000001, "mm", 0.00002, "0.00 mm +/- 0.02 mm"),
        (12.345, "mm", 0.23, "12350 mm +/- 230 mm"),
        (0.00146, "mm", 1e-15, "1.46 mm"),
        (1e-10, "mm", 2.34e-11, "1e-7 mm +/- 2.3e-8 mm"),
        (0.3, "1", 0.02, "0.30 +/- 0.02"),
    ],
    ids=str,
)
def test_shown_with_sensible_digits(si: float, symbol: str, u_si: float, text: str) -> None:
    assert show(si, unit_named(symbol), u_si) == text


@pytest.mark.parametrize(
    ("si", "u_si"),
    [(float("nan"), 0.0), (float("inf"), 0.0), (1.0, float("nan")), (1.0, -0.1)],
    ids=str,
)
def test_only_finite_numbers_are_shown(si: float, u_si: float) -> None:
    with pytest.raises(ValueError, match="only a finite value"):
        show(si, unit_named("mm"), u_si)


def test_error_survives_copying_and_pickling() -> None:
    error = UnitError("5 thuo", "no such unit", 2)
    # The bytes are our own, made in the same line.
    for again in (copy.copy(error), pickle.loads(pickle.dumps(error))):
        assert (again.text, again.reason, again.position) == ("5 thuo", "no such unit", 2)


def test_quantity_and_unit_cannot_be_changed() -> None:
    quantity = parse("5 mm", "length")
    with pytest.raises(AttributeError):
        quantity.si = 6.0  # type: ignore[misc]
    assert hash(quantity) == hash(Quantity(0.005, unit_named("mm"), "5 mm"))


def test_public_names_are_all_there() -> None:
    assert sorted(units.__all__) == sorted(n for n in units.__all__ if hasattr(units, n))
    public = {name for name in vars(units) if not name.startswith("_")}
    assert public == set(units.__all__)


def test_import_needs_the_standard_library_only() -> None:
    code = (
        "import sys; before = set(sys.modules); import advisor.units;"
        "new = {name.partition('.')[0] for name in set(sys.modules) - before};"
        "print(sorted(new - set(sys.stdlib_module_names)))"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "['advisor']"


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("1", 1),
        ("12", 12),
        ("007", 7),
        ("\u0663", None),  # a digit of another script, as in quantities
        ("0", None),
        ("13", None),
        ("", None),
        ("-1", None),
        ("1.0", None),
        ("\u00b2", None),  # a raised two
        ("1" * 5000, None),
    ],
)
def test_whole_number_is_one_in_digits_up_to_the_most(text: str, number: int | None) -> None:
    assert whole_number(text, 12) == number
