"""After the tests: which repair was done, and whether it cured the vehicle."""

from __future__ import annotations

import re
from dataclasses import dataclass

from advisor.cases import CaseSession, Result
from advisor.engine.repair import RepairStep
from advisor.layout import clean_line
from advisor.report.wording import cause_name, minutes, percent

from .asking import Stopped
from .port import Fault, Port, Prompt, Tone
from .roles import Role
from .words import Word, word_in

CURED, NOT_CURED = "cured", "not cured"
_REPLY = re.compile(rf"(\d+)\s*[:,]?\s*({NOT_CURED}|{CURED})")


@dataclass(frozen=True, slots=True)
class Tried:
    """A repair that was done, by its cause, and whether the complaint is gone."""

    cause: str
    cured: bool


@dataclass(frozen=True, slots=True)
class Repairs:
    """The repairs that stand to choose from, in the order in which to try them."""

    steps: tuple[RepairStep, ...]

    def tried(self, typed: str) -> Tried | None:
        """What a reply such as "1 not cured" says, or None when it can't be read."""
        match = _REPLY.fullmatch(typed.strip().casefold())
        if match is None or not 0 < int(match[1]) <= len(self.steps):
            return None
        return Tried(self.steps[int(match[1]) - 1].cause, match[2] == CURED)

    def fault(self, typed: str) -> Fault | None:
        """Why a typed text is no reply."""
        if not typed.strip() or self.tried(typed) or word_in(typed, bare=True) is Word.STOP:
            return None
        return Fault(
            f'read "{typed.strip()}"; expected a number from 1 to {len(self.steps)} with '
            f'"{CURED}" or "{NOT_CURED}", such as "1 {CURED}"; or Enter to leave'
        )


class Mender:
    """Asks how the repairs went. One that did not cure is evidence, and the case goes on."""

    def __init__(self, session: CaseSession, port: Port, role: Role) -> None:
        self._session = session
        self._port = port
        self._role = role

    def goes_on(self) -> bool:
        """Whether a repair was done without a cure, so that the advice has to be worked out anew.

        A cure closes the case with its outcome.
        """
        session = self._session
        plan = session.plan()
        repairs = Repairs(plan.repair.steps)
        if not repairs.steps:
            return False
        tried = self._ask(repairs)
        if tried is None:
            return False
        name = cause_name(session.rulebook, tried.cause)
        if tried.cured:
            session.close(Result(causes=(tried.cause,)))
            self._port.tell(f"cured by mending: {name}. The outcome is recorded.", Tone.HEADING)
            return False
        session.mend(tried.cause, by=self._role.id)
        self._port.tell(f"not cured by mending: {name}. That is evidence; going on.", Tone.HEADING)
        return True

    def _ask(self, repairs: Repairs) -> Tried | None:
        prompt = Prompt(
            "\n".join(("repairs to choose from:", *self._lines(repairs), self._enter())),
            completions=tuple(
                f"{number} {word}"
                for number in range(1, len(repairs.steps) + 1)
                for word in (CURED, NOT_CURED)
            ),
            check=repairs.fault,
        )
        while True:
            typed = clean_line(self._port.ask(prompt))
            if not typed:
                return None
            if word_in(typed, bare=True) is Word.STOP:
                raise Stopped
            fault = repairs.fault(typed)
            if fault is None:
                return repairs.tried(typed)
            self._port.tell(fault.reason, Tone.PROBLEM)

    def _lines(self, repairs: Repairs) -> list[str]:
        return [
            f"{number}. {cause_name(self._session.rulebook, step.cause)} "
            f"({percent(step.probability)}, {minutes(step.minutes)} with its proof)"
            for number, step in enumerate(repairs.steps, 1)
        ]

    def _enter(self) -> str:
        return (
            f'When one is done, type its number and how it went: "1 {CURED}" or "1 {NOT_CURED}". '
            "Enter: leave it for now"
        )
