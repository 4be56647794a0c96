"""A rulebook while it is being loaded: its records with their places, and the problems so far."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any, Generic, TypeVar

from pydantic import BaseModel

from .document import Document, Loc
from .findingmodels import FindingModel
from .models import (
    CauseModel,
    CautionModel,
    ComputedModel,
    GaugeModel,
    MetaModel,
    PlaceModel,
    QuestionModel,
    TestModel,
)
from .names import did_you_mean, nearest
from .problems import Problem, Related
from .successors import Retired, section_of, taken_out

M_co = TypeVar("M_co", bound=BaseModel, covariant=True)

# Section of a file -> what one of its records is called.
SECTIONS = {
    "rulebook": "rulebook",
    "places": "place",
    "cautions": "caution",
    "questions": "question",
    "tests": "test",
    "gauges": "gauge",
    "computed": "computed fact",
    "findings": "finding",
    "causes": "cause",
}
FACT_SECTIONS = ("questions", "computed", "findings")
MOST_GUESSES = 300  # problems; nobody reads so many hints, and each takes longer with more names


@dataclass(frozen=True, slots=True)
class Item(Generic[M_co]):
    """One record: its model, and where it stands."""

    section: str
    id: str
    model: M_co
    document: Document
    loc: tuple[str | int, ...]

    @property
    def called(self) -> str:
        """The record in words: question "where-felt"."""
        return f'{SECTIONS[self.section]} "{self.id}"'

    def related(self, message: str) -> Related:
        """This record as a related place."""
        return self.document.related(self.loc, message)


AnyItem = Item[Any]


@dataclass(slots=True)
class Draft:
    """All records that could be read, by section and id, in the order of the files."""

    problems: list[Problem] = field(default_factory=list)
    meta: Item[MetaModel] | None = None
    places: dict[str, Item[PlaceModel]] = field(default_factory=dict)
    cautions: dict[str, Item[CautionModel]] = field(default_factory=dict)
    questions: dict[str, Item[QuestionModel]] = field(default_factory=dict)
    tests: dict[str, Item[TestModel]] = field(default_factory=dict)
    gauges: dict[str, Item[GaugeModel]] = field(default_factory=dict)
    computed: dict[str, Item[ComputedModel]] = field(default_factory=dict)
    findings: dict[str, Item[FindingModel]] = field(default_factory=dict)
    causes: dict[str, Item[CauseModel]] = field(default_factory=dict)
    # Ids whose record could not be read, and sections of which some part could not be read at
    # all: neither may set off complaints about unknown names elsewhere.
    broken: dict[str, set[str]] = field(default_factory=lambda: {one: set() for one in SECTIONS})
    incomplete: set[str] = field(default_factory=set)
    retired: Retired = field(default_factory=dict)
    used: dict[str, set[str]] = field(default_factory=lambda: {one: set() for one in SECTIONS})

    def section(self, name: str) -> dict[str, Item[BaseModel]]:
        """The records of one section by id."""
        records: dict[str, Item[BaseModel]] = getattr(self, name)
        return records

    def items(self) -> Iterable[Item[BaseModel]]:
        """All records but the meta record."""
        for name in SECTIONS:
            if name != "rulebook":
                yield from self.section(name).values()

    def complain(self, item: AnyItem, loc: Loc, code: str, message: str, hint: str = "") -> None:
        """Note a problem with the value at `loc` inside the record."""
        self.problems.append(item.document.problem((*item.loc, *loc), code, message, hint))

    def may_exist(self, sections: Iterable[str], name: str) -> bool:
        """Whether the name may stand in a part of the files that could not be read."""
        return any(one in self.incomplete or name in self.broken[one] for one in sections)

    def refer(self, item: AnyItem, loc: Loc, section: str, name: str) -> bool:
        """Note that the record refers to `name`; False, with a problem, when nothing has it."""
        self.used[section].add(name)
        if name in self.section(section) or self.may_exist([section], name):
            return True
        self.unknown(item, loc, (section,), name)
        return False

    def unknown(self, item: AnyItem, loc: Loc, sections: tuple[str, ...], name: str) -> None:
        """Note that nothing in these sections has this name, with the nearest names."""
        records = {one: item for s in map(self.section, sections) for one, item in s.items()}
        if sections == ("tests",):  # a question with a place is a test by itself
            placed = {one: q for one, q in self.questions.items() if q.model.place is not None}
            records = {**placed, **records}
        known = list(records) if len(self.problems) < MOST_GUESSES else []
        gone = section_of(self.retired, sections, name)
        found = nearest(name, known) if gone is None else []
        related: tuple[Related, ...] = ()
        if len(found) == 1:
            target = records[found[0]]
            related = (target.related(f'"{found[0]}" stands here'),)
        is_fact = len(sections) > 1 or sections == ("findings",)
        code = "unknown-fact" if is_fact else f"unknown-{SECTIONS[sections[0]].split()[0]}"
        what = " or ".join(SECTIONS[section] for section in sections)
        place = (*item.loc, *loc)
        mark = item.document.position_of(place, key=place[-1] == name)
        message = f'{item.called} refers to "{name}", but there is no {what} of this name'
        hint = did_you_mean(name, known) if gone is None else taken_out(self.retired[gone, name])
        self.problems.append(item.document.problem(mark, code, message, hint, related))
