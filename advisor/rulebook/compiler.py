"""Compiles a checked draft into the rules of the engine."""

from __future__ import annotations

from typing import Any

from advisor.engine.rules import Cause, Condition, Finding, Place, Question, Rules, Test
from advisor.engine.values import Kind

from .conditions import ConditionReader
from .draft import AnyItem, Draft, Item
from .facts import FactType, FactTypes
from .findings import compile_finding, warn_if_mute
from .functions import compile_computed
from .models import CauseModel, QuestionModel, TestModel


class Compiler:
    """Compiles the draft part by part; whatever is faulty is noted in the draft and left out."""

    def __init__(self, draft: Draft, types: FactTypes) -> None:
        self.draft = draft
        self.types = types
        self.reader = ConditionReader(draft, types)

    def rules(self) -> Rules | None:
        """The compiled rules, or None when the draft lacks its own record."""
        findings = self.findings()
        computed = [compile_computed(self.reader, one) for one in self.draft.computed.values()]
        questions = [self.question(one) for one in self.draft.questions.values()]
        causes = [self.cause(one) for one in self.draft.causes.values()]
        for finding in findings:
            warn_if_mute(self.draft, self.draft.findings[finding.id], finding)
        self.draft.problems.extend(self.reader.links.cycle_problems())
        if self.draft.meta is None:
            return None
        meta = self.draft.meta.model
        return Rules(
            questions=tuple(questions),
            computed=tuple(one for one in computed if one is not None),
            findings=tuple(findings),
            causes=tuple(causes),
            places=tuple(
                Place(place.id, place.model.minutes, place.model.driving)
                for place in self.draft.places.values()
            ),
            tests=tuple(
                Test(name, test.place, test.minutes, test.answers)
                for name, test in all_tests(self.draft).items()
            ),
            none_share=meta.none_of_the_listed,
            pair_factor=meta.pair_factor,
            escalation_minutes=meta.escalation_minutes,
            opening=meta.opening,
        )

    def findings(self) -> list[Finding]:
        compiled = [compile_finding(self.reader, one) for one in self.draft.findings.values()]
        return [one for one in compiled if one is not None]

    def question(self, item: Item[QuestionModel]) -> Question:
        kind = self.types[item.id] or FactType(Kind(item.model.kind))
        asked = self.condition(item, "ask_if", item.model.ask_if, item.id)
        return Question(item.id, kind.kind, kind.options, asked)

    def cause(self, item: Item[CauseModel]) -> Cause:
        model = item.model
        return Cause(
            id=item.id,
            commonness=model.commonness,
            repair_minutes=model.remedy.minutes,
            verify_minutes=model.verify.minutes,
            applies_if=self.condition(item, "applies_if", model.applies_if),
            confirm=model.confirm,
        )

    def condition(self, item: AnyItem, name: str, data: Any, reader: str = "") -> Condition | None:
        return None if data is None else self.reader.read(item, (name,), data, reader)


def all_tests(draft: Draft) -> dict[str, TestModel]:
    """Implied tests (questions with a place) in the order of the questions, then the others."""
    tests = {
        question.id: TestModel(
            name=question.model.ask,
            place=question.model.place,
            minutes=question.model.minutes or 0.0,
            answers=(question.id,),
            how=question.model.how,
            cautions=question.model.cautions,
        )
        for question in draft.questions.values()
        if question.model.place is not None
    }
    return tests | {test.id: test.model for test in draft.tests.values()}
