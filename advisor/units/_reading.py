"""From what a technician types to a quantity in SI units; nothing is guessed."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from advisor.units._errors import UnitError, any_of, quoted
from advisor.units._table import (
    EXACT_FACTORS,
    LOOKALIKES,
    SPACES,
    Unit,
    find,
    find_anywhere,
    near_names,
    unit_named,
    units_of,
    with_unit,
)

LONGEST_TEXT: Final = 80
LARGEST_NUMBER: Final = Fraction(10**99)
LARGEST_POWER: Final = 200

_NUMBER: Final = re.compile(
    r" *(?P<sign>[-+]?) *"
    r"(?:(?:(?P<whole>[0-9]+)(?: +|-))?(?P<top>[0-9]+)/(?P<bottom>[0-9]+)"
    r"|(?P<decimal>[0-9.,]*[0-9][0-9.,]*)(?:[eE](?P<power>[-+]?[0-9]+))?)"
)
_NEXT_NUMBER: Final = re.compile(r"(?<=[ °'\"])[.,]?[0-9]")
_PLAIN: Final = re.compile(r"[0-9]+\.?[0-9]*|\.[0-9]+|[0-9]*,[0-9]+")
_THOUSANDS: Final = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")

# What may be added up, as in "1 deg 30 min" and "5 ft 3 in", and how many make one.
_PIECES: Final = {
    ("deg", "arcmin"): 60,
    ("arcmin", "arcsec"): 60,
    ("ft", "in"): 12,
    ("h", "min"): 60,
    ("min", "s"): 60,
    ("lb", "oz"): 16,
}
_BARE_UNITS: Final = {"ratio": "1", "count": "count"}
_EXAMPLE_NUMBERS: Final = {
    "length": "1.5",
    "time": "30",
    "angle": "2.5",
    "speed": "65",
    "frequency": "12",
    "mass": "1.2",
    "torque": "80",
    "energy": "200",
    "force": "20",
    "acceleration": "0.5",
    "angular-acceleration": "300",
    "unbalance": "200",
    "ratio": "3.73",
    "count": "8",
    "density": "7850",
    "pressure": "150",
}
_QUESTION_UNITS: Final = {"length": ("in", "mm"), "time": ("min", "s"), "mass": ("g", "kg")}


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with its unit, as someone typed it.

    `si` is the value in SI units, `unit` the unit typed (of "1 deg 30 min" the first), `text`
    what was typed, tidied: parsed again it gives an equal quantity.
    """

    si: float
    unit: Unit
    text: str

    def __str__(self) -> str:
        return self.text


@dataclass(frozen=True, slots=True)
class _Part:
    """A number and the name of its unit (may be empty), and where they stand in the text."""

    value: Fraction
    number: str
    name: str
    at: int
    name_at: int


def parse(text: str, dimension: str) -> Quantity:
    """The quantity that `text` gives, which must be of `dimension`.

    The number may be decimal (point or comma), have an exponent, or be a fraction ("1 1/2"). The
    unit is only left out of a ratio or a count.

    Raises: UnitError for any other text; ValueError for an unknown dimension.
    """
    usual = units_of(dimension)[0]
    example = with_unit(_EXAMPLE_NUMBERS[dimension], usual)
    _refuse_odd_text(text, example)
    parts = _split(text, text.translate(LOOKALIKES), example)
    units = [_unit_of(part, text, dimension, example) for part in parts]
    value = _sum(parts, units, text)
    if dimension == "count" and (value < 0 or value.denominator != 1):
        reason = f"{parts[0].number} is not a count; write a whole number"
        raise UnitError(text, reason, parts[0].at)
    tidied = " ".join(with_unit(p.number, u) for p, u in zip(parts, units, strict=True))
    return Quantity(float(value * EXACT_FACTORS[units[0].symbol]), units[0], tidied)


def _refuse_odd_text(text: str, example: str) -> None:
    if not text.strip():
        raise UnitError(text, f"nothing was written; write a value such as {example}", 0)
    if len(text) > LONGEST_TEXT:
        reason = f"{len(text)} characters are too many for one value; write it as {example}"
        raise UnitError(text, reason, LONGEST_TEXT)
    for position, character in enumerate(text.rstrip("\r\n")):
        if not character.isprintable() and character not in SPACES:
            reason = f"a character that cannot be shown (U+{ord(character):04X}) stands in the text"
            raise UnitError(text, f"{reason}; write a value such as {example}", position)
    for sign in ("±", "+/-"):
        if sign in text:
            reason = f"write the value alone, such as {example}, without {quoted(sign)}"
            raise UnitError(text, f"{reason}: the uncertainty is the gauge's", text.index(sign))


def _split(text: str, clean: str, example: str) -> list[_Part]:
    parts: list[_Part] = []
    end = len(clean.rstrip())
    at = len(clean) - len(clean.lstrip())
    while at < end:
        number = _NUMBER.match(clean, at)
        if number is None:
            raise _no_number(text, clean, at, example)
        following = _NEXT_NUMBER.search(clean, number.end())
        stop = following.start() if following else end
        name = text[number.end() : stop].strip()
        if following and not name:
            reason = f"{quoted(text[at:end])} has two numbers side by side; write one"
            raise UnitError(text, f"{reason}, such as {example} or 1 1/2", stop)
        name_at = stop - len(clean[number.end() : stop].lstrip())
        value, digits = _value_of(number, text, name)
        parts.append(_Part(value, digits, name, at, name_at))
        at = stop
    return parts


def _no_number(text: str, clean: str, at: int, example: str) -> UnitError:
    while clean[at] in "-+ " and at + 1 < len(clean.rstrip()):
        at += 1
    if text[at].isnumeric():
        return _odd_digit(text, at, example)
    reason = f"{quoted(text.strip())} does not begin with a number; write a value such as {example}"
    return UnitError(text, reason, at)


def _odd_digit(text: str, at: int, example: str) -> UnitError:
    reason = f"{quoted(text[at])} cannot be read here; write numbers with the digits 0 to 9"
    return UnitError(text, f"{reason}, such as {example} or 1 1/2", at)


def _value_of(number: re.Match[str], text: str, name: str) -> tuple[Fraction, str]:
    """The number's value and its digits tidied; `name` is the unit's, for a question back."""
    if number["top"]:
        if int(number["bottom"]) == 0:
            raise UnitError(text, "a fraction cannot have 0 below its line", number.start("bottom"))
        value = int(number["whole"] or 0) + Fraction(int(number["top"]), int(number["bottom"]))
        digits = f"{number['whole'] or ''} {number['top']}/{number['bottom']}".lstrip()
    else:
        _refuse_unclear(number, text, name)
        digits = number["decimal"].replace(",", ".").removesuffix(".")
        digits = f"0{digits}" if digits.startswith(".") else digits
        power = int(number["power"] or 0)
        digits += f"e{power}" if power else ""
        value = Fraction(digits) if abs(power) <= LARGEST_POWER else LARGEST_NUMBER
    if value and not 1 / LARGEST_NUMBER < value < LARGEST_NUMBER:
        reason = f"{quoted(number[0].strip())} is far too large or too small to be meant"
        raise UnitError(text, f"{reason}; look at the number again", number.start("sign"))
    return (-value, f"-{digits}") if number["sign"] == "-" else (value, digits)


def _refuse_unclear(number: re.Match[str], text: str, name: str) -> None:
    decimal = number["decimal"]
    at = number.start("decimal")
    if not _PLAIN.fullmatch(decimal):
        reason = f"{quoted(decimal)} is not a plain number; write one decimal point"
        raise UnitError(text, f"{reason} and no thousands separators, such as 1250.5", at)
    if _THOUSANDS.fullmatch(decimal):
        readings = [f"{decimal.replace(',', by)} {name}".rstrip() for by in ("", ".")]
        reason = f"{quoted(decimal)} can be read two ways: is it {any_of(readings)}?"
        raise UnitError(text, reason, at + decimal.index(","))


def _unit_of(part: _Part, text: str, dimension: str, example: str) -> Unit:
    if not part.name:
        if dimension in _BARE_UNITS:
            return unit_named(_BARE_UNITS[dimension])
        raise UnitError(text, _missing_unit(part, dimension), part.name_at)
    unit = find(part.name, dimension)
    if unit:
        return unit
    if part.name[0].isnumeric():
        raise _odd_digit(text, part.name_at, example)
    asked = f"{_in_words(dimension)} was asked, such as {example}"
    other = find_anywhere(part.name)
    if other:
        read = f"{part.number} {part.name} is {_in_words(other.dimension)}"
        raise UnitError(text, f"{read}; {asked}", part.name_at)
    read = f"{quoted(part.name)} is not a known unit of {dimension.replace('-', ' ')}"
    near = near_names(part.name, (dimension,))
    hint = f"did you mean {any_of(near)}?" if near else asked
    raise UnitError(text, f"{read}; {hint}", part.name_at)


def _in_words(dimension: str) -> str:
    """The dimension with its article, as "an angular acceleration"."""
    return f"{'an' if dimension[0] in 'aeiou' else 'a'} {dimension.replace('-', ' ')}"


def _missing_unit(part: _Part, dimension: str) -> str:
    usual = tuple(unit.symbol for unit in units_of(dimension)[:2])
    readings = [f"{part.number} {symbol}" for symbol in _QUESTION_UNITS.get(dimension, usual)]
    return f"{quoted(part.number)} has no unit: is it {any_of(readings)}?"


def _sum(parts: list[_Part], units: list[Unit], text: str) -> Fraction:
    """The value in the first unit; later parts count away from zero, as in "-1 deg 30 min"."""
    total, share = abs(parts[0].value), Fraction(1)
    for i in range(1, len(parts)):
        before, part = parts[i - 1], parts[i]
        pieces = _PIECES.get((units[i - 1].symbol, units[i].symbol), 0)
        # Three digits are a thousand written "1'000", not feet and inches.
        is_piece = 0 <= part.value < pieces and not re.match("[0-9]{3}", part.number)
        if before.value.denominator != 1 or not is_piece:
            first, second = with_unit(before.number, units[i - 1]), with_unit(part.number, units[i])
            reason = f"{quoted(first)} and {quoted(second)} do not add up to one value"
            raise UnitError(text, f"{reason}; write one number with one unit", part.at)
        share /= pieces
        total += part.value * share
    return -total if parts[0].number.startswith("-") else total
