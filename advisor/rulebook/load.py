"""Loads a rulebook folder: reads, checks, compiles, and reports all problems in one go."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import TypeVar

from pydantic import BaseModel

from .book import Rulebook
from .collect import collect
from .compiler import Compiler, all_tests
from .datacache import DataCache
from .draft import SECTIONS, Item
from .facts import fact_types
from .later import Later
from .layover import lay_over
from .measuring import gauge_readings, measures
from .overlay import Overlay
from .own import Own
from .problems import LoadError, Severity
from .references import check_references, warn_of_unused
from .rings import check_rings

M = TypeVar("M", bound=BaseModel)


def load(
    path: str | os.PathLike[str],
    *,
    own: Own | None = None,
    overlay: Overlay | None = None,
    cache: DataCache | None = None,
    later: Rulebook | None = None,
) -> Rulebook:
    """The rulebook in this folder. Raises LoadError with every problem found, in order of place.

    `own` is what the user's settings put in place of the rulebook's; `overlay` holds rates of
    confirmed cases that take the place of the author's.
    `cache` spares parsing files that were read before; the result is the same.
    `later` is another version of it, by whose ids this one is read where they were only renamed.
    """
    draft = collect(Path(path), cache, _ids_of(later) if later else None)
    if own is not None:
        own.put_into(draft)
    if overlay is not None:
        lay_over(draft, overlay)
    types = fact_types(draft)
    for section in ("questions", "computed", "findings"):
        for name in sorted(draft.broken[section]):
            types[name] = None
    check_references(draft)
    compiler = Compiler(draft, types)
    rules = compiler.rules()
    check_rings(compiler.reader)
    readings = gauge_readings(draft)
    read = measures(draft, types, readings)
    errors = [one for one in draft.problems if one.severity is Severity.ERROR]
    if errors or rules is None or draft.meta is None:
        raise LoadError(draft.problems)
    warn_of_unused(draft)
    return Rulebook(
        meta=draft.meta.model,
        places=_models(draft.places),
        cautions=_models(draft.cautions),
        questions=_models(draft.questions),
        tests=MappingProxyType(all_tests(draft)),
        gauges=_models(draft.gauges),
        computed=_models(draft.computed),
        findings=_models(draft.findings),
        causes=_models(draft.causes),
        rules=rules,
        facts=MappingProxyType({name: kind for name, kind in types.items() if kind is not None}),
        measures=MappingProxyType(read),
        gauge_reading=MappingProxyType(readings),
        warnings=tuple(sorted(draft.problems, key=lambda problem: problem.order)),
        items=MappingProxyType({(item.section, item.id): item for item in draft.items()}),
        retired=MappingProxyType(dict(draft.retired)),
    )


def _ids_of(rulebook: Rulebook) -> Later:
    live: dict[str, set[str]] = {section: set() for section in SECTIONS}
    for section, name in rulebook.items:
        live[section].add(name)
    return Later(rulebook.retired, live)


def _models(records: Mapping[str, Item[M]]) -> Mapping[str, M]:
    return MappingProxyType({name: item.model for name, item in records.items()})
