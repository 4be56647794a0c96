"""A calibration as text and as data for JSON."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict
from typing import Any

from .calibrating import LEAST_STRENGTH, MOST_STRENGTH, Calibration, Change, Column
from .counting import USUAL

FORMAT = 1
MOST_LINES = 30  # of each table; the overlay and the JSON hold all


def calibration_data(calibration: Calibration) -> dict[str, Any]:
    """The calibration as plain data for JSON."""
    meta = calibration.rulebook.meta
    return {
        "format": FORMAT,
        "rulebook": meta.id,
        "rulebook_version": meta.version,
        **calibration.intake.as_data(),
        "cases": calibration.cases,
        "two_causes": calibration.tally.two_causes,
        "more_causes": calibration.tally.more_causes,
        "least_cases": calibration.terms.least,
        "strength": calibration.strength,
        "likeliest_strength": calibration.likeliest_strength,
        "none_of_the_listed": calibration.none_share and _data(calibration.none_share),
        "commonness_strength": calibration.commonness_strength,
        "commonness": [
            {"cause": one.cause, "cases": one.cases, **_data(one.change)}
            for one in calibration.commonness
        ],
        "rates": [
            {
                "finding": column.finding,
                "cause": column.cause or None,
                "cases": column.cases,
                "outcomes": {name: _data(one) for name, one in column.changes.items()},
            }
            for column in calibration.columns
        ],
        "too_few_cases": [
            {"finding": column.finding, "cause": column.cause or None, "cases": column.cases}
            for column in calibration.few
        ],
    }


def _data(change: Change) -> dict[str, Any]:
    return {**asdict(change), "telling": change.is_telling}


def calibration_text(calibration: Calibration) -> str:
    """What the cases propose, for a window; problems of unreadable files stand elsewhere."""
    meta, tally = calibration.rulebook.meta, calibration.tally
    lines = [*calibration.intake.as_text(), f"weighed against: {meta.id} {meta.version}"]
    if tally.two_causes:
        lines.append(
            f"with two causes at once: {tally.two_causes}; they count for commonness, and for no "
            "rate with a cause"
        )
    if tally.more_causes:
        lines.append(f"not counted, since more than two causes were confirmed: {tally.more_causes}")
    lines += ["", *_strength(calibration), "", *_commonness(calibration), "", *_rates(calibration)]
    return "\n".join(lines)


def _strength(calibration: Calibration) -> Iterator[str]:
    yield f"an author's rate counts as {calibration.strength:.3g} cases"
    likeliest = calibration.likeliest_strength
    if likeliest is None:
        return
    found = f"{likeliest:.3g}"
    if likeliest > 0.999 * MOST_STRENGTH or likeliest < 1.001 * LEAST_STRENGTH:
        found += " or more" if likeliest > 1.001 * LEAST_STRENGTH else " or less"
    yield f"of all rates together, the cases make {found} likeliest (--strength estimate)"


def _commonness(calibration: Calibration) -> Iterator[str]:
    if not calibration.commonness:
        causes, least = len(calibration.rulebook.rules.causes), calibration.terms.least
        yield (
            f"too few cases for commonness: {calibration.tally.listed} with a listed cause, "
            f"{max(causes, least)} needed; it stays as it is"
        )
    else:
        told = [one for one in calibration.commonness if one.change.is_telling]
        yield f"commonness: {len(calibration.commonness)} causes weighed anew; {_outside(told)}"
        yield from _capped([_line(one.cause, one.cases, one.change) for one in told])
    if calibration.none_share is not None:
        yield "share of none of the listed causes:"
        yield _line("none-of-the-listed", calibration.cases, calibration.none_share)


def _rates(calibration: Calibration) -> Iterator[str]:
    columns = calibration.columns
    told = [
        _line(f"{column.finding}, {_called(column)}{_value(column, name)}", column.cases, change)
        for column in columns
        for name, change in column.changes.items()
        if change.is_telling
    ]
    if columns:
        yield f"rates of {len(columns)} columns (a finding with one cause) change; {_outside(told)}"
        yield from _capped(told)
    else:
        yield "no rate changes"
    if few := calibration.few:
        least = calibration.terms.least
        yield f"too few cases (under {least}) for {len(few)} columns, whose rates stay as they are"
        by_cases = sorted(few, key=lambda one: -one.cases)
        shown = [f"{one.cases:>6}  {one.finding}, {_called(one)}" for one in by_cases]
        yield from _capped(shown)


def _called(column: Column) -> str:
    return "usual" if column.cause == USUAL else column.cause


def _value(column: Column, name: str) -> str:
    return f": {name}" if len(column.changes) > 1 else ""


def _outside(told: Sequence[object]) -> str:
    return f"{len(told) or 'no'} old one{'' if len(told) == 1 else 's'} outside the 95 % interval"


def _line(name: str, cases: int, change: Change) -> str:
    return (
        f"{cases:>6}  {name}: {change.old:.3g} -> {change.new:.3g} "
        f"({change.low:.3g} to {change.high:.3g})"
    )


def _capped(lines: Sequence[str]) -> Iterator[str]:
    if lines:
        yield " cases"
        yield from lines[:MOST_LINES]
    if len(lines) > MOST_LINES:
        yield f"        and {len(lines) - MOST_LINES} more; --json lists them"
