"""All checks of a rulebook that loads, in the order of their codes."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from advisor.rulebook import Problem, Rulebook

from . import (
    cannot_be_proved,
    causes_alike,
    causes_nearly_alike,
    confirm_proves_nothing,
    counted_twice,
    counted_twice_in_part,
    drive_without_caution,
    idle_test,
    leads_nowhere,
    limits_leave_gap,
    never_applies,
    never_asked,
    never_happens,
    never_known,
    only_spoken_against,
    remedy_without_caution,
    tells_little,
    too_long_for_screen,
    verify_without_place,
)


@dataclass(frozen=True, slots=True)
class Check:
    """A check: the code of the problems that it finds, all of them warnings, and how."""

    code: str
    check: Callable[[Rulebook], Iterable[Problem]]


CHECKS = (
    Check(cannot_be_proved.CODE, cannot_be_proved.check),
    Check(causes_alike.CODE, causes_alike.check),
    Check(causes_nearly_alike.CODE, causes_nearly_alike.check),
    Check(confirm_proves_nothing.CODE, confirm_proves_nothing.check),
    Check(counted_twice.CODE, counted_twice.check),
    Check(counted_twice_in_part.CODE, counted_twice_in_part.check),
    Check(drive_without_caution.CODE, drive_without_caution.check),
    Check(idle_test.CODE, idle_test.check),
    Check(leads_nowhere.CODE, leads_nowhere.check),
    Check(limits_leave_gap.CODE, limits_leave_gap.check),
    Check(never_applies.CODE, never_applies.check),
    Check(never_asked.CODE, never_asked.check),
    Check(never_happens.CODE, never_happens.check),
    Check(never_known.CODE, never_known.check),
    Check(only_spoken_against.CODE, only_spoken_against.check),
    Check(remedy_without_caution.CODE, remedy_without_caution.check),
    Check(tells_little.CODE, tells_little.check),
    Check(too_long_for_screen.CODE, too_long_for_screen.check),
    Check(verify_without_place.CODE, verify_without_place.check),
)


def likely_problems(rulebook: Rulebook) -> tuple[Problem, ...]:
    """What is likely wrong, by file, line, column and code."""
    found = [problem for one in CHECKS for problem in one.check(rulebook)]
    return tuple(sorted(found, key=lambda problem: problem.order))
