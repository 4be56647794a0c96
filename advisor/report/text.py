"""An assessment as lines of text, cautions before the step that needs them. Not yet wrapped."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from advisor.report.assessment import Assessment, CauseView, EvidenceLine, TestView
from advisor.report.choiceviews import FOOT, HEAD, choice_line
from advisor.report.cure import Cure
from advisor.report.doubts import Doubts
from advisor.report.ringstext import rings_lines
from advisor.report.sentences import (
    HAND_ON,
    MAKER_FIRST,
    NO_TEST_PAYS,
    cautions_of_choices,
    doubt_lines,
    ended,
    evidence_sides,
    missed_test,
    other_test,
    outcome_sentence,
    ranked_lines,
    ranking_notes,
    tests_told,
    where_and_when,
)
from advisor.report.wording import (
    NONE_OF_THE_LISTED,
    decibans,
    minutes,
    named,
    one_line,
    percent,
)


def assessment_text(assessment: Assessment) -> str:
    """The whole assessment; sections are parted by empty lines."""
    sections = (
        _head(assessment),
        _stops(assessment),
        _ranking(assessment),
        _doubts(assessment.doubts),
        _next_step(assessment),
        _choices(assessment),
        cure_lines(assessment.cure),
        _facts(assessment),
    )
    return "\n\n".join("\n".join(lines) for section in sections if (lines := list(section)))


def _head(assessment: Assessment) -> Iterator[str]:
    yield (
        f"case {assessment.case}: rulebook {assessment.rulebook} {assessment.rulebook_version}, "
        f"{minutes(assessment.minutes_spent)} spent so far"
    )
    if assessment.vehicle:
        yield f"vehicle: {one_line(assessment.vehicle)}"
    if assessment.complaint:
        yield f'complaint: "{one_line(assessment.complaint)}"'
    if assessment.confirmed:
        yield f"closed: {ended(assessment)}"


def _stops(assessment: Assessment) -> Iterator[str]:
    for stop in assessment.stop_driving:
        yield "STOP DRIVING" + ("" if stop.certain else " until this is settled") + f": {stop.says}"
        yield f"   {stop.caution}"


def _ranking(assessment: Assessment) -> Iterator[str]:
    yield "CAUSES, most probable first"
    for line in ranked_lines(assessment):
        if line.cause is None:
            yield f" -  {percent(line.probability)}: {NONE_OF_THE_LISTED}"
            continue
        yield f"{line.place:2}. {percent(line.probability)}: {line.cause.name}"
        if line.with_evidence:
            yield from evidence_lines(line.cause)
    yield from (f"    {note}" for note in ranking_notes(assessment))


def evidence_lines(cause: CauseView) -> Iterator[str]:
    """What speaks for a cause and against it, the strongest first, the rest summed up."""
    for side in evidence_sides(cause):
        for line in side.lines:
            yield f"      {side.word}: {_told(line)}"
        if side.more:
            yield f"      {side.word}: {side.more} more, {decibans(side.more_decibans)} in all"


def _told(line: EvidenceLine) -> str:
    return f"{line.says}: {line.outcome} ({decibans(line.decibans)})"


def _doubts(doubts: Doubts) -> Iterator[str]:
    yield "HOW SURE"
    yield f"   {doubts.verdict}"
    yield from doubt_lines(doubts)


def _next_step(assessment: Assessment) -> Iterator[str]:
    yield "WHAT TO DO NEXT"
    if assessment.next_test is not None:
        yield from _test(assessment.next_test)
    elif assessment.repairs:
        yield f"   {NO_TEST_PAYS}"
        yield from _repairs(assessment)
    else:
        yield f"   {HAND_ON}"
    told = set(assessment.next_test.cautions if assessment.next_test else ())
    yield from (f"   {missed_test(missed)}" for missed in assessment.missed_tests)
    for option in tests_told(assessment)[1:]:
        yield from _cautions(text for text in option.cautions if text not in told)
        told.update(option.cautions)
        yield f"   {other_test(option)}"


def _choices(assessment: Assessment) -> Iterator[str]:
    """The ways to go on. Cautions stand before them all, so that the numbers can be compared."""
    yield "THE CHOICES SIDE BY SIDE"
    yield from _cautions(cautions_of_choices(assessment))
    yield f"   {HEAD}"
    yield from (f" - {choice_line(choice)}" for choice in assessment.choices)
    yield f"   {FOOT}"


def _test(test: TestView) -> Iterator[str]:
    yield from _cautions(test.cautions)
    yield f"   {test.name}"
    yield f"   {where_and_when(test)}"
    if test.how:
        yield f"   how: {test.how}"
    yield from (f"   - {outcome_sentence(outcome)}" for outcome in test.outcomes)


def _repairs(assessment: Assessment) -> Iterator[str]:
    for place, repair in enumerate(assessment.repairs, 1):
        yield (
            f"   {place}. {repair.name} ({percent(repair.probability)}, "
            f"{minutes(repair.minutes)} with its proof)"
        )
    yield f"   expected to the cure: {minutes(assessment.expected_minutes)}"


def _cautions(cautions: Iterable[str]) -> Iterator[str]:
    for caution in cautions:
        yield f"   CAUTION: {caution}"


def cure_lines(cure: Cure | None) -> Iterator[str]:
    """A cure step by step, its cautions first, then its proof and what to write down."""
    if cure is None:
        return
    yield f"THE CURE, if it is this: {cure.name}"
    yield f"   {cure.what}"
    yield from _cautions(cure.cautions)
    yield from (f"   {place}. {step}" for place, step in enumerate(cure.steps, 1))
    yield from (f"   computed: {named(shown.name, shown.value)}" for shown in cure.computed)
    if cure.rings is not None:
        yield from rings_lines(cure.rings)
    yield f"   takes {minutes(cure.minutes)}; proof of cure, {minutes(cure.proof_minutes)}:"
    yield from _cautions(text for text in cure.proof_cautions if text not in cure.cautions)
    yield from (f"   {place}. {step}" for place, step in enumerate(cure.proof, 1))
    yield from (f"   write down: {item}" for item in cure.record)
    yield f"   {MAKER_FIRST}"


def _facts(assessment: Assessment) -> Iterator[str]:
    if assessment.facts:
        yield "KNOWN SO FAR"
        yield from (f"   {named(fact.name, one_line(fact.value))}" for fact in assessment.facts)
