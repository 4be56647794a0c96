"""What is told of an assessment, and in which words: the same in the text and on the page."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from advisor.report.assessment import (
    SHOWN_CAUSES,
    Assessment,
    CauseView,
    EvidenceLine,
    MissedTest,
    OutcomeView,
    TestView,
)
from advisor.report.doubts import Doubts
from advisor.report.wording import minutes, percent

SHOWN_EVIDENCE = 4  # lines for a cause, and as many against it
WORTH_EVIDENCE = 0.05  # a cause less probable than this is named without its evidence
TELLING = 0.5  # decibans; less is not worth a line

NO_TEST_PAYS = "no test is worth its minutes any more; repair in this order:"
HAND_ON = "no test and no repair of this rulebook is worth its minutes: hand the vehicle on"
MAKER_FIRST = "limits and torques: the vehicle maker's service information comes first"


@dataclass(frozen=True, slots=True)
class RankedLine:
    """One line of the ranking; `cause` and `place` are None for none of the listed causes."""

    place: int | None
    cause: CauseView | None
    probability: float
    with_evidence: bool


@dataclass(frozen=True, slots=True)
class Side:
    """The evidence for or against a cause: lines that are shown, and how many more there are."""

    word: str
    lines: tuple[EvidenceLine, ...]
    more: int
    more_decibans: float


def ended(assessment: Assessment) -> str:
    """How a closed case ended, and what the rest tells then."""
    what = " and ".join(f'"{name}"' for name in assessment.confirmed)
    return f"it was {what}; below is how things stood before that was known"


def ranked_lines(assessment: Assessment) -> Iterator[RankedLine]:
    """The first causes, with none of the listed where it belongs, at the latest as the last."""
    none = RankedLine(None, None, assessment.none_of_the_listed, False)
    shown_none = False
    for place, cause in enumerate(assessment.causes[:SHOWN_CAUSES], 1):
        if not shown_none and none.probability >= cause.probability:
            shown_none = True
            yield none
        with_evidence = place == 1 or cause.probability >= WORTH_EVIDENCE
        yield RankedLine(place, cause, cause.probability, with_evidence)
    if not shown_none:
        yield none


def ranking_notes(assessment: Assessment) -> Iterator[str]:
    """How many causes more there are, and the likeliest two at once."""
    rest = assessment.causes[SHOWN_CAUSES:]
    if rest:
        yield f"{len(rest)} more causes, the next one {percent(rest[0].probability)}"
    if assessment.pairs:
        pair = assessment.pairs[0]
        yield (
            f"two causes at once: {percent(assessment.two_at_once)}; most likely "
            f'"{pair.names[0]}" with "{pair.names[1]}" ({percent(pair.probability)})'
        )


def evidence_sides(cause: CauseView) -> tuple[Side, Side]:
    """What speaks for a cause and what against it, most telling first."""
    told = [line for line in cause.evidence if abs(line.decibans) >= TELLING]
    return (
        _side("for", [line for line in told if line.decibans > 0.0]),
        _side("against", [line for line in told if line.decibans < 0.0]),
    )


def _side(word: str, lines: list[EvidenceLine]) -> Side:
    rest = lines[SHOWN_EVIDENCE:]
    more = sum(line.decibans for line in rest)
    return Side(word, tuple(lines[:SHOWN_EVIDENCE]), len(rest), more)


def doubt_lines(doubts: Doubts) -> Iterator[str]:
    """What speaks against taking the ranking as settled, without the verdict; more is indented."""
    for call in doubts.close_calls:
        yield f" - {call.says}: {call.outcome}"
        if call.reading:
            yield f"     read: {call.reading}"
            yield f"     would settle it: {call.settled_by}"
    for conflict in doubts.disagreements:
        yield (
            f" - measured and computed disagree: {conflict.name} measured {conflict.measured}, "
            f"computed {conflict.computed}; check both"
        )
    for look in doubts.second_looks:
        yield (
            f" - worth a second look: {look.says}: {look.outcome}; "
            f"only {percent(look.probability)} to be expected after all the other answers"
        )
    for change in doubts.would_change:
        tense = "were it" if change.is_known else "should it be"
        yield (
            f' - {change.says}: {tense} "{change.outcome}", '
            f'"{change.leading}" would lead ({percent(change.probability)} likely)'
        )


def where_and_when(test: TestView) -> str:
    """Where a test is done, how long it takes and what it saves."""
    together = f", with: {'; '.join(test.together_with)}" if test.together_with else ""
    return (
        f"{test.place}, {minutes(test.minutes)} with the way there{together}; "
        f"saves {minutes(test.saves_minutes)} on average"
    )


def outcome_sentence(outcome: OutcomeView) -> str:
    """What one outcome of a test would mean."""
    return (
        f"{outcome.says}: {outcome.outcome} ({percent(outcome.probability)}): then "
        f'"{outcome.leading}" {percent(outcome.leading_probability)}'
    )


def other_test(test: TestView) -> str:
    """A test that could be done instead."""
    verb = "saves" if test.saves_minutes >= 0.0 else "costs"
    return (
        f"or: {test.name} ({test.place}, {minutes(test.minutes)}; "
        f"{verb} {minutes(abs(test.saves_minutes))} on average)"
    )


def missed_test(missed: MissedTest) -> str:
    """What a gauge that is not there would save."""
    return (
        f"with the missing {' and '.join(missed.gauges)}: {missed.name} would save "
        f"{minutes(missed.saves_minutes)} on average"
    )


def tests_told(assessment: Assessment) -> tuple[TestView, ...]:
    """The tests that are told with their cautions as what to do next."""
    if assessment.next_test is None:
        return ()
    return (assessment.next_test, *assessment.other_tests)


def cautions_of_choices(assessment: Assessment) -> tuple[str, ...]:
    """The cautions to heed before any of the choices; those that stand with its step are left out.

    They come before all choices, so that the numbers can be compared.
    """
    cure = assessment.cure
    told = {caution for test in tests_told(assessment) for caution in test.cautions}
    return tuple(
        dict.fromkeys(
            caution
            for choice in assessment.choices
            if cure is None or choice.tests or choice.cause != cure.cause  # they follow with it
            for caution in choice.cautions
            if caution not in told
        )
    )
