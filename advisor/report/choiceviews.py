"""The choices side by side, in words: for the assessment, its JSON, and the interview."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from advisor.engine.choices import Choice, Course
from advisor.report.cure import remedy_cautions
from advisor.report.wording import minutes, percent
from advisor.rulebook import Rulebook

NO_CHANCE = "-"
HEAD = "expected to the cure | first repair cures | first step takes"
FOOT = "after its first step each goes on with repairs in the best order, without further tests"


@dataclass(frozen=True, slots=True)
class ChoiceView:
    """One way to go on; `cautions` come before its first step, which `step` says in words.

    `minutes` is the expected total from here, `first_step_minutes` that of the first step.
    `cause` is mended or confirmed first, `tests` are done first; the advised one is first of all.
    """

    course: str
    advised: bool
    cause: str | None
    tests: tuple[str, ...]
    cautions: tuple[str, ...]
    step: str
    minutes: float
    first_step_minutes: float
    first_repair_cures: float


def choice_views(rulebook: Rulebook, choices: Iterable[Choice]) -> tuple[ChoiceView, ...]:
    """The choices in words, in the order given; the first is the advised one."""
    return tuple(
        ChoiceView(
            choice.course.value,
            place == 0,
            choice.cause,
            choice.tests,
            _cautions(rulebook, choice),
            _step(rulebook, choice),
            choice.minutes,
            choice.first_minutes,
            choice.first_cures,
        )
        for place, choice in enumerate(choices)
    )


def _cautions(rulebook: Rulebook, choice: Choice) -> tuple[str, ...]:
    if choice.tests or choice.cause is None:
        return rulebook.cautions_before(choice.tests)
    return remedy_cautions(rulebook, choice.cause)


def _step(rulebook: Rulebook, choice: Choice) -> str:
    tests = " and ".join(f'"{rulebook.tests[test].name}"' for test in choice.tests)
    cause = "" if choice.cause is None else f'"{rulebook.causes[choice.cause].name}"'
    match choice.course:
        case Course.REPAIR:
            return f"repair at once, first {cause}"
        case Course.CONFIRM:
            return f"confirm {cause} by {tests}, then repair"
        case Course.TEST:
            return f"test first: {tests}, then repair"
        case Course.HAND_ON:
            return "hand the vehicle on"


def choice_line(choice: ChoiceView) -> str:
    """One choice as a line: its three numbers, in the order of HEAD, then its first step."""
    numbers = (minutes(choice.minutes), chance(choice), minutes(choice.first_step_minutes))
    advised = " (advised)" if choice.advised else ""
    return f"{' | '.join(numbers)}: {choice.step}{advised}"


def chance(choice: ChoiceView) -> str:
    """How likely the first repair of a choice cures; a dash for handing on, which mends nothing."""
    hands_on = choice.course == Course.HAND_ON.value
    return NO_CHANCE if hands_on else percent(choice.first_repair_cures)
