"""Rates and commonness as closed cases have them, beside the author's, with their uncertainty.

The author's rate counts as so many cases (`strength`), and the closed cases are added to it: the
posterior of a beta-binomial or Dirichlet-multinomial model. Source: Gelman and others, Bayesian
Data Analysis (3rd edition, 2013), sections 2.4 and 3.4.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from advisor.engine.rules import Finding
from advisor.rulebook import Rulebook
from advisor.rulebook.fields import LOWEST_RATE

from .commonness import commonness_from
from .counting import USUAL, ColumnCount, CountTally
from .exact import value_of
from .folding import Progress, fold
from .intake import Intake
from .posterior import beta_interval, likeliest_strength
from .source import Source
from .workers import Workers

DIGITS: Final = 4  # of a proposed rate after the point
LEAST_STRENGTH, MOST_STRENGTH = 1.0, 1000.0  # pseudo-cases; what an estimate is held within


@dataclass(frozen=True, slots=True)
class Terms:
    """How to weigh the author against the cases.

    `strength` is how many cases an author's rate counts as, None for the likeliest number. A
    rate is changed only when at least `least` cases lie behind it.
    """

    strength: float | None = 20.0
    least: int = 20


@dataclass(frozen=True, slots=True)
class Change:
    """A number as the author has it and as the cases have it, with its 95 % interval."""

    old: float
    new: float
    low: float
    high: float

    @property
    def is_telling(self) -> bool:
        """Whether the author's number lies outside the interval."""
        return not self.low <= self.old <= self.high


@dataclass(frozen=True, slots=True)
class Column:
    """The rates of a finding with one cause (or USUAL), by outcome; "true" alone if yes or no."""

    finding: str
    cause: str
    cases: int
    changes: Mapping[str, Change]


@dataclass(frozen=True, slots=True)
class CauseChange:
    """The commonness of a cause, and the closed cases with it."""

    cause: str
    cases: int
    change: Change


@dataclass(frozen=True, slots=True)
class Calibration:
    """What closed cases propose. Nothing is written by it.

    `few` are the columns with too few cases, their changes left out; `none_share` and
    `commonness` are empty when there are too few cases for them. `strength` is what was used,
    `likeliest_strength` what the cases make likeliest (None without a counted rate).
    """

    rulebook: Rulebook
    intake: Intake
    tally: CountTally
    terms: Terms
    strength: float
    likeliest_strength: float | None
    none_share: Change | None
    commonness: tuple[CauseChange, ...]
    commonness_strength: float
    columns: tuple[Column, ...]
    few: tuple[Column, ...]

    @property
    def cases(self) -> int:
        """Closed cases that were counted."""
        return self.tally.listed + self.tally.none


def calibrate(
    cases: Path, source: Source, *, terms: Terms, workers: Workers, progress: Progress
) -> Calibration:
    """Count the closed cases of a folder or of a file of JSON lines, and weigh them.

    Raises LearningError and LoadError.
    """
    folded = fold(cases, source, CountTally, workers=workers, progress=progress)
    return weigh(source.load(), folded.tally, folded.intake, terms)


def weigh(rulebook: Rulebook, tally: CountTally, intake: Intake, terms: Terms) -> Calibration:
    """What the counts propose for this rulebook."""
    findings = rulebook.engine.effects.findings
    counted = list(_counted(rulebook, tally))
    likeliest = None
    if counted:
        pairs = ((_counts(count), _author(findings[name], cause)) for name, cause, count in counted)
        likeliest = likeliest_strength(pairs, LEAST_STRENGTH, MOST_STRENGTH)
    strength = terms.strength or likeliest or LEAST_STRENGTH
    columns, few = [], []
    for name, cause, count in counted:
        if count.cases < terms.least:
            few.append(Column(name, cause, count.cases, {}))
        else:
            changes = _changes(findings[name], cause, count, strength)
            if any(one.new != one.old for one in changes.values()):
                columns.append(Column(name, cause, count.cases, changes))
    causes = len(rulebook.rules.causes)
    # At least one pseudo-case a cause, so that one not met yet is not pushed out.
    commonness_strength = max(strength, float(causes))
    enough = tally.listed >= max(terms.least, causes)
    return Calibration(
        rulebook=rulebook,
        intake=intake,
        tally=tally,
        terms=terms,
        strength=strength,
        likeliest_strength=likeliest,
        none_share=_none_share(rulebook, tally, strength, terms.least),
        commonness=_commonness(rulebook, tally, commonness_strength) if enough else (),
        commonness_strength=commonness_strength,
        columns=tuple(columns),
        few=tuple(few),
    )


def _counted(rulebook: Rulebook, tally: CountTally) -> Iterator[tuple[str, str, ColumnCount]]:
    """Every column with a case behind it, in the order of the files."""
    for finding in rulebook.rules.findings:
        for cause in (USUAL, *finding.rates):
            if (finding.id, cause) in tally.columns:
                yield finding.id, cause, tally.columns[finding.id, cause]


def _author(finding: Finding, cause: str) -> tuple[float, ...]:
    return finding.usual if cause == USUAL else finding.rates[cause]


def _counts(count: ColumnCount) -> tuple[float, ...]:
    return tuple(map(value_of, count.outcomes))


def _changes(
    finding: Finding, cause: str, count: ColumnCount, strength: float
) -> Mapping[str, Change]:
    author = _author(finding, cause)
    after = [strength * rate + seen for rate, seen in zip(author, _counts(count), strict=True)]
    whole = sum(after)
    new = rounded_rates([one / whole for one in after])
    changes = {
        name: Change(old, rate, *_ends(a, whole - a))
        for name, old, rate, a in zip(finding.outcomes, author, new, after, strict=True)
    }
    return {"true": changes["true"]} if finding.outcomes == ("true", "false") else changes


def _ends(a: float, b: float) -> tuple[float, float]:
    low, high = beta_interval(a, b)
    return round(low, DIGITS), round(high, DIGITS)


def rounded_rates(rates: Sequence[float]) -> list[float]:
    """The rates to four digits, each a rate that a file may hold, still adding up to 1.

    The largest remainders are rounded up; what is lifted to the lowest rate is taken off the
    largest rate.
    """
    unit = 10**DIGITS
    lowest = round(LOWEST_RATE * unit)
    exact = [rate * unit for rate in rates]
    whole = [max(lowest, int(one)) for one in exact]
    by_rest = sorted(range(len(rates)), key=lambda i: (int(exact[i]) - exact[i], i))
    for i in by_rest[: max(0, unit - sum(whole))]:
        whole[i] += 1
    while sum(whole) > unit:
        whole[max(range(len(whole)), key=whole.__getitem__)] -= 1
    return [one / unit for one in whole]


def _none_share(
    rulebook: Rulebook, tally: CountTally, strength: float, least: int
) -> Change | None:
    cases, old = tally.none + tally.listed, rulebook.rules.none_share
    if cases < least:
        return None
    a, b = strength * old + tally.none, strength * (1.0 - old) + tally.listed
    new = round(a / (a + b), DIGITS)
    return None if new == old else Change(old, new, *_ends(a, b))


def _commonness(rulebook: Rulebook, tally: CountTally, strength: float) -> tuple[CauseChange, ...]:
    """The commonness of every cause: it is relative, so all are changed or none."""
    causes = rulebook.rules.causes
    author = [cause.commonness for cause in causes]
    new = commonness_from(author, tally.confirmed, strength)
    scale = sum(author)
    changes = []
    for index, (cause, commonness) in enumerate(zip(causes, new, strict=True)):
        cases = sum(count for (one, _), count in tally.confirmed.items() if one == index)
        faced = sum(count for (_, could), count in tally.confirmed.items() if could >> index & 1)
        # Beta, the margin of a Dirichlet posterior: the share where this cause could exist.
        a, whole = strength * cause.commonness / scale + cases, strength + faced
        low, high = (commonness * end * whole / a for end in beta_interval(a, whole - a))
        numbers = map(_significant, (commonness, low, high))
        changes.append(CauseChange(cause.id, cases, Change(cause.commonness, *numbers)))
    return tuple(changes)


def _significant(value: float) -> float:
    return float(f"{value:.{DIGITS}g}")
