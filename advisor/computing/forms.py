"""The inputs of a verb that takes many of them, typed as NAME=VALUE, and what they may be."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from advisor import units
from advisor.computing.errors import ComputeError, listed, quote
from advisor.computing.gauges import in_words
from advisor.computing.outcome import joined
from advisor.computing.ranges import Range, outside
from advisor.rulebook import did_you_mean

TEXT: Final = "text"
BEYOND: Final = "these numbers give no sensible result; look at them and at their units"


@dataclass(frozen=True, slots=True)
class Field:
    """One input: a quantity of a dimension, or a text that its verb reads further.

    `usual` are the ends of the usual range. `shape` says how a text is written.
    """

    name: str
    dimension: str
    meaning: str
    optional: bool = False
    usual: Range | None = None
    above_zero: bool = True
    shape: str = "TEXT"

    @property
    def word(self) -> str:
        """How it is typed, in brackets when it may be left out."""
        kind = self.shape if self.dimension == TEXT else self.dimension.upper()
        word = f'{self.name}="{kind}"'
        return f"[{word}]" if self.optional else word


@dataclass(frozen=True, slots=True)
class Form:
    """What a verb takes; without any input this is its answer."""

    verb: str
    gives: str
    fields: tuple[Field, ...]
    example: str
    source: str

    @property
    def usage(self) -> str:
        """How the verb is written."""
        return f"usage: advisor {self.verb} {' '.join(field.word for field in self.fields)}"

    def refused(self, problems: Sequence[str]) -> ComputeError:
        """The error with the usage."""
        return ComputeError(problems, self.usage)

    def as_text(self, width: int) -> str:
        """For a person, not yet wrapped; `width` is that of the window."""
        needed = [one for one in self.fields if not one.optional]
        optional = [one for one in self.fields if one.optional]
        return joined(
            (
                (f"{self.verb}: {self.gives}",),
                _field_lines("needs", needed),
                _field_lines("may be given", optional),
                (f"example: {self.example}",),
                (f"source: {self.source}",),
            )
        )

    def as_data(self) -> dict[str, Any]:
        """For a program: name, gives, source, example and inputs, a list with name, dimension,
        meaning, optional and usual (null, or the smallest and the greatest usual value as texts).
        """
        return {
            "name": self.verb,
            "gives": self.gives,
            "inputs": [
                {
                    "name": one.name,
                    "dimension": one.dimension,
                    "meaning": one.meaning,
                    "optional": one.optional,
                    "usual": list(one.usual) if one.usual else None,
                }
                for one in self.fields
            ],
            "example": self.example,
            "source": self.source,
        }


@dataclass(frozen=True, slots=True)
class Filled:
    """What was typed, by name: quantities and texts; and what is unusual about the quantities.

    `given` are the names of all that was typed, also of what could not be read.
    """

    form: Form
    given: frozenset[str]
    quantities: Mapping[str, units.Quantity]
    texts: Mapping[str, str]
    warnings: tuple[str, ...] = ()

    def __contains__(self, name: str) -> bool:
        return name in self.given

    def si(self, name: str) -> float | None:
        """The quantity in SI units, None when it was not typed."""
        quantity = self.quantities.get(name)
        return quantity.si if quantity else None

    def lines(self) -> Iterator[str]:
        """What was put in, as typed."""
        yield "put in"
        for field in self.form.fields:
            if field.name in self:
                yield f"- {field.name}: {self._typed(field.name)}"

    def data(self) -> list[dict[str, Any]]:
        """What was put in: a list with name, typed and, null for a text, value, unit and si."""
        return [self._data(field.name) for field in self.form.fields if field.name in self]

    def _typed(self, name: str) -> str:
        return self.texts[name] if name in self.texts else str(self.quantities[name])

    def _data(self, name: str) -> dict[str, Any]:
        found = self.quantities.get(name)
        return {
            "name": name,
            "typed": self._typed(name),
            "value": found and found.si / found.unit.factor,
            "unit": found and found.unit.symbol,
            "si": found and found.si,
        }


def fill(form: Form, words: Sequence[str]) -> tuple[Filled, list[str]]:
    """What the words give, with all that is wrong with them; the caller may find more."""
    problems: list[str] = []
    given = _pairs(form, words, problems)
    quantities: dict[str, units.Quantity] = {}
    texts: dict[str, str] = {}
    warnings: list[str] = []
    for field in form.fields:
        if field.name not in given:
            continue
        try:
            if field.dimension == TEXT:
                texts[field.name] = _read_text(field, given[field.name])
            else:
                quantity = quantities[field.name] = _read_quantity(field, given[field.name])
                warnings += _unusual(field, quantity)
        except ValueError as error:
            problems.append(f"{field.name}: {error}")
    bare = {word.strip() for word in words if "=" not in word}
    missing = [
        f"{field.name} ({field.meaning})"
        for field in form.fields
        if not field.optional and field.name not in given and field.name not in bare
    ]
    if missing:
        problems.append(f"{listed(missing)} {'is' if len(missing) == 1 else 'are'} missing")
    return Filled(form, frozenset(given), quantities, texts, tuple(warnings)), problems


def _pairs(form: Form, words: Sequence[str], problems: list[str]) -> dict[str, str]:
    names = [field.name for field in form.fields]
    given: dict[str, str] = {}
    for word in words:
        name, equals, text = word.partition("=")
        name = name.strip()
        if not equals:
            known = name if name in names else names[0]
            problems.append(f'{quote(word)} has no "="; write an input as {known}="..."')
        elif name not in names:
            near = did_you_mean(name, names)
            hint = f"; {near}" if near else ""
            problems.append(f"{quote(name)} is no input of {form.verb}{hint}")
        elif name in given:
            twice = f"as {quote(given[name])} and as {quote(text)}"
            problems.append(f"{name} is given twice, {twice}; leave one out")
        else:
            given[name] = text
    return given


def _read_text(field: Field, text: str) -> str:
    if not text.strip():
        raise ValueError(f"nothing was written; write {field.meaning}")
    if not text.isprintable():
        raise ValueError(f"read {quote(text)}, which has characters that cannot be shown")
    return " ".join(text.split())


def _read_quantity(field: Field, text: str) -> units.Quantity:
    quantity = units.parse(text, field.dimension)
    if field.above_zero and quantity.si <= 0.0:
        raise ValueError(f"read {quantity}; it must be more than 0")
    return quantity


def _unusual(field: Field, quantity: units.Quantity) -> Iterator[str]:
    if field.usual:
        warning = outside(field.name, field.usual, quantity.si, quantity.unit)
        if warning:
            yield warning


def _field_lines(title: str, fields: Sequence[Field]) -> Iterator[str]:
    if fields:
        yield title
    for one in fields:
        usual = f"; usually {one.usual[0]} to {one.usual[1]}" if one.usual else ""
        kind = f"written {quote(one.shape)}" if one.dimension == TEXT else in_words(one.dimension)
        yield f"- {one.name}: {one.meaning} ({kind}{usual})"
