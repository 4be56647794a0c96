"""A comparison in Markdown, fit for a code review."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

from advisor.layout import clean_line
from advisor.proof.wording import counted, decibans, share

from .blend import THE_REST
from .comparison import Comparison, Left, Moved, Reason
from .differences import Difference
from .moves import Move

MOST_DETAILS = 6  # of one record
MOST_REASONS = 5  # of one vehicle
MOST_SHIFTS = 4  # of one vehicle


def comparison_text(found: Comparison) -> str:
    """All that was found, in lines of Markdown."""
    return "\n".join(map(_safe, _lines(found)))


def _safe(line: str) -> str:
    indent = len(line) - len(line.lstrip(" "))
    return " " * indent + clean_line(line)


def summary(found: Comparison) -> str:
    """How many vehicles moved, in one line."""
    changed = sum(not one.is_text for one in found.differences)
    leaders = sum(one.move.leader_changed for one in found.moved)
    parts = [
        f"{counted(changed, 'record')} changed",
        f"{len(found.moved)} of {counted(found.compared, 'vehicle')} moved",
        f"another cause leads on {leaders}",
    ]
    known = [one.move.verdict for one in found.moved if one.move.verdict]
    if known:
        better, worse = known.count("better"), known.count("worse")
        parts.append(f"of those whose trouble is known {better} better and {worse} worse")
    if found.left:
        parts.append(f"{counted(len(_names(found.left)), 'vehicle')} not compared")
    return ", ".join(parts)


def _names(left: Sequence[Left]) -> set[str]:
    return {one.vehicle.id for one in left}


def _lines(found: Comparison) -> Iterator[str]:
    (old_folder, old), (new_folder, new) = found.old, found.new
    yield "# Two rulebooks compared"
    yield ""
    yield f"- older: {old_folder} ({old.meta.id} {old.meta.version})"
    yield f"- newer: {new_folder} ({new.meta.id} {new.meta.version})"
    yield f"- {summary(found)}"
    yield from _section("What changed in the rules", _changes(found.differences))
    parts: tuple[tuple[str, Callable[[Move], bool]], ...] = (
        ("Another cause leads", lambda move: move.leader_changed),
        ("Stopping driving changed", lambda move: move.stops_changed),
        ("Other probabilities or another order", lambda move: bool(move.shifts)),
        ("Another order or another next test", lambda _: True),
    )
    left = list(found.moved)
    for heading, belongs in parts:
        here = [one for one in left if belongs(one.move)]
        left = [one for one in left if not belongs(one.move)]
        yield from _section(heading, (line for one in here for line in _moved(one)))
    yield from _section("Not compared", map(_left, found.left))


def _section(heading: str, lines: Iterator[str]) -> Iterator[str]:
    """A heading with its lines; nothing where there are none."""
    for place, line in enumerate(lines):
        if not place:
            yield from ("", f"## {heading}", "")
        yield line


def _changes(differences: Sequence[Difference]) -> Iterator[str]:
    for one in differences:
        if not one.is_text:
            yield f"- {_difference(one)}"
            yield from (f"  - {detail}" for detail in one.details[:MOST_DETAILS])
            if more := one.details[MOST_DETAILS:]:
                yield f"  - and {len(more)} more"
    texts = sum(one.is_text for one in differences)
    if texts:
        yield f"- only the words of {counted(texts, 'record')}"


def _difference(one: Difference) -> str:
    what = "is new" if one.before is None else "is gone" if one.after is None else "changed"
    if not one.place:
        return f"{one.called} changed"
    return f"{one.called} {what} ({one.place})"


def _moved(one: Moved) -> Iterator[str]:
    before, after = one.move.before, one.move.after
    parts = []
    if one.move.leader_changed:
        was, now = before.leading, after.leading
        parts.append(
            f"{was} led at {share(before.probability(was))}, "
            f"now {now} leads at {share(after.probability(now))}"
        )
    elif one.move.order_changed:
        parts.append(f"{', '.join(before.first)} became {', '.join(after.first)}")
    shifts = [
        f"{shift.name} {share(shift.before)} became {share(shift.after)}"
        for shift in one.move.shifts[:MOST_SHIFTS]
    ]
    parts += [] if one.move.leader_changed and not shifts else shifts
    if one.move.stops_changed:
        parts.append(f"stops: {_list(before.stops)} became {_list(after.stops)}")
    if one.move.next_changed:
        parts.append(f"next: {before.next_test} became {after.next_test}")
    if one.move.verdict is not None:
        parts.append(f"right is {' and '.join(sorted(one.move.right))}: {one.move.verdict}")
    yield f"- {one.vehicle.id} ({one.vehicle.path}:{one.vehicle.line}): {'; '.join(parts)}"
    yield from (f"  - {_reason(one, reason)}" for reason in one.reasons[:MOST_REASONS])
    if more := one.reasons[MOST_REASONS:]:
        yield f"  - and {len(more)} more"


def _list(names: Sequence[str]) -> str:
    return ", ".join(names) or "none"


def _reason(moved: Moved, reason: Reason) -> str:
    behind = ", ".join(f"{one.called} ({one.place})" for one in reason.by) or reason.id
    own = any(one.key == (reason.section, reason.id) for one in reason.by)
    through = "" if own or not reason.by else f", through {reason.id}"
    if reason.decibans is None:
        return f"by {behind}{through}"
    return f"{_weight(moved, reason.decibans)}: {behind}{through}"


def _weight(moved: Moved, weight: float) -> str:
    assert moved.odds is not None
    first, second = moved.odds
    if not math.isfinite(weight):
        return f"makes {first} {'possible' if weight > 0 else 'impossible'}"
    over = "" if second == THE_REST else f" over {second}"
    return f"{decibans(weight)} for {first}{over}"


def _left(one: Left) -> str:
    place = f"{one.vehicle.path}:{one.vehicle.line}"
    return f"- {one.vehicle.id} ({place}), by the {one.which} rulebook: {'; '.join(one.reasons)}"
