"""What came of a rulebook's mutants, as text and as data."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Any

from advisor.rulebook import Rulebook
from advisor.rulebook.draft import SECTIONS

from .mutants import KINDS, RATE_KINDS, Mutant
from .running import Mutation
from .trial import Outcome

INDENT = "   "
SHOWN_CAUSES = 4  # of a finding whose rates no example feels; the others are counted


def mutation_text(found: Mutation) -> str:
    """How many mutants of each kind an example notices, and those that none does, by place."""
    return "\n".join(_lines(found))


def _lines(found: Mutation) -> Iterator[str]:
    sample = f" (a sample of {found.total}, seed {found.sampling.seed})"
    tried = len(found.tried)
    share = found.count(Outcome.NOTICED) / tried if tried else 0.0
    yield (
        f"mutants: {tried}{sample if tried < found.total else ''}, "
        f"noticed by an example: {share:.0%}"
    )
    width = max(map(len, KINDS))
    yield f"{INDENT}{'kind':<{width}}  noticed  unnoticed  untouched  what was changed"
    for kind, meaning in KINDS.items():
        counts = [found.count(one, kind) for one in reversed(Outcome)]
        noticed, unnoticed, untouched = counts
        if sum(counts):
            yield (
                f"{INDENT}{kind:<{width}}  {noticed:>7}  {unnoticed:>9}  {untouched:>9}  {meaning}"
            )
    headings = {
        Outcome.UNNOTICED: "changes that some vehicle feels and no example notices",
        Outcome.UNTOUCHED: "changes that alter nothing on any example's answers",
    }
    for outcome, heading in headings.items():
        survivors = found.those(outcome)
        yield f"{heading}: {len(survivors) or 'none'}"
        yield from _survivors(found.rulebook, survivors)


def _survivors(rulebook: Rulebook, survivors: Sequence[Mutant]) -> Iterator[str]:
    """A line each, by place; the rates of one finding share a line for each kind."""
    lines = []
    for mutant in survivors:
        if mutant.kind not in RATE_KINDS:
            place = mutant.place(rulebook)
            key = (place.path, place.line, place.column)
            lines.append((key, f"{_called(mutant)}: {mutant.kind}: {mutant.says}"))
    rates = sorted(
        (one for one in survivors if one.kind in RATE_KINDS), key=lambda one: (one.id, one.kind)
    )
    for _, group in groupby(rates, key=lambda one: (one.id, one.kind)):
        alike = list(group)
        place = rulebook.place_of("findings", alike[0].id)
        causes = [str(one.steps[-1]) for one in alike]
        more = len(causes) - SHOWN_CAUSES
        shown = ", ".join(causes[:SHOWN_CAUSES]) + (f" and {more} more" if more > 0 else "")
        key = (place.path, place.line, place.column)
        lines.append((key, f"{_called(alike[0])}: {alike[0].kind}: {shown}"))
    for (path, line, column), words in sorted(lines):
        yield f"{INDENT}{path}:{line}:{column}: {words}"


def _called(mutant: Mutant) -> str:
    return f'{SECTIONS[mutant.section]} "{mutant.id}"'


def mutation_data(found: Mutation) -> dict[str, Any]:
    """The same as plain data for JSON, with every mutant."""
    return {
        "total": found.total,
        "seed": found.sampling.seed,
        "mutants": [_mutant_data(found.rulebook, *one) for one in found.tried],
    }


def _mutant_data(rulebook: Rulebook, mutant: Mutant, outcome: Outcome) -> dict[str, Any]:
    place = mutant.place(rulebook)
    return {
        "kind": mutant.kind,
        "section": mutant.section,
        "id": mutant.id,
        "change": mutant.says,
        "path": place.path,
        "line": place.line,
        "column": place.column,
        "outcome": outcome.name.lower(),
    }
