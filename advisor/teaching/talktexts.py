"""What the lesson says: places, tests, results, repairs. Not yet wrapped."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from advisor.engine.rules import Place, Test
from advisor.report.wording import HARD_SPACE, cause_name, minutes, percent
from advisor.rulebook import NumberQuestion, Rulebook, YesNoFinding

from .lesson import Lesson
from .work import DONT_KNOW, Shown, Work

MOST_CAUSES_SHOWN = 8

HELP = """These words work here:
- a number: go to the place, or do the test, of this number
- part of a test's name: the tests with these words
- facts: all that is known so far
- repair: choose what to mend
- ranking: the causes as they stand; it counts as a hint
- hand-on: give the vehicle away, uncured
- back: the list before
- stop: save and leave"""


def greeting(lesson: Lesson) -> str:
    """Which vehicle it is, and what is to be done."""
    practice = lesson.practice
    lines = [
        f"practice vehicle {practice.number} of seed {practice.seed}, "
        f"rulebook {practice.rulebook.id} {practice.rulebook.version}",
        "Something is wrong with it. Find it with few minutes, mend it, and leave the rest alone.",
    ]
    if practice.steps:
        lines.append(f"this lesson goes on: {minutes(lesson.work.minutes)} spent so far")
    return "\n".join(lines)


def results(work: Work, shown: Iterable[Shown]) -> str:
    """What questions showed, a line each: a number with its unit, an option by its label."""
    lines = [f"- {work.rulebook.questions[one.question].ask} {_answer(work, one)}" for one in shown]
    return "\n".join(lines or ["- nothing more"])


def _answer(work: Work, one: Shown) -> str:
    """A number as it was read off, anything else in words."""
    if isinstance(work.rulebook.questions[one.question], NumberQuestion):
        return one.text if one.text != DONT_KNOW else "the gauge shows nothing"
    value = work.rulebook.parse_answer(one.question, one.text)
    return work.rulebook.show_value(one.question, value)


def facts(work: Work) -> str:
    """All that is known so far."""
    return "\n".join(["known so far:", results(work, work.shown)])


def place_lines(work: Work, places: Sequence[tuple[Place, Sequence[Test]]]) -> str:
    """The places with something left to do, numbered, with the minutes of the way."""
    lines = ["where next?"]
    for number, (place, tests) in enumerate(places, 1):
        name = work.rulebook.places[place.id].name
        way = "you are here" if place.id == work.at else f"{minutes(place.minutes)} there"
        count = f"{len(tests)} test{'' if len(tests) == 1 else 's'}"
        shut = ", NOT SAFE TO DRIVE" if place.driving and work.diagnosis.stops() else ""
        lines.append(f"{number}. {name} ({way}, {count}{shut})")
    lines.append('(a number, part of a test\'s name, "repair", or "help")')
    return "\n".join(lines)


def lines_of(work: Work, tests: Sequence[Test]) -> str:
    """Tests to choose from, numbered, with their minutes as they are now."""
    lines = ["which test?"]
    one_place = len({test.place for test in tests}) == 1
    lines += [
        f"{number}. {line_of(work, test, with_place=not one_place)}"
        for number, test in enumerate(tests, 1)
    ]
    lines.append('(a number, or "back")')
    return "\n".join(lines)


def line_of(work: Work, test: Test, *, with_place: bool) -> str:
    """A test's name, place and minutes from here."""
    rulebook = work.rulebook
    way = " with the way there" if work.minutes_to(test.place) else ""
    where = f"{rulebook.places[test.place].name}, " if with_place else ""
    return f"{rulebook.tests[test.id].name} ({where}{minutes(work.minutes_of(test))}{way})"


def before_test(work: Work, test: Test) -> str:
    """The cautions of the place and the test."""
    return _cautions(work.rulebook.cautions_before([test.id]))


def _cautions(texts: Iterable[str]) -> str:
    return "\n".join(f"caution: {text}" for text in texts)


def stops(work: Work, findings: Iterable[str]) -> str:
    """Why the vehicle is not to be driven, with the cautions."""
    lines = []
    for finding in findings:
        model = work.rulebook.findings[finding]
        lines.append(f"STOP DRIVING this vehicle: {model.says}")
        if isinstance(model, YesNoFinding) and model.stop_driving:
            lines.append(f"caution: {work.rulebook.cautions[model.stop_driving].text}")
    return "\n".join(lines)


def cause_lines(rulebook: Rulebook, causes: Sequence[str]) -> str:
    """Causes to mend, numbered, with the minutes of the repair and its proof."""
    lines = ["mend which cause?"]
    for number, cause in enumerate(causes, 1):
        model = rulebook.causes[cause]
        cost = minutes(model.remedy.minutes + model.verify.minutes)
        lines.append(f"{number}. {model.name} ({cost} with its proof)")
    lines.append('(a number, part of a name, or "back")')
    return "\n".join(lines)


def before_repair(rulebook: Rulebook, cause: str) -> str:
    """The cautions of the remedy and of the place where it is proved, then its steps."""
    model = rulebook.causes[cause]
    where = model.verify.place
    ids = dict.fromkeys(
        (*model.remedy.cautions, *(rulebook.places[where].cautions if where else ()))
    )
    cautions = [f"caution: {rulebook.cautions[name].text}" for name in ids]
    return "\n".join([*cautions, "repair:", *(f"- {step}" for step in model.remedy.steps)])


def after_repair(rulebook: Rulebook, cause: str, *, cured: bool) -> str:
    """Whether the complaint is gone, and by what it was proved."""
    model = rulebook.causes[cause]
    head = "CURED" if cured else "NOT CURED: the complaint remains"
    return "\n".join([f"{head}. proof:", *(f"- {step}" for step in model.verify.steps)])


def before_hand_on(rulebook: Rulebook) -> str:
    """What handing the vehicle on costs."""
    cost = minutes(rulebook.rules.escalation_minutes)
    return f'hand it on, uncured, for {cost}? ("yes"; Enter: no)'


def ranking(work: Work) -> str:
    """The most probable causes, and *none of the listed*."""
    result = work.diagnosis.ranking()
    lines = ["hint, the causes as they stand:"]
    lines += [
        f"{place}. {cause_name(work.rulebook, one.cause)}: {percent(one.probability)}"
        for place, one in enumerate(result.causes[:MOST_CAUSES_SHOWN], 1)
    ]
    lines.append(f"- {cause_name(work.rulebook, None)}: {percent(result.none_probability)}")
    return "\n".join(lines)


def status(work: Work) -> tuple[str, ...]:
    """The line at the bottom of a screen: minutes, then the place."""
    return f"{minutes(work.minutes)} spent", work.rulebook.places[work.at].name.replace(
        " ", HARD_SPACE
    )
