"""Turns conditions as they stand in a file into those of the engine, checking every part."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from pydantic import BaseModel

from advisor import units
from advisor.engine.rules import All, AnyOf, Condition, Is, Known, OneOf, Within
from advisor.engine.values import Interval, Kind

from .algebra import WHOLE_LINE, conjunction, disjunction, negation
from .cycles import Link, Links
from .draft import FACT_SECTIONS, AnyItem, Draft, Item
from .facts import FactType, FactTypes
from .names import did_you_mean, quoted

RESERVED_FACTS = ("all", "any", "not")
COMPARISONS = ("above", "below", "between")
OPERATORS = (*COMPARISONS, "one_of", "known")
_FORM = "write {fact: value}, {fact: {above: ...}}, {all: [...]}, {any: [...]} or {not: {...}}"

Path = tuple[str | int, ...]


class ConditionReader:
    """Reads the conditions of a rulebook, once the types of its facts are known."""

    def __init__(self, draft: Draft, types: FactTypes) -> None:
        self.draft = draft
        self.types = types
        self.links = Links()

    def read(self, item: AnyItem, loc: Path, data: Any, reader: str = "") -> Condition | None:
        """The condition at `loc` of a record, or None when some part of it is faulty.

        `reader` is the fact that hangs on the condition, for the search for cycles.
        """
        return _Reading(self, item, reader).mapping(data, loc)

    def fact(self, item: AnyItem, loc: Path, name: str, reader: str = "") -> FactType | None:
        """The type of a fact that a record reads; None when it is unknown (noted) or faulty."""
        for section in FACT_SECTIONS:
            self.draft.used[section].add(name)
        if name not in self.types:
            if not self.draft.may_exist(FACT_SECTIONS, name):
                self.draft.unknown(item, loc, FACT_SECTIONS, name)
            return None
        if reader:
            step = f'{item.called} reads "{name}"'
            link = Link(item.document, (*item.loc, *loc), loc[-1] == name, step)
            self.links.add(reader, name, link)
        return self.types[name]


class _Reading:
    """The reading of one condition of one record."""

    def __init__(self, source: ConditionReader, item: Item[BaseModel], reader: str) -> None:
        self.source = source
        self.item = item
        self.reader = reader

    def complain(self, loc: Path, code: str, message: str, hint: str = "") -> None:
        self.source.draft.complain(self.item, loc, code, message, hint)

    def mapping(self, data: Any, loc: Path) -> Condition | None:
        """A mapping; several keys mean that all must hold."""
        if not isinstance(data, dict) or not data:
            self.complain(loc, "wrong-condition", "a condition is a mapping", _FORM)
            return None
        items = [self.entry(key, value, (*loc, key)) for key, value in data.items()]
        return self.joined(items, conjunction, loc)

    def entry(self, key: str, value: Any, loc: Path) -> Condition | None:
        if key == "not":
            item = self.mapping(value, loc)
            return None if item is None else self.possible(negation(item), loc)
        if key not in RESERVED_FACTS:
            return self.fact(key, value, loc)
        if not isinstance(value, list) or not value:
            message = f'"{key}" needs a list of conditions, with at least one'
            self.complain(loc, "wrong-condition", message, f"write {{{key}: [{{...}}, {{...}}]}}")
            return None
        items = [self.mapping(one, (*loc, index)) for index, one in enumerate(value)]
        return self.joined(items, conjunction if key == "all" else disjunction, loc)

    def joined(
        self,
        items: list[Condition | None],
        join: Callable[[Iterable[Condition]], Condition],
        loc: Path,
    ) -> Condition | None:
        sound = [item for item in items if item is not None]
        if len(items) == 1:
            return items[0]
        return self.possible(join(sound), loc) if len(sound) == len(items) else None

    def possible(self, condition: Condition, loc: Path) -> Condition | None:
        """The condition, unless it can never be true; one that always is brings a warning."""
        items = condition.items if isinstance(condition, All | AnyOf) else (condition,)
        for item in items:
            if isinstance(item, Within) and not item.intervals:
                message = f'no number for "{item.fact}" fits all of this: it can never be true'
                self.complain(loc, "never-true", message)
                return None
            if isinstance(item, Within) and item.intervals == WHOLE_LINE:
                message = f'every number for "{item.fact}" fits this: it is always true'
                self.complain(loc, "always-true", message, "write {known: true} if that is meant")
        return None if isinstance(condition, All) and self.excludes(condition, loc) else condition

    def excludes(self, condition: All, loc: Path) -> bool:
        """Whether a fact that has one value only is wanted to have two (noted)."""
        wanted: dict[str, frozenset[bool | str]] = {}
        for item in condition.items:
            if isinstance(item, Is | OneOf):
                kind = self.source.types[item.fact]
                if kind is None or kind.kind is Kind.CHOICES:
                    continue
                values = item.values if isinstance(item, OneOf) else frozenset([item.value])
                wanted[item.fact] = wanted.get(item.fact, frozenset(values)) & values
                if not wanted[item.fact]:
                    message = f'"{item.fact}" cannot be all of these at once: it can never be true'
                    self.complain(loc, "never-true", message, "write {fact: {one_of: [...]}}")
                    return True
        return False

    def fact(self, name: str, wanted: Any, loc: Path) -> Condition | None:
        kind = self.source.fact(self.item, loc, name, self.reader)
        if kind is None:
            return None
        if isinstance(wanted, dict):
            return self.operators(name, kind, wanted, loc)
        if isinstance(wanted, list):
            message = f'a list cannot be compared with "{name}"'
            options = ", ".join(str(one) for one in wanted if isinstance(one, str)) or "..."
            hint = f"write {{{name}: {{one_of: [{options}]}}}}"
            self.complain(loc, "wrong-condition", message, hint)
            return None
        return self.equals(name, kind, wanted, loc)

    def equals(self, name: str, kind: FactType, wanted: Any, loc: Path) -> Condition | None:
        if kind.kind is Kind.YES_NO:
            if isinstance(wanted, bool):
                return Is(name, wanted)
            hint = "write true or false"
        elif kind.kind in (Kind.CHOICE, Kind.CHOICES):
            return Is(name, wanted) if self.is_option(name, kind, wanted, loc) else None
        elif kind.kind is Kind.NUMBER:
            hint = f"write {{{name}: {{above: ...}}}}, or below, or between"
        else:
            hint = "of a text only {known: true} can be asked"
        self.complain(loc, "wrong-kind", f'"{name}" is {kind.words}; read {_shown(wanted)}', hint)
        return None

    def is_option(self, name: str, kind: FactType, wanted: Any, loc: Path) -> bool:
        if not isinstance(wanted, str):
            message = f'"{name}" is {kind.words}; read {_shown(wanted)}'
            self.complain(loc, "wrong-kind", message, did_you_mean("", kind.options))
            return False
        if wanted not in kind.options:
            message = f'"{name}" has no option "{wanted}"'
            self.complain(loc, "unknown-option", message, did_you_mean(wanted, kind.options))
            return False
        return True

    def operators(self, name: str, kind: FactType, wanted: Any, loc: Path) -> Condition | None:
        if not wanted:
            self.complain(loc, "wrong-condition", f'nothing is said about "{name}"', _FORM)
            return None
        items: list[Condition | None] = []
        for operator, value in wanted.items():
            here = (*loc, operator)
            if operator == "known":
                items.append(self.known(name, value, here))
            elif operator == "one_of":
                items.append(self.one_of(name, kind, value, here))
            elif operator in COMPARISONS:
                items.append(self.comparison(name, kind, operator, value, here))
            else:
                message = f'"{operator}" is not a comparison'
                mark = self.item.document.position_of((*self.item.loc, *here), key=True)
                hint = did_you_mean(operator, OPERATORS)
                problem = self.item.document.problem(mark, "wrong-condition", message, hint)
                self.source.draft.problems.append(problem)
                items.append(None)
        return self.joined(items, conjunction, loc)

    def known(self, name: str, value: Any, loc: Path) -> Condition | None:
        if isinstance(value, bool):
            return Known(name, value)
        message = f'"known" must be true or false; read {_shown(value)}'
        self.complain(loc, "wrong-condition", message)
        return None

    def one_of(self, name: str, kind: FactType, value: Any, loc: Path) -> Condition | None:
        if kind.kind not in (Kind.CHOICE, Kind.CHOICES):
            self.complain(loc, "wrong-kind", f'"{name}" is {kind.words}; "one_of" needs options')
            return None
        if not isinstance(value, list) or not value:
            message = '"one_of" needs a list of options, with at least one'
            self.complain(loc, "wrong-condition", message)
            return None
        sound = [self.is_option(name, kind, one, (*loc, i)) for i, one in enumerate(value)]
        return OneOf(name, frozenset(value)) if all(sound) else None

    def comparison(
        self, name: str, kind: FactType, operator: str, value: Any, loc: Path
    ) -> Condition | None:
        if kind.unit is None:
            hint = did_you_mean("", kind.options)
            message = f'"{name}" is {kind.words}; "{operator}" needs a number'
            self.complain(loc, "wrong-kind", message, hint)
            return None
        amounts = value if operator == "between" else [value]
        if not isinstance(amounts, list) or len(amounts) != 1 + (operator == "between"):
            message = '"between" needs two amounts: [from, to]'
            self.complain(loc, "wrong-condition", message)
            return None
        read = [
            read_amount(self.source.draft, self.item, (*loc, i) if len(amounts) > 1 else loc,
                        one, kind.unit.dimension)
            for i, one in enumerate(amounts)
        ]  # fmt: skip
        ends = [one for one in read if one is not None]
        if len(ends) < len(read):
            return None
        if operator == "between" and ends[0] > ends[1]:
            message = f'"between" goes from the smaller to the greater; read {_shown(value)}'
            self.complain(loc, "reversed-range", message, f"write [{value[1]}, {value[0]}]")
            return None
        return Within(name, (interval(operator, ends),))


def interval(operator: str, ends: list[float]) -> Interval:
    """`above` and `below` leave their end out, `between` includes both."""
    if operator == "above":
        return Interval(low=ends[0])
    if operator == "below":
        return Interval(high=ends[0])
    return Interval(ends[0], ends[1], True, True)


def read_amount(draft: Draft, item: AnyItem, loc: Path, value: Any, dimension: str) -> float | None:
    """An amount in SI units, or None with a problem."""
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        message = f"an amount of {dimension} is wanted here; read {_shown(value)}"
        draft.complain(item, loc, "wrong-quantity", message)
        return None
    text = f"{value:.15g}" if isinstance(value, float) else str(value)
    try:
        return units.parse(text, dimension).si
    except units.UnitError as error:
        draft.complain(item, loc, "wrong-quantity", str(error))
        return None


def _shown(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, list):
        return f"[{', '.join(str(one) for one in value)}]"
    return "a mapping" if isinstance(value, dict) else quoted([str(value)[:60]])
