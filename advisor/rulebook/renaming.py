"""Puts the new ids in the place of retired ones in the data of a file, before it is read.

A table says for each kind of file where ids stand. A step of a way is a key, or one of EACH (the
items of a list, or the values of a mapping), KEYS (the ids are the keys themselves) and CONDITION.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import Any, Final

from .document import Document, Node
from .draft import FACT_SECTIONS, SECTIONS
from .problems import Problem
from .successors import Retired, section_of

EACH: Final = "*each"
KEYS: Final = "*keys"
CONDITION: Final = "*condition"

Way = tuple[str, ...]
Loc = tuple[str | int, ...]
References = tuple[tuple[Way, tuple[str, ...]], ...]  # where ids stand, and of which sections

_FACTS: Final = FACT_SECTIONS
_TESTS: Final = ("tests", "questions")  # a question with a place is a test by itself
_CAUTIONS: Final = (("cautions", EACH), ("cautions",))
_RECORDS: Final[Mapping[str, References]] = {
    "places": (_CAUTIONS,),
    "questions": (
        (("gauge",), ("gauges",)),
        (("place",), ("places",)),
        (("ask_if", CONDITION), _FACTS),
        _CAUTIONS,
    ),
    "tests": ((("place",), ("places",)), (("answers", EACH), ("questions",)), _CAUTIONS),
    "computed": ((("inputs", EACH), _FACTS),),
    "findings": (
        (("when", CONDITION), _FACTS),
        (("choice",), _FACTS),
        (("bands",), _FACTS),
        (("with", KEYS), ("causes",)),
        (("values", EACH, "with", KEYS), ("causes",)),
        (("stop_driving",), ("cautions",)),
    ),
    "causes": (
        (("applies_if", CONDITION), _FACTS),
        (("confirm",), _TESTS),
        (("remedy", "cautions", EACH), ("cautions",)),
        (("remedy", "shows", EACH), ("computed",)),
        (("remedy", "rings", "axes", EACH, EACH), _FACTS),
        (("remedy", "rings", "material"), _FACTS),
        (("verify", "place"), ("places",)),
    ),
}
IN_RULEBOOK: Final[References] = (
    (("rulebook", "opening", EACH), _TESTS),
    *(
        ((section, EACH, *way), sections)
        for section, references in _RECORDS.items()
        for way, sections in references
    ),
)
IN_CASE: Final[References] = (
    (("answers", KEYS), ("questions",)),
    (("answers", EACH, "question"), ("questions",)),
    (("repairs", EACH, "cause"), ("causes",)),
    (("place",), ("places",)),
    (("put_off", EACH), _TESTS),
    (("outcome", "causes", EACH), ("causes",)),
    (("closing", "after", EACH, "question"), ("questions",)),
)
IN_EXAMPLE: Final[References] = (
    (("answers", KEYS), ("questions",)),
    *((("expect", one), ("causes",)) for one in ("first", "near_miss_of")),
    *((("expect", one, EACH), ("causes",)) for one in ("pair", "first_three", "not_first")),
    *((("expect", one, KEYS), ("causes",)) for one in ("at_least", "at_most")),
    (("expect", "findings", KEYS), ("findings",)),
    (("expect", "stops", EACH), ("findings",)),
)


def rename(
    document: Document,
    references: References,
    retired: Retired,
    *,
    at: Loc = (),
    live: Mapping[str, Collection[str]] | None = None,
) -> tuple[Problem, ...]:
    """Put new ids for the retired ones in the document's data; gives a warning for each.

    `at` is where the record stands that the references are about. `live` are the ids in use by
    section, since a fact that is measured and computed may be retired in one of the two.
    """
    if not retired:
        return ()
    data = document.data
    for step in at:
        data = data[step]
    renaming = _Renaming(document, retired, live or {})
    for way, sections in references:
        renaming.go(data, way, at, sections)
    return tuple(renaming.problems)


class _Renaming:
    def __init__(
        self, document: Document, retired: Retired, live: Mapping[str, Collection[str]]
    ) -> None:
        self.problems: list[Problem] = []
        self._document = document
        self._retired = retired
        self._live = live

    def go(self, data: Any, way: Way, loc: Loc, sections: Way) -> None:
        """Follow the way from `data`, which stands at `loc`; what has another form is left."""
        step, *rest = way
        if step == KEYS:
            self._keys(data, loc, sections)
        elif step == CONDITION:
            self._condition(data, loc, sections)
        else:
            for key in _steps(data, step):
                if rest:
                    self.go(data[key], tuple(rest), (*loc, key), sections)
                else:
                    self._value(data, key, (*loc, key), sections)

    def _condition(self, data: Any, loc: Loc, sections: Way) -> None:
        for logic in ("all", "any"):
            for index in _steps(data[logic], EACH) if _has(data, logic) else ():
                self._condition(data[logic][index], (*loc, logic, index), sections)
        if _has(data, "not"):
            self._condition(data["not"], (*loc, "not"), sections)
        self._keys(data, loc, sections)

    def _value(self, data: Any, key: str | int, loc: Loc, sections: Way) -> None:
        new = self._note(data[key], loc, sections)
        if new is not None:
            data[key] = new

    def _keys(self, data: Any, loc: Loc, sections: Way) -> None:
        if not isinstance(data, dict):
            return
        new_of = {
            old: new
            for old in data
            if (new := self._note(old, (*loc, old), sections, beside=data)) is not None
        }
        if not new_of:
            return
        # Where old and new stand side by side, what is written for the new one counts.
        renamed = {new_of.get(old, old): value for old, value in data.items()}
        renamed |= {name: value for name, value in data.items() if name not in new_of}
        children = _node(self._document.positions, loc).children
        for old, new in new_of.items():
            if old in children:  # a line of JSON has no places within it
                children.setdefault(new, children[old])
        data.clear()
        data.update(renamed)

    def _note(
        self, name: Any, loc: Loc, sections: Way, *, beside: Mapping[str, Any] | None = None
    ) -> str | None:
        """The new id for a retired one, with a warning; None for any other, and if nothing has it.

        `beside` is the mapping whose key the id is.
        """
        if not isinstance(name, str) or any(name in self._live.get(one, ()) for one in sections):
            return None
        section = section_of(self._retired, sections, name)
        if section is None:
            return None
        new = self._retired[section, name]
        if new.id is None:
            return None
        message = f'the {SECTIONS[section]} "{name}" {new.told}'
        hint = f'write "{new.id}"'
        if beside is not None and new.id in beside:
            hint = f'take it out; "{new.id}" stands here too, and counts'
        mark = self._document.position_of(loc, key=beside is not None)
        self.problems.append(self._document.problem(mark, "retired-id", message, hint))
        return new.id


def _has(data: Any, key: str) -> bool:
    return isinstance(data, dict) and key in data


def _steps(data: Any, step: str) -> Iterator[Any]:
    """The keys or indices that a step leads to."""
    if step != EACH:
        yield from (step,) if _has(data, step) else ()
    elif isinstance(data, dict):
        yield from list(data)
    elif isinstance(data, list):
        yield from range(len(data))


def _node(node: Node, loc: Loc) -> Node:
    for step in loc:
        node = node.children.get(step, node)
    return node
