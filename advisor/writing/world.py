"""What a new record may name: the rulebook, and what was made in this sitting."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from advisor import units
from advisor.engine.values import Kind
from advisor.rulebook import FactType, Rulebook

Record = dict[str, Any]
FACTS = ("questions", "computed", "findings")
_ROOMS = {  # sections whose ids share one room
    **dict.fromkeys(FACTS, FACTS),
    "tests": ("tests", "questions"),
}


@dataclass(slots=True)
class World:
    """The rulebook with the records of this sitting, by section and id, in their order.

    `examples` are the ids of the examples that are there, `begun` those given to records that
    are still asked for.
    """

    rulebook: Rulebook
    examples: frozenset[str] = frozenset()
    made: dict[tuple[str, str], Record] = field(default_factory=dict)
    begun: set[tuple[str, str]] = field(default_factory=set)

    def is_taken(self, section: str, name: str) -> bool:
        """Whether the id stands for something, or did once."""
        if section == "examples":
            return name in self.examples
        rooms = _ROOMS.get(section, (section,))
        if section == "questions":
            rooms = (*rooms, "tests")
        return any(
            name in self.ids(room) or (room, name) in {*self.rulebook.retired, *self.begun}
            for room in rooms
        )

    def ids(self, section: str) -> Mapping[str, str]:
        """The ids of a section with their words."""
        known = {name: _words(model) for name, model in getattr(self.rulebook, section).items()}
        return known | {
            name: str(next(iter(record.values())))
            for (where, name), record in self.made.items()
            if where == section
        }

    def facts(self) -> Mapping[str, str]:
        """The ids of all facts with their words."""
        return {name: words for one in FACTS for name, words in self.ids(one).items()}

    def fact_type(self, name: str) -> FactType:
        """What a fact is, of the rulebook or new."""
        if name in self.rulebook.facts:
            return self.rulebook.facts[name]
        record = self.made.get(("questions", name))
        if record is None:
            return FactType(Kind.YES_NO)
        unit = units.unit_named(record["unit"]) if "unit" in record else None
        return FactType(Kind(record["kind"]), tuple(record.get("options", ())), unit)

    def labels(self, fact: str) -> Mapping[str, str]:
        """The options of a choice, id to label."""
        if fact in self.rulebook.facts:
            return self.rulebook.labels(fact)
        labels: dict[str, str] = self.made["questions", fact].get("options", {})
        return labels


def _words(model: Any) -> str:
    for name in ("name", "ask", "says", "text"):
        if (text := getattr(model, name, None)) is not None:
            return str(text)
    return ""


def fitting(typed: str, known: Mapping[str, str]) -> Iterable[str]:
    """The ids whose id or words hold every word that was typed."""
    wanted = typed.casefold().replace("-", " ").split()
    for name, words in known.items():
        text = f"{name.replace('-', ' ')} {words}".casefold()
        if wanted and all(word in text for word in wanted):
            yield name
