"""A rulebook that has been loaded: its texts, its compiled rules, and its answers in words."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache

from advisor import units
from advisor.engine.diagnosis import Engine
from advisor.engine.rules import Rules
from advisor.engine.values import UNKNOWN, Interval, Number, Value

from .answers import read_answer
from .draft import AnyItem
from .facts import FactType
from .findingmodels import FindingModel
from .measuring import GaugeReading, Measure
from .models import (
    CauseModel,
    CautionModel,
    ChoiceQuestion,
    ChoicesQuestion,
    ComputedModel,
    GaugeModel,
    MetaModel,
    NumberQuestion,
    PlaceModel,
    QuestionModel,
    TestModel,
)
from .names import did_you_mean
from .problems import Problem, Related
from .successors import Retired, taken_out

NOT_KNOWN = "not known"
MOST_REMEMBERED = 1 << 14  # answers as typed, with their values: a few megabytes
LONGEST_REMEMBERED = 60  # characters


@dataclass(frozen=True)
class Rulebook:
    """A loaded rulebook. Mappings are by id, in the order of the files.

    `tests` holds the implied tests too. `facts` tells kind, options and unit of every fact,
    `measures` how each number question is read, `gauge_reading` how well each gauge reads;
    `warnings` are problems that stop nothing; `items` are the records with their places, by
    section and id; `retired` tells what stands in the place of ids of old.
    """

    meta: MetaModel
    places: Mapping[str, PlaceModel]
    cautions: Mapping[str, CautionModel]
    questions: Mapping[str, QuestionModel]
    tests: Mapping[str, TestModel]
    gauges: Mapping[str, GaugeModel]
    computed: Mapping[str, ComputedModel]
    findings: Mapping[str, FindingModel]
    causes: Mapping[str, CauseModel]
    rules: Rules
    facts: Mapping[str, FactType]
    measures: Mapping[str, Measure]
    gauge_reading: Mapping[str, GaugeReading]
    warnings: tuple[Problem, ...]
    items: Mapping[tuple[str, str], AnyItem]
    retired: Retired

    @cached_property
    def engine(self) -> Engine:
        """What the engine works out from the rules once, for any number of diagnoses."""
        return Engine(self.rules)

    def parse_answer(self, question_id: str, text: str) -> Value:
        """The value that a typed text means; UNKNOWN for "?" and "don't know".

        A number gets the standard uncertainty of the question's gauge. Raises AnswerError, and
        KeyError for an unknown question. Answers that come again and again are remembered.
        """
        read = self._remembered if len(text) <= LONGEST_REMEMBERED else self._parsed
        return read(question_id, text)

    @cached_property
    def _remembered(self) -> Callable[[str, str], Value]:
        return lru_cache(MOST_REMEMBERED)(self._parsed)

    def _parsed(self, question_id: str, text: str) -> Value:
        fact = self.facts[question_id]
        measure = self.measures.get(question_id)
        labels = self.labels(question_id)
        u = measure.u if measure else 0.0
        alone = self.alone_of(question_id)
        return read_answer(text, fact.kind, labels, fact.unit, u, alone=alone)

    def alone_of(self, question_id: str) -> str | None:
        """The option of a question of several choices that says "none of the others"."""
        question = self.questions[question_id]
        return question.alone if isinstance(question, ChoicesQuestion) else None

    def place_of(self, section: str, name: str, *steps: str | int) -> Related:
        """Where a record, or the part of it that the steps lead to, stands in the files.

        `section` is that of the files, such as "findings". Unknown section or id: KeyError.
        """
        item = self.items[section, name]
        return item.document.related((*item.loc, *steps), item.called)

    def labels(self, fact_id: str) -> Mapping[str, str]:
        """The label of each option of a fact, by option id; empty when it has no options."""
        question = self.questions.get(fact_id)
        if isinstance(question, ChoiceQuestion | ChoicesQuestion):
            return question.options
        return {option: option.replace("-", " ") for option in self.facts[fact_id].options}

    def name_of(self, fact_id: str) -> str:
        """The fact in words: a computed fact's name, what a finding says, or what is asked."""
        if fact_id in self.computed:
            return self.computed[fact_id].name
        if fact_id in self.findings:
            return self.findings[fact_id].says
        return self.questions[fact_id].ask

    def instead_of(self, section: str, name: str, known: Iterable[str]) -> str:
        """What to do about an id that is none of those known: it went, or the nearest is meant."""
        gone = self.retired.get((section, name))
        return taken_out(gone) if gone is not None else did_you_mean(name, known)

    def facts_of_cure(self, cause: str) -> frozenset[str]:
        """The facts that a cause's remedy shows or chooses rings by."""
        remedy = self.causes[cause].remedy
        facts = set(remedy.shows)
        if remedy.rings is not None:
            for axis in remedy.rings.axes:
                facts.update(axis.model_dump(exclude_none=True).values())
            if remedy.rings.material is not None:
                facts.add(remedy.rings.material)
        return frozenset(facts)

    def gauges_for(self, fact_id: str) -> tuple[tuple[float, GaugeModel], ...]:
        """The gauges that can read a number, each after its standard uncertainty, finest first."""
        unit = self.facts[fact_id].unit
        if unit is None:
            return ()
        able = [
            (gauge.uncertainty[unit.dimension], self.gauges[name])
            for name, gauge in self.gauge_reading.items()
            if unit.dimension in gauge.uncertainty
        ]
        return tuple(sorted(able, key=lambda pair: (pair[0], pair[1].name)))

    def cautions_before(self, tests: Iterable[str]) -> tuple[str, ...]:
        """The texts of the cautions before these tests, each once; a place's own come first."""
        ids = dict.fromkeys(
            caution
            for test in map(self.tests.__getitem__, tests)
            for caution in (*self.places[test.place].cautions, *test.cautions)
        )
        return tuple(self.cautions[caution].text for caution in ids)

    def gauges_of(self, questions: Collection[str]) -> tuple[str, ...]:
        """The ids of the gauges that these questions are read with, in the order of the files."""
        used = {
            question.gauge
            for name in questions
            if isinstance(question := self.questions[name], NumberQuestion)
        }
        return tuple(gauge for gauge in self.gauges if gauge in used)

    def read_with(self, gauges: Collection[str]) -> frozenset[str]:
        """The questions that are read with one of these gauges."""
        return frozenset(
            name
            for name, question in self.questions.items()
            if isinstance(question, NumberQuestion) and question.gauge in gauges
        )

    def show_intervals(self, fact_id: str, intervals: tuple[Interval, ...]) -> str:
        """Intervals of a number in words: "above 0.05 mm", "0 mm to 0.05 mm"."""
        unit = self.facts[fact_id].unit
        assert unit is not None
        return " or ".join(_interval_in_words(one, unit) for one in intervals)

    def show_value(self, fact_id: str, value: Value, unit: units.Unit | None = None) -> str:
        """The value in words: with its unit, or its option's label; "not known" for UNKNOWN.

        A number is shown in `unit`, else in the unit that the rulebook names for the fact.
        """
        if value is UNKNOWN:
            return NOT_KNOWN
        if isinstance(value, bool):
            return "yes" if value else "no"
        if isinstance(value, Number):
            unit = unit or self.facts[fact_id].unit
            return units.show(value.value, unit, value.u) if unit else f"{value.value:g}"
        labels = self.labels(fact_id)
        if isinstance(value, frozenset):
            chosen = [label for option, label in labels.items() if option in value]
            return ", ".join(chosen) or "none"
        return labels.get(value, value)

    def range_warning(self, question_id: str, value: Value) -> str | None:
        """What to ask back about a number outside its plausible range, or None."""
        question = self.questions[question_id]
        measure = self.measures.get(question_id)
        unit = self.facts[question_id].unit
        if not isinstance(value, Number) or measure is None or measure.range is None:
            return None
        low, high = measure.range
        if low <= value.value <= high or unit is None:
            return None
        assert isinstance(question, NumberQuestion)
        assert question.range is not None
        expected = f"{question.range[0]} to {question.range[1]}"
        return f"read {units.show(value.value, unit)}; expected {expected}"


def _interval_in_words(interval: Interval, unit: units.Unit) -> str:
    low, high = interval.low, interval.high
    if math.isinf(low) and math.isinf(high):
        return "any number"
    if math.isinf(low):
        return (
            f"{units.show(high, unit)} or below"
            if interval.high_closed
            else f"below {units.show(high, unit)}"
        )
    if math.isinf(high):
        return (
            f"{units.show(low, unit)} or above"
            if interval.low_closed
            else f"above {units.show(low, unit)}"
        )
    return f"{units.show(low, unit)} to {units.show(high, unit)}"
