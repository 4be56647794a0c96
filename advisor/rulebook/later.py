"""A rulebook read by the ids of a later version of it, so that the two can be compared."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Final

from .document import Document
from .draft import SECTIONS
from .renaming import IN_RULEBOOK, KEYS, References, rename
from .retired import ROOMS
from .successors import Retired, Successor, section_of

_WITH_RECORDS: Final[References] = (
    *IN_RULEBOOK,
    *(((section, KEYS), (section,)) for section in SECTIONS if section != "rulebook"),
)
Live = Mapping[str, Collection[str]]  # the ids in use, by section


@dataclass(frozen=True, slots=True)
class Later:
    """The ids of a later version: those that it retired, and those that it has."""

    retired: Retired
    live: Live


def name_by(later: Later, documents: Iterable[Document], live: Live, retired: Retired) -> Retired:
    """Put the later ids into the documents, in their records too; gives all ids of old.

    `live` and `retired` are the ids that the documents have and had. Where several records became
    one, each keeps its own id.
    """
    new = _renamed(later.retired, live)
    for document in documents:
        rename(document, _WITH_RECORDS, new, live=later.live)
    return {key: _at_last(key[0], one, new) for key, one in retired.items()} | new


def _renamed(retired: Retired, live: Live) -> dict[tuple[str, str], Successor]:
    """The ids in use that were only given another name later."""
    there = {key: one for key, one in retired.items() if one.id and key[1] in live[key[0]]}
    count = Counter((section, one.id) for (section, _), one in there.items())
    return {
        (section, name): one
        for (section, name), one in there.items()
        if count[section, one.id] == 1
        and not any(one.id in live[room] for room in ROOMS.get(section, (section,)))
    }


def _at_last(section: str, one: Successor, new: Retired) -> Successor:
    if one.id is None:
        return one
    room = section_of(new, ROOMS.get(section, (section,)), one.id)
    return one if room is None else replace(one, id=new[room, one.id].id)
