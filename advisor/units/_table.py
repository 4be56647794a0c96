"""The units, their factors and the names that people type for them."""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from advisor.units._errors import UnitError, any_of, quoted


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit of one dimension: the SI value is the number times `factor`."""

    symbol: str
    dimension: str
    factor: float


# Exact by definition: the inch, mile and pound of 1959 and standard gravity (NIST SP 811,
# appendix B, from memory). Pi is given to more digits than a float holds.
INCH: Final = Fraction("0.0254")
POUND: Final = Fraction("0.45359237")
GRAVITY: Final = Fraction("9.80665")
PI: Final = Fraction("3.14159265358979323846264338327950288")
POUND_FORCE: Final = POUND * GRAVITY

# Symbol, factor, other names. A hyphen in a name stands for any of: space, dot, star, hyphen.
# A name may stand in several dimensions ("g", "min", "lb"): the dimension asked decides, and
# where none is asked the first of them, so time comes before angle and mass before force.
_TABLE: Final[dict[str, tuple[tuple[str, Fraction, str], ...]]] = {
    "length": (
        ("mm", Fraction(1, 1000), "millimetre millimetres millimeter millimeters"),
        ("in", INCH, "inch inches \" ''"),
        (
            "thou",
            INCH / 1000,
            "thous mil mils thousandth thousandths thousandths-of-an-inch",
        ),
        (
            "um",
            Fraction(1, 10**6),
            "micron microns micrometre micrometres micrometer micrometers",
        ),
        ("cm", Fraction(1, 100), "centimetre centimetres centimeter centimeters"),
        ("m", Fraction(1), "metre metres meter meters"),
        ("ft", INCH * 12, "foot feet '"),
        ("km", Fraction(1000), "kilometre kilometres kilometer kilometers"),
        ("mi", INCH * 63360, "mile miles"),
    ),
    "time": (
        ("s", Fraction(1), "sec secs second seconds"),
        ("min", Fraction(60), "mins minute minutes"),
        ("h", Fraction(3600), "hr hrs hour hours"),
        ("ms", Fraction(1, 1000), "millisecond milliseconds"),
    ),
    "angle": (
        ("deg", PI / 180, "degs degree degrees °"),
        ("rad", Fraction(1), "radian radians"),
        ("arcmin", PI / 10800, "arcmins arcminute arcminutes min mins minute minutes '"),
        ("arcsec", PI / 648000, "arcsecs arcsecond arcseconds sec secs second seconds s \" ''"),
    ),
    "speed": (
        ("mph", INCH * 63360 / 3600, "m.p.h mi/h mi/hr mile/hour miles/hour"),
        ("km/h", Fraction(1000, 3600), "kmh kph km/hr kmph kilometres/hour kilometers/hour"),
        ("m/s", Fraction(1), "mps m/sec metres/second meters/second"),
    ),
    "frequency": (
        ("Hz", Fraction(1), "hertz cps rps r/s rev/s /s"),
        ("rpm", Fraction(1, 60), "r/min rev/min revs/min revolutions/minute cpm /min min-1"),
    ),
    "mass": (
        ("kg", Fraction(1), "kgs kilo kilos kilogram kilograms"),
        ("g", Fraction(1, 1000), "gm gms gram grams gramme grammes"),
        ("lb", POUND, "lbs lbm pound pounds"),
        ("oz", POUND / 16, "ounce ounces"),
    ),
    "torque": (
        ("N*m", Fraction(1), "Nm newton-metre newton-metres newton-meter newton-meters"),
        (
            "lbf*ft",
            POUND_FORCE * INCH * 12,
            "ft-lbf ft-lb ft-lbs lb-ft lbs-ft ftlb ftlbs lbft foot-pound foot-pounds",
        ),
        (
            "lbf*in",
            POUND_FORCE * INCH,
            "in-lbf in-lb in-lbs lb-in lbs-in inlb inlbs lbin inch-pound inch-pounds",
        ),
        ("kgf*m", GRAVITY, "kgfm kg-m kgm m-kg"),
    ),
    "energy": (
        ("J", Fraction(1), "joule joules"),
        ("kJ", Fraction(1000), "kilojoule kilojoules"),
    ),
    "force": (
        ("N", Fraction(1), "newton newtons"),
        ("kN", Fraction(1000), "kilonewton kilonewtons"),
        ("lbf", POUND_FORCE, "lb lbs pound pounds"),
        ("kgf", GRAVITY, "kp"),
    ),
    "acceleration": (
        ("m/s^2", Fraction(1), "m/s/s m/sec^2"),
        ("gee", GRAVITY, "g gees g's"),
    ),
    "angular-acceleration": (
        ("rad/s^2", Fraction(1), "rad/s/s rad/sec^2"),
        ("deg/s^2", PI / 180, "deg/s/s deg/sec^2 °/s^2"),
    ),
    "unbalance": (
        ("g*mm", Fraction(1, 10**6), "gmm gram-mm gram-millimetre gram-millimetres mm-g"),
        ("oz*in", POUND / 16 * INCH, "ozin in-oz ounce-inch ounce-inches"),
        ("g*cm", Fraction(1, 10**5), "gcm"),
        ("g*in", INCH / 1000, "gin gram-inch gram-inches"),
        ("kg*mm", Fraction(1, 1000), "kgmm"),
        ("kg*m", Fraction(1), "kgm"),
    ),
    "ratio": (
        ("1", Fraction(1), "ratio :1"),
        ("%", Fraction(1, 100), "percent pct per-cent"),
    ),
    "count": (("count", Fraction(1), "counts"),),
    "density": (
        ("kg/m^3", Fraction(1), ""),
        ("g/cm^3", Fraction(1000), "g/cc g/ml kg/l kg/dm^3"),
        ("lb/in^3", POUND / INCH**3, "lb/cu-in lbs/in^3"),
    ),
    "pressure": (
        ("MPa", Fraction(10**6), "N/mm^2 megapascal megapascals"),
        ("psi", POUND_FORCE / INCH**2, "lb/in^2 lbf/in^2"),
        ("bar", Fraction(10**5), "bars"),
        ("kPa", Fraction(1000), "kilopascal kilopascals"),
        ("GPa", Fraction(10**9), "gigapascal gigapascals"),
        ("Pa", Fraction(1), "pascal pascals"),
        ("ksi", POUND_FORCE / INCH**2 * 1000, ""),
    ),
}

# Right SI names of other sizes, which must not be taken for a usual one typed carelessly.
_MISLEADING: Final = frozenset({"mPa", "Mm"})

# One character for one, so that an index into the clean text is one into the typed text.
SPACES: Final = "\t\u00a0\u2007\u2009\u202f"
_DASHES: Final = "\u2010\u2011\u2012\u2013\u2212"
_MARKS: Final = {"″": '"', "”": '"', "“": '"', "′": "'", "’": "'", "‘": "'", "º": "°", "˚": "°"}
LOOKALIKES: Final = str.maketrans(
    {**dict.fromkeys(SPACES, " "), **dict.fromkeys(_DASHES, "-"), **_MARKS}
)
# In the name of a unit only: a raised 2 after a number is no part of the number.
_LOOKALIKES_IN_NAMES: Final = LOOKALIKES | str.maketrans("µμ·⋅∙•×²³", "uu*****23")

_LONGEST_NAME: Final = 40
_BARE_SYMBOLS: Final = frozenset({"1", "count"})

DIMENSIONS: Final[tuple[str, ...]] = tuple(_TABLE)
UNITS: Final[tuple[Unit, ...]] = tuple(
    Unit(symbol, dimension, float(factor))
    for dimension, rows in _TABLE.items()
    for symbol, factor, _ in rows
)
EXACT_FACTORS: Final[dict[str, Fraction]] = {
    symbol: factor for rows in _TABLE.values() for symbol, factor, _ in rows
}


def tidy(name: str) -> str:
    """One spelling for many: "ft. lbs", "ft-lbs" -> "ft*lbs", "-inch" of "1/2-inch" -> "inch"."""
    name = name.translate(_LOOKALIKES_IN_NAMES).strip().lstrip("-")
    name = re.sub(r"\s+per\s+", "/", name, flags=re.IGNORECASE)
    name = re.sub(r"\s*/\s*", "/", name).rstrip(". ")
    return re.sub(r"[\s*.-]+", "*", name).replace("^", "")


def _names(dimension: str) -> dict[str, Unit]:
    names: dict[str, Unit] = {}
    for unit, (symbol, _, others) in zip(units_of(dimension), _TABLE[dimension], strict=True):
        for name in (symbol, *others.split()):
            names.setdefault(tidy(name), unit)
            names.setdefault(tidy(name).casefold(), unit)
    return names


def units_of(dimension: str) -> tuple[Unit, ...]:
    """The units of `dimension`, the usual ones first; ValueError for an unknown dimension."""
    if dimension not in _TABLE:
        raise ValueError(f"{quoted(dimension)} is not a dimension; write {any_of([*DIMENSIONS])}")
    return tuple(unit for unit in UNITS if unit.dimension == dimension)


_UNIT_OF_NAME: Final[dict[str, dict[str, Unit]]] = {d: _names(d) for d in DIMENSIONS}
_UNIT_OF_SYMBOL: Final[dict[str, Unit]] = {tidy(unit.symbol): unit for unit in UNITS}


def with_unit(number: str, unit: Unit) -> str:
    """The number and the unit's symbol; a plain ratio and a count have none."""
    return number if unit.symbol in _BARE_SYMBOLS else f"{number} {unit.symbol}"


def find(name: str, dimension: str) -> Unit | None:
    """The unit of `dimension` that `name` means; None if there is none."""
    wanted, units = tidy(name), _UNIT_OF_NAME[dimension]
    if wanted in _MISLEADING:
        return None
    return units.get(wanted) or units.get(wanted.casefold())


def find_anywhere(name: str) -> Unit | None:
    """The unit of any dimension that `name` means: a symbol before any other name."""
    if len(name) > _LONGEST_NAME:
        return None
    found = (find(name, dimension) for dimension in DIMENSIONS)
    return _UNIT_OF_SYMBOL.get(tidy(name)) or next((unit for unit in found if unit), None)


def near_names(name: str, dimensions: tuple[str, ...]) -> list[str]:
    """Up to three names like `name`, the nearest first, one for each unit; none when far off."""
    if len(name) > _LONGEST_NAME:
        return []
    units = {known: unit for d in dimensions for known, unit in _UNIT_OF_NAME[d].items()}
    near: dict[Unit, str] = {}
    for known in difflib.get_close_matches(tidy(name).casefold(), units, n=8, cutoff=0.6):
        unit = units[known]
        is_symbol = known == tidy(unit.symbol).casefold()
        near.setdefault(unit, unit.symbol if is_symbol else known)
    return list(near.values())[:3]


def unit_named(name: str) -> Unit:
    """The unit with that symbol or other name, of whatever dimension.

    Raises: UnitError with the nearest known names.
    """
    unit = find_anywhere(name)
    if unit is None:
        near = near_names(name, DIMENSIONS)
        hint = f"did you mean {any_of(near)}?" if near else "write one such as mm, in, deg or mph"
        raise UnitError(name, f"{quoted(name)} is not a known unit; {hint}", 0)
    return unit
