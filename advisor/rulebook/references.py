"""Checks what the records of a rulebook say of one another by id, and what nothing uses."""

from __future__ import annotations

from collections.abc import Iterable

from .concerns import check_concern
from .document import Loc
from .draft import SECTIONS, AnyItem, Draft, Item
from .models import ChoicesQuestion, NumberQuestion, QuestionModel, TextQuestion
from .names import did_you_mean


def check_references(draft: Draft) -> None:
    """Note every reference by id, outside of conditions, that leads nowhere."""
    _check_meta(draft)
    for place in draft.places.values():
        _each(draft, place, ("cautions",), "cautions", place.model.cautions)
    for test in draft.tests.values():
        draft.refer(test, ("place",), "places", test.model.place)
        _each(draft, test, ("answers",), "questions", test.model.answers)
        _each(draft, test, ("cautions",), "cautions", test.model.cautions)
    for cause in draft.causes.values():
        remedy = cause.model.remedy
        _each(draft, cause, ("remedy", "cautions"), "cautions", remedy.cautions)
        _each(draft, cause, ("remedy", "shows"), "computed", remedy.shows)
        if cause.model.verify.place is not None:
            draft.refer(cause, ("verify", "place"), "places", cause.model.verify.place)
        if cause.model.confirm is not None:
            _refer_test(draft, cause, ("confirm",), cause.model.confirm)
    answered_by = _answered_by(draft)
    for question in draft.questions.values():
        _check_question(draft, question, answered_by.get(question.id, []))


def _check_meta(draft: Draft) -> None:
    if draft.meta is not None:
        for index, name in enumerate(draft.meta.model.opening):
            _refer_test(draft, draft.meta, ("opening", index), name)


def _each(draft: Draft, item: AnyItem, loc: Loc, section: str, names: Iterable[str]) -> None:
    for index, name in enumerate(names):
        draft.refer(item, (*loc, index), section, name)


def _refer_test(draft: Draft, item: AnyItem, loc: Loc, name: str) -> None:
    """A test is one of the section, or a question that has its own place."""
    question = draft.questions.get(name)
    implied = question is not None and question.model.place is not None
    if not implied and not draft.may_exist(["questions"], name):
        draft.refer(item, loc, "tests", name)


def _answered_by(draft: Draft) -> dict[str, list[AnyItem]]:
    """Question id -> the tests that list it."""
    tests_of: dict[str, list[AnyItem]] = {}
    for test in draft.tests.values():
        for question in dict.fromkeys(test.model.answers):
            tests_of.setdefault(question, []).append(test)
    return tests_of


def _check_question(draft: Draft, item: Item[QuestionModel], tests: list[AnyItem]) -> None:
    model = item.model
    check_concern(draft, item)
    _each(draft, item, ("cautions",), "cautions", model.cautions)
    if isinstance(model, NumberQuestion) and model.gauge is not None:
        draft.refer(item, ("gauge",), "gauges", model.gauge)
    alone = model.alone if isinstance(model, ChoicesQuestion) else None
    if isinstance(model, ChoicesQuestion) and alone is not None and alone not in model.options:
        message = f'{item.called} has no option "{alone}"'
        hint = did_you_mean(alone, model.options)
        draft.complain(item, ("alone",), "unknown-option", message, hint)
    if model.place is None:
        _check_listed_question(draft, item, tests)
        return
    draft.refer(item, ("place",), "places", model.place)
    if model.minutes is None:
        message = f'{item.called} has a place but no "minutes"'
        draft.complain(item, ("place",), "question-place", message, 'add "minutes: ..."')
    if tests:
        message = f"{item.called} has its own place, but the {tests[0].called} answers it as well"
        hint = "take out its place and minutes, or take it out of the test"
        where = (tests[0].related(f"the {tests[0].called} stands here"),)
        at = (*item.loc, "place")
        problem = item.document.problem(at, "question-in-two-tests", message, hint, where)
        draft.problems.append(problem)
    elif item.id in draft.tests:
        test = draft.tests[item.id]
        message = f"{item.called} is a test by itself, and there is another test of this id"
        mark = item.document.position_of(item.loc, key=True)
        where = (test.related(f"the {test.called} stands here"),)
        draft.problems.append(item.document.problem(mark, "duplicate-id", message, "", where))


def _check_listed_question(draft: Draft, item: Item[QuestionModel], tests: list[AnyItem]) -> None:
    """A question without a place: exactly one test lists it."""
    for name in ("minutes", "cautions"):
        if getattr(item.model, name):
            message = f'{item.called} has "{name}" but no place'
            hint = f'add "place: ...", or move "{name}" to the test that answers it'
            draft.complain(item, (name,), "question-place", message, hint)
    if len(tests) > 1:
        message = f"{item.called} is answered by more than one test"
        hint = "let one test answer it"
        where = tuple(test.related(f"the {test.called} answers it") for test in tests)
        problem = item.document.problem(item.loc, "question-in-two-tests", message, hint, where)
        draft.problems.append(problem)
    elif not tests and "tests" not in draft.incomplete and not draft.broken["tests"]:
        message = f"no test answers {item.called}, and it has no place of its own"
        hint = 'add "place" and "minutes", or list it under "answers" of a test'
        draft.complain(item, (), "question-in-no-test", message, hint)


def warn_of_unused(draft: Draft) -> None:
    """Warn of records that nothing uses; a text question is for the record and needs no use."""
    for section in ("places", "cautions", "questions", "gauges", "computed"):
        for name, item in draft.section(section).items():
            if name in draft.used[section] or isinstance(item.model, TextQuestion):
                continue
            mark = item.document.position_of(item.loc, key=True)
            message = f'nothing uses the {SECTIONS[section]} "{name}"'
            draft.problems.append(item.document.problem(mark, "unused", message))
    for name, cause in draft.causes.items():
        if name not in draft.used["causes"]:
            mark = cause.document.position_of(cause.loc, key=True)
            message = f"no finding speaks for or against the {cause.called}"
            draft.problems.append(cause.document.problem(mark, "unused", message))
