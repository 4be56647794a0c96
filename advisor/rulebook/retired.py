"""Ids that are no longer used: what stands in their place, and that they stay what they were."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from typing import Any

from pydantic import ValidationError

from .document import Document, Loc
from .draft import FACT_SECTIONS, SECTIONS, Draft, Item
from .models import RetiredModel
from .names import did_you_mean
from .successors import Retired, Successor
from .wording import problems_of

RETIRED = "retired"  # the section of a rulebook file
KINDS = tuple(section for section in SECTIONS if section != "rulebook")
# Sections whose ids share one room: an id that is retired in one may not be new in another.
ROOMS = {
    "questions": ("questions", "findings"),
    "computed": ("computed", "findings"),
    "findings": FACT_SECTIONS,
    "tests": ("tests", "questions"),
}


class RetiredReader:
    """Reads the section of every file, once the ids of all files are known."""

    def __init__(self, draft: Draft, live: Mapping[str, frozenset[str]]) -> None:
        self._draft = draft
        self._live = live
        self._items: dict[tuple[str, str], Item[RetiredModel]] = {}
        self._lost: list[tuple[Item[RetiredModel], str]] = []  # with the id that is not there
        self._ends: dict[str, dict[str, Item[RetiredModel] | None]] = defaultdict(dict)

    def take(self, document: Document) -> None:
        """The records of one file."""
        data = document.data.get(RETIRED, {})
        if not self._is_mapping(document, data, (RETIRED,), "kind of record: retired ids"):
            return
        for section, records in data.items():
            loc = (RETIRED, section)
            if section not in KINDS:
                mark = document.position_of(loc, key=True)
                message = f'"{section}" is not a kind of record whose ids can be retired'
                hint = did_you_mean(section, KINDS)
                self._draft.problems.append(document.problem(mark, "unknown-field", message, hint))
            elif self._is_mapping(document, records, loc, "old id: record"):
                for name, record in records.items():
                    self._take_record(document, section, name, record)

    def _is_mapping(self, document: Document, data: Any, loc: Loc, form: str) -> bool:
        if isinstance(data, dict):
            return True
        message = f'"{loc[-1]}" must be a mapping ({form})'
        self._draft.problems.append(document.problem(loc, "wrong-type", message))
        return False

    def _take_record(self, document: Document, section: str, name: str, record: Any) -> None:
        loc = (RETIRED, section, name)
        first = self._items.get((section, name))
        if first is not None:
            mark = document.position_of(loc, key=True)
            message = f'the {SECTIONS[section]} "{name}" is retired twice'
            where = (first.related("the first stands here"),)
            problem = document.problem(mark, "duplicate-id", message, "keep one of them", where)
            self._draft.problems.append(problem)
        elif self._is_mapping(document, record, loc, "field: value"):
            try:
                model = RetiredModel.model_validate(record)
            except ValidationError as error:
                self._draft.problems.extend(problems_of(error, document, loc, RetiredModel))
            else:
                self._items[section, name] = Item(section, name, model, document, loc)

    def retired(self) -> Retired:
        """What stands in the place of each retired id; whatever is wrong with it is noted."""
        found: dict[tuple[str, str], Successor] = {}
        for (section, name), item in self._items.items():
            successor = self._successor(section, item)
            if successor is not None and not self._is_used_again(section, item):
                found[section, name] = successor
        return found

    def check(self) -> None:
        """Note the ids that nothing stands in for; once all records are read, to name the nearest.

        Silent where a part of the files could not be read.
        """
        for item, name in self._lost:
            room = (item.section, "questions") if item.section == "tests" else (item.section,)
            if not self._draft.may_exist(room, name):
                self._draft.unknown(item, ("replaced_by",), (item.section,), name)

    def _is_used_again(self, section: str, item: Item[RetiredModel]) -> bool:
        rooms = [one for one in ROOMS.get(section, (section,)) if item.id in self._live[one]]
        for room in rooms:
            mark = item.document.position_of(item.loc, key=True)
            message = f'"{item.id}" is retired, and it is the id of a {SECTIONS[room]} as well'
            hint = f"give the {SECTIONS[room]} an id that was never used"
            self._draft.problems.append(
                item.document.problem(mark, "retired-in-use", message, hint)
            )
        return bool(rooms)

    def _successor(self, section: str, item: Item[RetiredModel]) -> Successor | None:
        """What the chain leads to, or None when it leads nowhere (noted)."""
        last = self._last(section, item)
        if last is None:
            return None
        name = last.model.replaced_by
        told = (last if name is None else item).model
        return Successor(name, told.retired_in, told.reason)

    def _last(self, section: str, item: Item[RetiredModel]) -> Item[RetiredModel] | None:
        """The record at the end of the chain, or None when it leads nowhere (noted).

        All records on the way have the same end, so each is looked at once, however long the chain.
        """
        room = ("tests", "questions") if section == "tests" else (section,)
        ends = self._ends[section]
        steps: dict[str, None] = {}
        here: Item[RetiredModel] | None = item
        last = None
        while here is not None:
            if here.id in ends:
                last = ends[here.id]
                break
            if here.id in steps:
                self._note_circle(section, list(steps)[list(steps).index(here.id) :])
                break
            steps[here.id] = None
            name = here.model.replaced_by
            if name is None or any(name in self._live[one] for one in room):
                last = here
                break
            following = self._items.get((section, name))
            if following is None:
                self._lost.append((here, name))
            here = following
        ends.update(dict.fromkeys(steps, last))
        return last

    def _note_circle(self, section: str, ids: list[str]) -> None:
        """Complain at the first of these ids in the order of the alphabet."""
        at = ids.index(min(ids))
        around = [*ids[at:], *ids[: at + 1]]
        message = f"retired ids replace each other in a circle: {' -> '.join(around)}"
        hint = "let the last one name an id that is in use"
        item = self._items[section, around[0]]
        self._draft.complain(item, ("replaced_by",), "retired-circle", message, hint)
