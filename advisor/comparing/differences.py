"""What differs between two rulebooks, record by record."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel

from advisor.engine.effects import decibans as weight_of
from advisor.engine.rules import ByCondition, Condition, Finding
from advisor.proof.wording import condition_text, decibans
from advisor.rulebook import Related, Rulebook
from advisor.rulebook.draft import SECTIONS

# Fields that people read and no ranking, plan or stop depends on.
TEXTS = frozenset(
    {"ask", "customer", "how", "name", "record", "says", "source", "text", "title", "what", "why"}
    | {"steps", "cautions", "version", "shows"}
)
ALIKE = 1e-9  # rates and amounts that differ by less are the same number written otherwise
RULEBOOK = "rulebook"
Key = tuple[str, str]  # section and id


@dataclass(frozen=True, slots=True)
class Difference:
    """A record that is new, gone or changed. `details` say what became what.

    `before` and `after` are its places, None where it is not. `is_text` marks a record of which
    only the words changed.
    """

    section: str
    id: str
    details: tuple[str, ...]
    before: Related | None
    after: Related | None
    is_text: bool

    @property
    def key(self) -> Key:
        """The record's section and id."""
        return self.section, self.id

    @property
    def called(self) -> str:
        """The record in words: finding "tube-fouled"."""
        return f'{SECTIONS[self.section]} "{self.id}"'

    @property
    def place(self) -> str:
        """Its place in the newer rulebook, or where it was in the older one: file:line."""
        place = self.after or self.before
        return f"{place.path}:{place.line}" if place else ""


def differences(old: Rulebook, new: Rulebook) -> tuple[Difference, ...]:
    """The records that differ, in the order of the newer files, those that are gone last."""
    found = [*_of_meta(old, new)]
    for section, name in dict.fromkeys((*new.items, *old.items)):
        before, after = old.items.get((section, name)), new.items.get((section, name))
        details: tuple[str, ...] = ()
        is_text = False
        if before is not None and after is not None:
            if before.model == after.model:
                continue
            details = tuple(_details(old, new, section, name))
            is_text = not details
        found.append(
            Difference(
                section,
                name,
                details,
                old.place_of(section, name) if before else None,
                new.place_of(section, name) if after else None,
                is_text,
            )
        )
    return tuple(found)


def _of_meta(old: Rulebook, new: Rulebook) -> Iterator[Difference]:
    if old.meta != new.meta:
        details = tuple(_fields(old.meta, new.meta))
        yield Difference(RULEBOOK, new.meta.id, details, None, None, not details)


def _details(old: Rulebook, new: Rulebook, section: str, name: str) -> Iterator[str]:
    if section == "findings":
        yield from _of_finding(old, new, name)
        return
    before, after = old.items[section, name].model, new.items[section, name].model
    yield from _fields(before, after)


def _fields(before: BaseModel, after: BaseModel) -> Iterator[str]:
    """The fields that differ and are no texts, with what they were and became."""
    if type(before) is not type(after):
        yield "it is of another kind"
        return
    for field in type(after).model_fields:
        was, now = getattr(before, field), getattr(after, field)
        if field in TEXTS or was == now:
            continue
        if isinstance(was, BaseModel) and isinstance(now, BaseModel):
            yield from (f"{field}: {one}" for one in _fields(was, now))
        elif field == "options" and list(was) == list(now):
            continue  # only labels
        else:
            yield f"{field.rstrip('_')}: {_shown(was)} became {_shown(now)}"


def _shown(value: Any) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, float):
        return f"{value:g}"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key}: {_shown(one)}" for key, one in value.items()) + "}"
    if isinstance(value, list | tuple):
        return f"[{', '.join(map(_shown, value))}]"
    return str(value)


def _of_finding(old: Rulebook, new: Rulebook, name: str) -> Iterator[str]:
    before = old.engine.effects.findings[name]
    after = new.engine.effects.findings[name]
    was, now = source_text(old, before), source_text(new, after)
    if before.source != after.source:
        yield f"{was} became {now}"
    if before.outcomes == after.outcomes:
        yield from _rates(before, after)
    else:
        yield f"its values {_shown(before.outcomes)} became {_shown(after.outcomes)}"
    for field in ("observation", "stop_driving"):
        first, second = getattr(before, field), getattr(after, field)
        if first != second:
            yield f"{field}: {_shown(first)} became {_shown(second)}"


def source_text(rulebook: Rulebook, finding: Finding) -> str:
    """What a finding hangs on, on one line."""
    source = finding.source
    if isinstance(source, ByCondition):
        condition: Condition = source.when
        return f"when {condition_text(rulebook, condition)}"
    outcomes = getattr(source, "bands", None)
    if outcomes is None:
        return f"the values of {source.fact}"
    shown = (rulebook.show_intervals(source.fact, (band,)) for band in outcomes)
    return f"the bands of {source.fact} ({', '.join(shown)})"


def _rates(before: Finding, after: Finding) -> Iterator[str]:
    """For each cause whose evidence changed, the weight of each outcome before and now."""
    if any(abs(a - b) > ALIKE for a, b in zip(before.usual, after.usual, strict=True)):
        yield f"usual: {_rate(before.usual)} became {_rate(after.usual)}"
    for cause in dict.fromkeys((*before.rates, *after.rates)):
        was = before.rates.get(cause, before.usual)
        now = after.rates.get(cause, after.usual)
        parts = []
        for k, outcome in enumerate(after.outcomes):
            first, second = weight_of(was[k] / before.usual[k]), weight_of(now[k] / after.usual[k])
            if abs(first - second) > ALIKE:
                parts.append(f"{outcome} {decibans(first)} became {decibans(second)}")
        if parts:
            yield f"for {cause}: {', '.join(parts)}"


def _rate(rates: tuple[float, ...]) -> str:
    return ", ".join(f"{rate:.3g}" for rate in (rates[:1] if len(rates) == 2 else rates))
