"""An assessment as lines of text, cautions before the step that needs them. Not yet wrapped."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from advisor.report.assessment import (
    SHOWN_CAUSES,
    Assessment,
    CauseView,
    EvidenceLine,
    TestView,
)
from advisor.report.choiceviews import FOOT, HEAD, choice_line
from advisor.report.cure import Cure
from advisor.report.doubts import Doubts
from advisor.report.ringstext import rings_lines
from advisor.report.wording import (
    NONE_OF_THE_LISTED,
    decibans,
    minutes,
    named,
    one_line,
    percent,
)

SHOWN_EVIDENCE = 4  # lines for a cause, and as many against it
WORTH_EVIDENCE = 0.05  # a cause less probable than this is named without its evidence
TELLING = 0.5  # decibans; less is not worth a line


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


def _stops(assessment: Assessment) -> Iterator[str]:
    for stop in assessment.stop_driving:
        yield "STOP DRIVING" + ("" if stop.certain else " until this is settled") + f": {stop.says}"
        yield f"   {stop.caution}"


def _ranking(assessment: Assessment) -> Iterator[str]:
    yield "CAUSES, most probable first"
    none = assessment.none_of_the_listed
    none_line = f" -  {percent(none)}: {NONE_OF_THE_LISTED}"
    shown_none = False
    for place, cause in enumerate(assessment.causes[:SHOWN_CAUSES], 1):
        if not shown_none and none >= cause.probability:
            shown_none = True
            yield none_line
        yield f"{place:2}. {percent(cause.probability)}: {cause.name}"
        if place == 1 or cause.probability >= WORTH_EVIDENCE:
            yield from evidence_lines(cause)
    rest = assessment.causes[SHOWN_CAUSES:]
    if not shown_none:
        yield none_line
    if rest:
        yield f"    {len(rest)} more causes, the next one {percent(rest[0].probability)}"
    if assessment.pairs:
        pair = assessment.pairs[0]
        yield (
            f"    two causes at once: {percent(assessment.two_at_once)}; most likely "
            f'"{pair.names[0]}" with "{pair.names[1]}" ({percent(pair.probability)})'
        )


def evidence_lines(cause: CauseView) -> Iterator[str]:
    """What speaks for a cause and against it, the strongest first, the rest summed up."""
    told = [line for line in cause.evidence if abs(line.decibans) >= TELLING]
    for word, lines in (
        ("for", [line for line in told if line.decibans > 0.0]),
        ("against", [line for line in told if line.decibans < 0.0]),
    ):
        for line in lines[:SHOWN_EVIDENCE]:
            yield f"      {word}: {_told(line)}"
        if len(lines) > SHOWN_EVIDENCE:
            more = sum(line.decibans for line in lines[SHOWN_EVIDENCE:])
            yield f"      {word}: {len(lines) - SHOWN_EVIDENCE} more, {decibans(more)} in all"


def _told(line: EvidenceLine) -> str:
    return f"{line.says}: {line.outcome} ({decibans(line.decibans)})"


def _doubts(doubts: Doubts) -> Iterator[str]:
    yield "HOW SURE"
    yield f"   {doubts.verdict}"
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


def _next_step(assessment: Assessment) -> Iterator[str]:
    yield "WHAT TO DO NEXT"
    if assessment.next_test is not None:
        yield from _test(assessment.next_test)
    elif assessment.repairs:
        yield "   no test is worth its minutes any more; repair in this order:"
        yield from _repairs(assessment)
    else:
        yield "   no test and no repair of this rulebook is worth its minutes: hand the vehicle on"
    told = set(assessment.next_test.cautions if assessment.next_test else ())
    for missed in assessment.missed_tests:
        yield (
            f"   with the missing {' and '.join(missed.gauges)}: {missed.name} would save "
            f"{minutes(missed.saves_minutes)} on average"
        )
    for option in _tests_told(assessment)[1:]:
        yield from _cautions(text for text in option.cautions if text not in told)
        told.update(option.cautions)
        verb = "saves" if option.saves_minutes >= 0.0 else "costs"
        yield (
            f"   or: {option.name} ({option.place}, {minutes(option.minutes)}; "
            f"{verb} {minutes(abs(option.saves_minutes))} on average)"
        )


def _choices(assessment: Assessment) -> Iterator[str]:
    """The ways to go on. Cautions stand before them all, so that the numbers can be compared."""
    yield "THE CHOICES SIDE BY SIDE"
    cure = assessment.cure
    told = {caution for test in _tests_told(assessment) for caution in test.cautions}
    yield from _cautions(
        caution
        for caution in dict.fromkeys(
            caution
            for choice in assessment.choices
            if cure is None or choice.tests or choice.cause != cure.cause  # they follow with it
            for caution in choice.cautions
        )
        if caution not in told
    )
    yield f"   {HEAD}"
    yield from (f" - {choice_line(choice)}" for choice in assessment.choices)
    yield f"   {FOOT}"


def _tests_told(assessment: Assessment) -> tuple[TestView, ...]:
    """The tests that "what to do next" names, with their cautions."""
    if assessment.next_test is None:
        return ()
    return (assessment.next_test, *assessment.other_tests)


def _test(test: TestView) -> Iterator[str]:
    yield from _cautions(test.cautions)
    yield f"   {test.name}"
    together = f", with: {'; '.join(test.together_with)}" if test.together_with else ""
    yield (
        f"   {test.place}, {minutes(test.minutes)} with the way there{together}; "
        f"saves {minutes(test.saves_minutes)} on average"
    )
    if test.how:
        yield f"   how: {test.how}"
    for outcome in test.outcomes:
        yield (
            f"   - {outcome.says}: {outcome.outcome} ({percent(outcome.probability)}): then "
            f'"{outcome.leading}" {percent(outcome.leading_probability)}'
        )


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
    yield "   limits and torques: the vehicle maker's service information comes first"


def _facts(assessment: Assessment) -> Iterator[str]:
    if assessment.facts:
        yield "KNOWN SO FAR"
        yield from (f"   {named(fact.name, one_line(fact.value))}" for fact in assessment.facts)
