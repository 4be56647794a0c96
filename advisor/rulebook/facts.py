"""What each fact of a rulebook is: its kind, its options, its unit."""

from __future__ import annotations

from dataclasses import dataclass

from advisor import units
from advisor.driveline.catalog import FUNCTIONS, Function
from advisor.engine.values import Kind

from .draft import Draft, Item
from .findingmodels import BandsFinding, ChoiceFinding, FindingModel
from .models import ChoiceQuestion, ChoicesQuestion, ComputedModel, NumberQuestion, QuestionModel
from .names import did_you_mean


@dataclass(frozen=True, slots=True)
class FactType:
    """What values a fact can have; `unit` is that of a number, with its dimension."""

    kind: Kind
    options: tuple[str, ...] = ()
    unit: units.Unit | None = None

    @property
    def words(self) -> str:
        """The kind in words for a message."""
        if self.unit is not None:
            return f"a number ({self.unit.dimension})"
        names = {Kind.YES_NO: "a yes or no", Kind.TEXT: "text", Kind.CHOICE: "one of its options"}
        return names.get(self.kind, "several of its options")


# An id whose record is there but faulty has None: it is known, and nothing is said against it.
FactTypes = dict[str, FactType | None]


def fact_types(draft: Draft) -> FactTypes:
    """The types of all facts by id; unknown units and functions are noted as problems."""
    types: FactTypes = {}
    for finding in draft.findings.values():
        types[finding.id] = _of_finding(draft, finding)
    for computed in draft.computed.values():
        types[computed.id] = _of_computed(draft, computed)
    for question in draft.questions.values():
        measured = _of_question(draft, question)
        worked_out = types.get(question.id)
        types[question.id] = measured
        if measured and worked_out and not _alike(measured, worked_out):
            draft.complain(
                question,
                ("kind",),
                "wrong-kind",
                f'{question.called} is {measured.words}, but the computed fact "{question.id}" '
                f"is {worked_out.words}; a fact both measured and computed is one number",
            )
    return types


def _alike(first: FactType, second: FactType) -> bool:
    if first.unit is None or second.unit is None:
        return False
    return first.unit.dimension == second.unit.dimension


def _of_question(draft: Draft, item: Item[QuestionModel]) -> FactType | None:
    model = item.model
    if isinstance(model, ChoiceQuestion | ChoicesQuestion):
        return FactType(Kind(model.kind), tuple(model.options))
    if isinstance(model, NumberQuestion):
        unit = find_unit(draft, item, model.unit)
        return FactType(Kind.NUMBER, unit=unit) if unit else None
    return FactType(Kind(model.kind))


def _of_finding(draft: Draft, item: Item[FindingModel]) -> FactType:
    if isinstance(item.model, ChoiceFinding | BandsFinding):
        return FactType(Kind.CHOICE, tuple(item.model.values))
    return FactType(Kind.YES_NO)


def _of_computed(draft: Draft, item: Item[ComputedModel]) -> FactType | None:
    function = FUNCTIONS.get(item.model.function)
    if function is None:
        name = item.model.function
        message = f'{item.called} uses the function "{name}", which is not known'
        draft.complain(
            item, ("function",), "unknown-function", message, did_you_mean(name, FUNCTIONS)
        )
        return None
    if function.result in ("choice", "yes-no"):
        if item.model.unit is not None:
            message = f'the function "{function.name}" gives no number, so there is no unit'
            draft.complain(item, ("unit",), "wrong-dimension", message, "leave the unit out")
        return FactType(Kind(function.result), function.options)
    return _of_number(draft, item, function)


def _of_number(draft: Draft, item: Item[ComputedModel], function: Function) -> FactType | None:
    offered = ", ".join(unit.symbol for unit in units.units_of(function.result))
    result = with_article(function.result)
    if item.model.unit is None:
        message = f'"unit" is missing; the function "{function.name}" gives {result}'
        draft.complain(item, (), "missing-field", message, f"one of: {offered}")
        return None
    unit = find_unit(draft, item, item.model.unit)
    if unit and unit.dimension != function.result:
        draft.complain(
            item,
            ("unit",),
            "wrong-dimension",
            f'"{unit.symbol}" is a unit of {unit.dimension}, but the function '
            f'"{function.name}" gives {result}',
            f"one of: {offered}",
        )
        return None
    return FactType(Kind.NUMBER, unit=unit) if unit else None


def with_article(noun: str) -> str:
    """The noun with its article."""
    return f"{'an' if noun[:1] in 'aeiou' else 'a'} {noun}"


def find_unit(
    draft: Draft, item: Item[QuestionModel] | Item[ComputedModel], name: str
) -> units.Unit | None:
    """The unit of this name, or None with a problem at the record's `unit`."""
    try:
        return units.unit_named(name)
    except units.UnitError as error:
        draft.complain(item, ("unit",), "unknown-unit", str(error))
        return None
