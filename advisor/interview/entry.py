"""What may be typed at a question, by its kind: no terminal, no rulebook, only text to text."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from advisor.engine.values import Kind

MOST_UNITS_SHOWN = 5
NO_UNIT = "1"  # the symbol of a bare number among the units of its dimension
_WORDS = re.compile(r"[^,;]+")


@dataclass(frozen=True, slots=True)
class Read:
    """A typed text as it goes to the rulebook, and where each part of it stood when typed.

    `starts` pairs the position of each part in `text` with its position in the typed line.
    """

    text: str
    starts: tuple[tuple[int, int], ...] = ((0, 0),)

    def typed_position(self, position: int) -> int:
        """The position in the typed line of a position in `text`."""
        at, typed = max(pair for pair in self.starts if pair[0] <= max(position, 0))
        return typed + max(position, 0) - at


@dataclass(frozen=True, slots=True)
class Entry:
    """The ways to answer one question: `options` maps id to label (for choices), else is empty."""

    kind: Kind
    options: Mapping[str, str] = field(default_factory=dict)
    units: tuple[str, ...] = ()

    @property
    def takes_words(self) -> bool:
        """Whether any words are an answer, so that a command needs its "/"."""
        return self.kind is Kind.TEXT

    @property
    def has_numbers(self) -> bool:
        """Whether the options can be picked by number: not when one of them looks like one."""
        looks = any(part.strip().isdigit() for pair in self.options.items() for part in pair)
        return bool(self.options) and not looks

    def lines(self) -> tuple[str, ...]:
        """The options, one a line."""
        if self.has_numbers:
            return tuple(f"{n}. {label}" for n, label in enumerate(self.options.values(), 1))
        return tuple(f"- {option}: {label}" for option, label in self.options.items())

    @property
    def hint(self) -> str:
        """What to type, in a few words."""
        match self.kind:
            case Kind.YES_NO:
                return "yes or no"
            case Kind.CHOICE:
                return "one of them, by number or name" if self.has_numbers else "one of them"
            case Kind.CHOICES:
                return "any of them with commas between, or none"
            case Kind.NUMBER:
                return self._number_hint()
            case Kind.TEXT:
                return 'in your own words; "/help" lists what else works'

    def _number_hint(self) -> str:
        named = ", ".join([unit for unit in self.units if unit != NO_UNIT][:MOST_UNITS_SHOWN])
        if NO_UNIT in self.units:
            return f"a number, or one in {named}" if named else "a number"
        return f"a number with its unit: {named}"

    def answers(self) -> tuple[str, ...]:
        """Words that are answers here and win over the words of the conversation."""
        return tuple(part.casefold() for pair in self.options.items() for part in pair)

    def completions(self) -> tuple[str, ...]:
        """What is offered while typing."""
        if self.kind is Kind.YES_NO:
            return ("yes", "no")
        return tuple(self.options) or tuple(unit for unit in self.units if unit != NO_UNIT)

    def read(self, typed: str) -> Read:
        """The typed text with numbers and labels of options put as their ids."""
        if self.kind not in {Kind.CHOICE, Kind.CHOICES}:
            lead = len(typed) - len(typed.lstrip())
            return Read(typed.strip(), ((0, lead),))
        whole = self._option(typed.strip())
        if self.kind is Kind.CHOICE or whole in self.options:
            lead = len(typed) - len(typed.lstrip())
            return Read(whole, ((0, lead),))
        parts, starts, at = [], [], 0
        for match in _WORDS.finditer(typed):
            word = match.group()
            if not word.strip():
                continue
            part = self._option(word.strip())
            starts.append((at, match.start() + len(word) - len(word.lstrip())))
            parts.append(part)
            at += len(part) + 2
        return Read(", ".join(parts), tuple(starts) or ((0, 0),))

    def _option(self, word: str) -> str:
        """The id of the option that a number, an id or a label names; else the word itself."""
        folded = word.casefold()
        for number, (option, label) in enumerate(self.options.items(), 1):
            picked = self.has_numbers and folded.rstrip(".)") == str(number)
            if picked or folded in {option.casefold(), label.casefold()}:
                return option
        return word
