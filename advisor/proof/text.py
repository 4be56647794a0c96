"""A proof as text: failing examples with their trail, gaps by place, scores as a table."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from advisor.rulebook.draft import SECTIONS

from .coverage import Coverage, Gap
from .mutation.text import mutation_text
from .proving import Proof
from .running import Result
from .tally import Scores, Tally
from .wording import counted, share

INDENT = "   "


def proof_text(proof: Proof) -> str:
    """All that was found; the empty text when there is nothing to mend and no more was wanted."""
    lines: list[str] = []
    for result in proof.failing:
        lines += _closed(result) if result.is_closed_gap else _failing(result)
    if proof.coverage is not None:
        lines += _coverage(proof.coverage)
    if proof.scores is not None:
        lines += _scores(proof.scores)
    if proof.mutation is not None:
        lines.append(mutation_text(proof.mutation))
    return "\n".join(lines)


def summary(proof: Proof) -> str:
    """How many examples there are and how many fail, in one line; each known gap in one more."""
    held_back = sum(result.example.model.held_back for result in proof.results)
    examples = counted(len(proof.results), "example")
    kept = f" ({held_back} held back)" if held_back else ""
    closed, gaps = len(proof.closed_gaps), proof.known_gaps
    failing = len(proof.failing) - closed
    parts = [f"{failing or 'none'} {'fail' if failing > 1 else 'fails'}"]
    if closed:
        parts.append(f"{counted(closed, 'known gap')} {'are' if closed > 1 else 'is'} closed")
    if gaps:
        parts.append(f"{counted(len(gaps), 'known gap')}:")
    return "\n".join([f"{examples}{kept}: {', '.join(parts)}", *map(_known_gap, gaps)])


def _known_gap(result: Result) -> str:
    return f"{INDENT}{_gap_place(result)}: {result.example.model.known_gap}"


def _closed(result: Result) -> Iterator[str]:
    yield f"{_gap_place(result)}: the gap is closed: take out known_gap"


def _gap_place(result: Result) -> str:
    example = result.example
    mark = example.mark("known_gap")
    return f"{example.document.path}:{mark.line}:{mark.column}: {example.id}"


def _failing(result: Result) -> Iterator[str]:
    """Each expectation that was not met; a trail that two of them share is shown once."""
    example = result.example
    shown: set[tuple[str, ...]] = set()
    for failure in result.failures:
        place = f"{example.document.path}:{failure.line}:{failure.column}"
        yield f"{place}: {example.id}: expected {failure.expected}; came out: {failure.found}"
        for part in failure.trail:
            if part not in shown:
                shown.add(part)
                yield from (f"{INDENT}{line}" for line in part)


def _coverage(coverage: Coverage) -> Iterator[str]:
    yield from _gaps(
        "outcomes that no example shows",
        coverage.outcomes,
        lambda gap: f"no example makes it {_either(gap.missing)}",
    )
    yield from _gaps(
        "items of all and any on which no example turned",
        coverage.items,
        lambda gap: f"no example has {gap.missing[0]}",
    )
    yield from _gaps(
        "causes that no example finds first",
        coverage.never_first,
        lambda gap: "no passing example expects it first",
    )
    yield from _gaps(
        "causes without a near miss",
        coverage.no_near_miss,
        lambda gap: "no passing example says near_miss_of",
    )


def _either(outcomes: Iterable[str]) -> str:
    *others, last = outcomes
    return f"{', '.join(others)} or {last}" if others else last


def _gaps(heading: str, gaps: tuple[Gap, ...], words: Callable[[Gap], str]) -> Iterator[str]:
    yield f"{heading}: {len(gaps) or 'none'}"
    for gap in gaps:
        place = f"{gap.path}:{gap.line}:{gap.column}"
        yield f'{INDENT}{place}: {SECTIONS[gap.section]} "{gap.id}": {words(gap)}'


def _scores(scores: Scores) -> Iterator[str]:
    for name, tally in (("other examples", scores.seen), ("held back", scores.held_back)):
        if tally is None:
            yield f"scores of {name}: no example here says what is right (first or pair)"
        else:
            yield f"scores of {name}: {counted(tally.examples, 'example')} with a right cause"
            yield from (f"{INDENT}{line}" for line in _tally(tally))


def _tally(tally: Tally) -> Iterator[str]:
    yield f"right cause first: {share(tally.first)}, within the first three: " + share(
        tally.first_three
    )
    yield f"log score: {tally.log_score:.3f} nat, Brier score over causes: {tally.brier:.3f}"
    yield (
        f"when the planner leads: {tally.minutes:.1f} min, {tally.questions:.1f} questions, "
        f"right cause first: {share(tally.first_after_walk)}"
    )
    parts = tally.parts
    yield (
        f"calibration error: {tally.calibration_error:.3f}; reliability {parts.reliability:.4f}, "
        f"resolution {parts.resolution:.4f}, uncertainty {parts.uncertainty:.4f}"
    )
    yield "foretold  forecasts  came true  share, 95 % interval"
    yield from (one.as_line() for one in tally.calibration)
