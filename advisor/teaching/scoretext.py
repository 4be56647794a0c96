"""The score as a page of text. Not yet wrapped."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.report.wording import cause_name, decibans, minutes, percent
from advisor.rulebook import Rulebook

from .score import Advice, Score, ScoredStep, Tally

_ENDS = {"cured": "cured", "handed-on": "handed on", None: "not finished"}


def score_text(score: Score, rulebook: Rulebook, *, told: bool = True) -> str:
    """The score in words. With `told` false the fault is kept back: the lesson isn't over."""
    return "\n".join(_lines(score, rulebook, told=told))


def _lines(score: Score, rulebook: Rulebook, *, told: bool) -> Iterator[str]:
    learner, advisor = score.learner, score.advisor
    yield (
        f"vehicle: number {score.number} of seed {score.seed}, "
        f"rulebook {score.rulebook} {score.version}"
    )
    if not told:
        yield from _tally_lines("so far", learner)
        yield "the fault and the advisor's way are told when the vehicle is cured or handed on"
        return
    faults = [cause_name(rulebook, fault) for fault in score.faults] or [cause_name(rulebook, None)]
    yield f"what was wrong: {'; and: '.join(faults)}"
    yield ""
    yield from _tally_lines("you", learner)
    yield from _tally_lines("the advisor", advisor)
    yield f"- the opening took {minutes(score.opening_minutes)} of both"
    yield ""
    yield "your steps, what each told, and what the advisor would have done in its stead:"
    for number, step in enumerate(learner.steps, 1):
        yield from _step_lines(number, step, rulebook)
    if not learner.steps:
        yield "- none"
    yield ""
    yield "the advisor's own way:"
    for number, step in enumerate(advisor.steps, 1):
        yield f"{number}. {_done(step, rulebook)}"
    yield ""
    yield (
        "db are decibans toward what really was wrong: +10 makes it ten times as likely against "
        "the rest. bits are doubt taken away. A step paid when it lowered the minutes of repair "
        "to expect by more than it took; that holds some luck."
    )


def _tally_lines(who: str, tally: Tally) -> Iterator[str]:
    wrong = _count(tally.wrong_repairs, "wrong repair", "wrong repairs")
    yield (
        f"- {who}: {minutes(tally.minutes)}, {_count(tally.tests, 'test', 'tests')}, {wrong}"
        + (f", {_count(tally.hints, 'hint', 'hints')}" if tally.hints else "")
        + f", {_ENDS[tally.end]}"
    )
    if tally.unsafe_steps:
        times = _count(tally.unsafe_steps, "time", "times")
        yield f"  FAULT: driven {times} while known to be unsafe to drive"


def _count(count: int, one: str, more: str) -> str:
    return f"{count or 'no'} {one if count == 1 else more}"


def _step_lines(number: int, step: ScoredStep, rulebook: Rulebook) -> Iterator[str]:
    verdict = "it paid" if step.paid else "it did not pay"
    if step.kind == "repair":
        verdict = "a wrong repair" if step.wrong else "a right repair"
    told = "" if step.kind == "handed-on" else f"; {verdict}"
    yield f"{number}. {_done(step, rulebook)}{told}"
    if step.unsafe:
        yield "   FAULT: the vehicle was known to be unsafe to drive"
    if step.followed:
        yield "   as the advisor"
    else:
        yield f"   advisor: {_advice(step.advice, rulebook)}"


def _done(step: ScoredStep, rulebook: Rulebook) -> str:
    """The step with its minutes and, of a test, what it told."""
    told = f"; {_told(step)}" if step.kind == "test" else ""
    return f"{_what(step, rulebook)}: {minutes(step.minutes)}{told}"


def _what(step: ScoredStep, rulebook: Rulebook) -> str:
    if step.kind == "handed-on":
        return "hand the vehicle on"
    assert step.id is not None
    if step.kind == "repair":
        return f"mend: {cause_name(rulebook, step.id)}"
    return rulebook.tests[step.id].name


def _told(step: ScoredStep) -> str:
    if abs(step.told_bits) < 0.005 and abs(step.toward_truth_db) < 0.05:
        return "told nothing"
    return (
        f"{decibans(step.toward_truth_db)}, {step.told_bits:+.1f} bits; "
        f"what was wrong then at {percent(step.truth_probability)}"
    )


def _advice(advice: Advice, rulebook: Rulebook) -> str:
    if advice.test is not None:
        assert advice.saves is not None
        name, place = rulebook.tests[advice.test].name, rulebook.tests[advice.test].place
        where = rulebook.places[place].name
        return f"{name} ({where}), as it saves about {minutes(advice.saves)} on average"
    if advice.repair is not None:
        assert advice.probability is not None
        name = cause_name(rulebook, advice.repair)
        return f"mend: {name}, at {percent(advice.probability)}; no test pays any more"
    return "hand the vehicle on, as no repair is worth its minutes"
